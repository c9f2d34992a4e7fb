"""Readings that cannot all be true, and the one that would separate them.

Here: the test (`disagreement`), readings of quantities that hang together (`readings`), what is
fitted against what was read (`fitted`). Start with `readings`.
"""
