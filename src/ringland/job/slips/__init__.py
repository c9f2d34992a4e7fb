"""Readings that look like a slip: asked about before they are kept, with the likely value.

Here: a value of the wrong size (`size`), one that its neighbours contradict (`beside`), one that the
gauge cannot show (`gauge`), and the slips of the fingers that explain it (`digits`).
Nothing is corrected silently; the person can insist. Start with `size.slip_of`.
"""
