"""Fastening: what to set, in which order, in which stages, and what the clamp force may be.

Here: adapter and torque wrench (`adapter`, `wrench`), order and stages (`sequence`, `stages`),
clamp force as an explanation (`threads`, `preload`, `stripping`), retorque (`retorque`).
Not here: the maker's figures (`ringland.sheet`), the log of pulls (`ringland.job`).
Start with `wrench.set_for`.
"""
