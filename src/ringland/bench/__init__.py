"""What a person can do at the bench: read what was typed, keep it, look at what it changed.

Here: the open bench (`bench`), names as people type them (`names`), text to facts (`forms`,
`tighten`), the one-line language of the prompt (`lines`), files of sheets (`sheets`).
Not here: any wording of results (`ringland.report`), any rule of the trade (`ringland.job`).
Start with `bench.Bench`.
"""
