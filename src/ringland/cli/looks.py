"""Commands that show something of a job, and keep nothing."""

from pathlib import Path

import click

from ringland.bench.lines import Prompt, What
from ringland.cli import complete
from ringland.cli.opening import as_json_option, the_bench, with_store

HELP = """\
  a reading     bore H1X 53.214    bore H1X +.014    bore H2Y port    gap .29 goes    big end not sure
                old gap .62        new gap .31       squish EX 1.24 IN 1.16 IGN 1.19 CL 1.21
  pressure      compression 9.6 bar warm throttle open 400 rpm   leak .40 .39 bar 6 min 21 °C 20 °C no bubble
  seen          metal specks       chewed screw on the clutch side
  counted       dowels off 2, clips 2, washers 5     dowels on 2     found dowel in the transfer recess
  done          done head off      done strip        aside STEP because REASON
  parts         renew piston class B leaflet FILE    decide piston class B
  tightening    torque barrel nuts with TW-2 adapter 50 mm at 90      torque barrel nuts 1 ok, 2 ok
                torque barrel nuts 1 moved 3, 2 moved 35            torque barrel nuts retorque 1 moved 8
  causes        cause four-corner seizure is cold start because thermostat stuck open
  answers       overrule CHECK accepted because ...  sign HOLD because ...  resolved FINDING because ...
  mending       correct bore H1X 53.216              undo        figure CHECK TEXT because ...
  in use        gauge BG-2   gauge none (not on the shelf)   unit in   temp 24 °C   by Ada   when 14:10
  look          where  plan  verdicts  parts  settings  prestart  causes  due  log
  leaving       safe (cover, oil, tag)   hand over unstarted   q
  Put ! behind a line to keep a value that was asked about."""


def look(prompt: Prompt, what: What, *, as_json: bool = False, more: bool = False) -> str:
    """Return one look at a job as text or JSON."""
    from ringland.report import text, view
    from ringland.report.json import as_json as rendered

    case = prompt.case
    match what:
        case "where":
            found = view.job_view(case, prompt.job)
            return rendered(found) if as_json else text.job_text(found)
        case "plan":
            lines = view.plan_view(case)
            return rendered(lines) if as_json else text.plan_text(lines, everything=more)
        case "verdicts":
            board = view.board(case)
            return rendered(board) if as_json else text.board_text(board, chances=more)
        case "parts":
            parts = view.parts_view(case.parts)
            before_strip = more or view.job_view(case, prompt.job).phase in ("due", "get")
            return rendered(parts) if as_json else text.parts_text(parts, things=before_strip)
        case "settings":
            settings = view.settings_view(case, explain=more)
            return rendered(settings) if as_json else text.settings_text(settings)
        case "prestart":
            opens = view.prestart_view(case)
            return rendered(opens) if as_json else text.prestart_text(opens, everything=more)
        case "causes":
            from ringland.report.causes import causes_text, causes_view

            causes_found = causes_view(case)
            return rendered(causes_found) if as_json else causes_text(causes_found, everything=more)
        case "due":
            from ringland.cli.due import due_text

            opened = case.state.opened
            return due_text(prompt.bench, opened.machine if opened else "", as_json=as_json)
        case "log":
            from ringland.report.facts import fact_words

            sheet = case.book.sheet
            rows = [[e.at[:16], e.by, fact_words(e.fact, sheet)] for e in case.state.entries]
            return rendered(rows) if as_json else "\n".join(text.columns(rows, indent=""))
        case _:
            return HELP


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
            click.echo(look(prompt, what, as_json=as_json, more=more))

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
        click.echo(_parts_of_sheet(file, scope, variant, as_json=as_json))
        return
    with the_bench(store, by, create=False) as bench:
        prompt = Prompt(bench, bench.find_job(job or ""))
        click.echo(look(prompt, "parts", as_json=as_json, more=more))


def _parts_of_sheet(file: Path, scope: str, variant: str | None, *, as_json: bool) -> str:
    from ringland.bench import sheets
    from ringland.bench.refusal import Refused
    from ringland.cli.opening import REFUSED, Stopped
    from ringland.job.parts import parts_of_sheet
    from ringland.report import text, view
    from ringland.report.json import as_json as rendered
    from ringland.sheet.model import SCOPES

    known = next((each for each in SCOPES if scope in (each, SCOPES[each])), None)
    if known is None:
        raise click.UsageError(f"scope {scope!r} is none of {', '.join(SCOPES)}")
    try:
        loaded = sheets.load(file, variant)
    except Refused as refused:
        raise Stopped("\n".join(refused.problems), REFUSED) from None
    found = view.parts_view(parts_of_sheet(loaded.sheet, known))
    title = f"{loaded.sheet.engine}, {SCOPES[known]}: what to get before the strip"
    return rendered(found) if as_json else text.parts_text(found, title=title)
