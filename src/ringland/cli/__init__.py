"""The command line: one thin command for each thing a person can do.

Here: words in, words out. Not here: any rule of the trade. Start with `COMMANDS`; a command's
module is imported when it is used.
"""

import click

from ringland.cli.lazy import LazyGroup

_ACTS, _LOOKS = "ringland.cli.acts", "ringland.cli.looks"

COMMANDS: dict[str, tuple[str, str]] = {
    "demo": ("ringland.cli.demo:demo", "Build the Oxbow Riding Club's shed and play a job in it."),
    "sheet": (
        "ringland.cli.sheet:sheet",
        "Engine sheets: new, check, show, missing, schema, read-back.",
    ),
    "machine": ("ringland.cli.machine:machine", "Machines, their hours and baselines."),
    "gauge": ("ringland.cli.gauge:gauge", "The gauges on the shelf."),
    "job": ("ringland.cli.job:job", "Open, list, show, export and import jobs."),
    "at": ("ringland.cli.at:at", "Work at a job, one short line for each act."),
    "measure": (f"{_ACTS}:measure", "Keep a reading."),
    "note": (f"{_ACTS}:note", "Note a finding."),
    "done": (f"{_ACTS}:done", "Tick a step, or what can be ticked of a phase."),
    "aside": (f"{_ACTS}:aside", "Set a step aside that does not apply."),
    "count": (f"{_ACTS}:count", "Count parts off or on."),
    "found": (f"{_ACTS}:found", "A missing piece was found."),
    "renew": (f"{_ACTS}:renew", "A new part is in hand."),
    "decide": (f"{_ACTS}:decide", "Decide what happens with a part."),
    "torque": (f"{_ACTS}:torque", "Settings and pulls of a group of fasteners."),
    "photo": (f"{_ACTS}:photo", "Keep a photo with a step or part."),
    "correct": (f"{_ACTS}:correct", "Supersede the last reading of a check."),
    "undo": (f"{_ACTS}:undo", "Take back your last act."),
    "overrule": (f"{_ACTS}:overrule", "Take the responsibility for another decision."),
    "sign": (f"{_ACTS}:sign", "Sign why a hold point is passed."),
    "cause": (f"{_ACTS}:cause", "Name a damage's cause with its proof."),
    "resolved": (f"{_ACTS}:resolved", "A stop is resolved."),
    "expect": (f"{_ACTS}:expect", "What a check should come out at by plan."),
    "figure": (f"{_ACTS}:figure", "Take over a corrected figure into a job."),
    "safe": (f"{_ACTS}:safe", "The engine is left covered, oiled and tagged."),
    "hand-over": (f"{_ACTS}:hand_over", "Hand the machine over, started or unstarted."),
    "plan": (f"{_LOOKS}:plan", "What is left, in working order."),
    "verdicts": (f"{_LOOKS}:verdicts", "The verdict board."),
    "parts": (f"{_LOOKS}:parts", "What to get, with or without a job."),
    "settings": (f"{_LOOKS}:settings", "Everything the build is set to."),
    "prestart": (f"{_LOOKS}:prestart", "What still forbids the first start."),
    "print": ("ringland.cli.printing:print_", "Print a job: build sheet, owner's page, labels ..."),
    "causes": (f"{_LOOKS}:causes", "Which cause the evidence points at, what to check next."),
    "due": ("ringland.cli.due:due", "When a machine is due again."),
    "serve": ("ringland.cli.serve:serve", "Serve the bench page in a browser."),
    "cert": ("ringland.cli.serve:cert", "Make the certificate that other devices trust."),
    "calc": ("ringland.cli.calc:calc", "Answer one question without a job."),
}


@click.group(
    cls=LazyGroup, table=COMMANDS, context_settings={"help_option_names": ["-h", "--help"]}
)
@click.version_option(package_name="ringland", prog_name="ringland")
def main() -> None:
    """The bench book for the top end of a two-stroke engine."""
