"""Commands that show something of a job, and keep nothing."""

from collections.abc import Callable
from pathlib import Path

import click

from ringland.bench.lines import Prompt, What
from ringland.cli import complete
from ringland.cli.opening import as_json_option, refusals, the_bench, with_store
from ringland.cli.screen import say, width
from ringland.job.case import Case

# what can be typed, by what it is for; an example is never broken over two lines
TYPED = {
    "a reading": (
        "bore H1X 53.214", "bore H1X +.014", "bore H2Y port", "gap .29 goes", "big end not sure",
        "old gap .62", "new gap .31", "squish EX 1.24 IN 1.16 IGN 1.19 CL 1.21",
    ),
    "pressure": (
        "compression 9.6 bar warm throttle open 400 rpm",
        "leak .40 .39 bar 6 min 21 °C 20 °C no bubble",
    ),
    "seen": ("metal specks", "chewed screw on the clutch side"),
    "counted": (
        "dowels off 2, clips 2, washers 5", "dowels on 2", "found dowel in the transfer recess",
    ),
    "done": ("done head off", "done strip", "aside STEP because REASON"),
    "parts": ("renew piston class B leaflet FILE", "renew all", "decide piston class B"),
    "tightening": (
        "torque barrel nuts with TW-2 adapter 50 mm at 90", "torque barrel nuts 1 ok, 2 ok",
        "torque barrel nuts ok", "torque barrel nuts 1 moved 3, 2 moved 35",
        "torque barrel nuts retorque 1 moved 8",
    ),
    "causes": ("cause four-corner seizure is cold start because thermostat stuck open",),
    "answers": (
        "overrule CHECK accepted because ...", "sign HOLD because ...",
        "resolved FINDING because ...",
    ),
    "mending": (
        "undo", "correct bore H1X 53.216", "figure CHECK TEXT because ...",
    ),
    "in use": (
        "gauge BG-2", "gauge none (not on the shelf)", "unit in", "temp 24 °C", "by Ada",
        "when 14:10",
    ),
    "look": (
        "where", "plan", "verdicts", "parts", "settings", "prestart", "causes", "due", "log",
        "prestart all",
    ),
    "leaving": ("safe (cover, oil, tag)", "hand over unstarted", "q"),
}  # fmt: skip
HELP_WIDTH = 100  # where it is piped


def _help() -> str:
    from ringland.report.layout import flow

    wide = width() or HELP_WIDTH
    lines = [line for name, said in TYPED.items() for line in flow(f"  {name:<12}", said, wide)]
    return "\n".join([*lines, "  Put ! behind a line to keep a value that was asked about."])


def look(prompt: Prompt, what: What, *, as_json: bool = False, more: bool = False) -> str:
    """Return one look at a job as text or JSON."""
    from ringland.report.json import as_json as rendered

    if what == "help":
        return _help()
    if what == "due":
        from ringland.cli.due import due_text

        opened = prompt.case.state.opened
        return due_text(prompt.bench, opened.machine if opened else "", as_json=as_json)
    seen, words = LOOKS[what](prompt, more)
    return rendered(seen) if as_json else words()


Seen = tuple[object, Callable[[], str]]  # what is seen, for a program; its words for a person


def _where(prompt: Prompt, _more: bool) -> Seen:
    from ringland.report import text, view

    seen = view.job_view(prompt.case, prompt.job)
    return seen, lambda: "\n".join([text.job_text(seen, width=width()), *_broken_off(prompt.case)])


def _broken_off(case: Case) -> list[str]:
    """Where the tightening stood: each group that was begun and is not complete."""
    from ringland.report.change import tightening_words

    groups = [case.progress(group) for group in case.groups() if group in case.state.tightening]
    begun = [each.group for each in groups if not each.is_complete]
    return [f"  {line}" for group in begun for line in tightening_words(case, group)]


def _plan(prompt: Prompt, more: bool) -> Seen:
    from ringland.report import text, view

    seen = view.plan_view(prompt.case)
    return seen, lambda: text.plan_text(seen, everything=more)


def _verdicts(prompt: Prompt, more: bool) -> Seen:
    from ringland.report import text, view

    seen = view.board(prompt.case)
    return seen, lambda: text.board_text(seen, chances=more, width=width())


def _parts(prompt: Prompt, more: bool) -> Seen:
    from ringland.report import text, view

    case = prompt.case
    seen = view.parts_view(case.parts)
    things = more or view.job_view(case, prompt.job).phase in ("due", "get")
    return seen, lambda: text.parts_text(seen, things=things, width=width())


def _settings(prompt: Prompt, more: bool) -> Seen:
    from ringland.report import text, view

    seen = view.settings_view(prompt.case, explain=more)
    return seen, lambda: text.settings_text(seen, width=width())


def _prestart(prompt: Prompt, more: bool) -> Seen:
    from ringland.report import text, view

    case = prompt.case
    seen = view.prestart_view(case)
    following = view.job_view(case, prompt.job).next
    return seen, lambda: text.prestart_text(seen, following, everything=more, width=width())


def _causes(prompt: Prompt, more: bool) -> Seen:
    from ringland.report.causes import causes_text, causes_view

    seen = causes_view(prompt.case)
    return seen, lambda: causes_text(seen, everything=more)


def _log(prompt: Prompt, _more: bool) -> Seen:
    from ringland.job.log.entries import GaugeUsed
    from ringland.report.facts import fact_words
    from ringland.report.layout import columns

    case = prompt.case
    seen = [[e.at[:16], e.by, fact_words(e.fact, case.book.sheet)] for e in case.state.entries]
    shown = [
        [at.replace("T", " "), by, words]
        for (at, by, words), entry in zip(seen, case.state.entries, strict=True)
        if not isinstance(entry.fact, GaugeUsed)  # named with what was read by it
    ]
    return seen, lambda: "\n".join(columns(shown, indent="", width=width()))


LOOKS: dict[What, Callable[[Prompt, bool], Seen]] = {
    "where": _where,
    "plan": _plan,
    "verdicts": _verdicts,
    "parts": _parts,
    "settings": _settings,
    "prestart": _prestart,
    "causes": _causes,
    "log": _log,
}


def _command(what: What, help_text: str) -> click.Command:
    @click.command(what, help=help_text)
    @click.argument("job", shell_complete=complete.jobs)
    @click.option(
        "-a", "--all", "more", is_flag=True, help="Show more: done steps, probabilities, rulings."
    )
    @as_json_option
    @with_store
    def command(job: str, more: bool, as_json: bool, store: Path | None, by: str | None) -> None:
        with the_bench(store, by, create=False) as bench:
            prompt = Prompt(bench, bench.find_job(job))
            say(look(prompt, what, as_json=as_json, more=more), plain=as_json)

    return command


plan = _command("plan", "What is left, in working order.")
verdicts = _command("verdicts", "The verdict board.")
settings = _command("settings", "Everything the build is set to.")
prestart = _command("prestart", "What still forbids the first start.")
causes = _command("causes", "Which cause the evidence points at, and what to check next.")


@click.command()
@click.argument("job", required=False, shell_complete=complete.jobs)
@click.option(
    "--sheet", "file", type=click.Path(path_type=Path), help="An engine sheet, without any job."
)
@click.option("--scope", default="piston", show_default=True, help="ring, piston, full or open.")
@click.option("--variant", help="The sheet's variant.")
@click.option("-a", "--all", "more", is_flag=True, help="Tools and supplies too, after the strip.")
@as_json_option
@with_store
def parts(
    job: str | None,
    file: Path | None,
    scope: str,
    variant: str | None,
    more: bool,
    as_json: bool,
    store: Path | None,
    by: str | None,
) -> None:
    """What to get: of a job, or of a sheet and scope without any job."""
    if (job is None) == (file is None):
        raise click.UsageError("name a job, or a sheet with --sheet FILE --scope SCOPE")
    if file is not None:
        say(_parts_of_sheet(file, scope, variant, as_json=as_json), plain=as_json)
        return
    with the_bench(store, by, create=False) as bench:
        prompt = Prompt(bench, bench.find_job(job or ""))
        say(look(prompt, "parts", as_json=as_json, more=more), plain=as_json)


def _parts_of_sheet(file: Path, scope: str, variant: str | None, *, as_json: bool) -> str:
    from ringland.bench import sheets
    from ringland.job.parts import parts_of_sheet
    from ringland.report import text, view
    from ringland.report.json import as_json as rendered
    from ringland.sheet.model import SCOPES

    with refusals():
        known, loaded = sheets.scope_named(scope), sheets.load(file, variant)
    found = view.parts_view(parts_of_sheet(loaded.sheet, known))
    title = f"{loaded.sheet.engine}, {SCOPES[known]}: what to get before the strip"
    return rendered(found) if as_json else text.parts_text(found, title=title, width=width())
