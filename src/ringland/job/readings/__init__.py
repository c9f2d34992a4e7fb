"""What the readings of a check come to: one value with its doubt.

Here: one place with one gauge (`gauging`), its temperature (`warmth`), values worked out from
others (`differences`), faces, and pressures with how they were read (`circumstances`, `cranking`,
`leaks`). Not here: limits (`verdicts`). Start with `values.METHODS`.
"""
