"""The pages: each function takes what was asked for and returns a template with its context.

Here: `job` (where it stands, boards and lists), `check` (take a reading), `work` (steps, parts,
findings), `tighten`, `shop` (wall, machines, gauges), `calc`, `sheets`, `people`.
Not here: what a form does (`ringland.web.acts`), wording (`ringland.report`).
"""
