"""The command line: one thin command for each thing a person can do.

Here: words in, words out. Not here: any rule of the trade. Start with `COMMANDS`.
"""

import click

from ringland.cli.lazy import LazyGroup

COMMANDS: dict[str, tuple[str, str]] = {
    "calc": ("ringland.cli.calc:calc", "Answer one question without a job."),
}


@click.group(
    cls=LazyGroup, table=COMMANDS, context_settings={"help_option_names": ["-h", "--help"]}
)
def main() -> None:
    """The bench book for the top end of a two-stroke engine."""
