"""Paper: what leaves the bench, as tagged PDF that renders the same view as page and command line.

Here: one module for each paper (`build`, `owner`, `strip`, `labels`, `guide`, `order`) that words a
job as blocks (`blocks`), the plots (`plots`), pictures made ready for print (`pictures`), and the
typesetting (`render`, with its templates). Not here: values, limits and verdicts (`report.view`),
and reading of stores and files (`ringland.cli.printing`). Start with `jobfile.JobFile` and `PAPERS`.
"""
