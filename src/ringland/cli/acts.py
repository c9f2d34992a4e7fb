"""Commands that keep something: each is one line of the bench's language, typed from a shell."""

from pathlib import Path

import click

from ringland.bench.bench import Outcome
from ringland.bench.lines import Look, Prompt, Reply, Told
from ringland.bench.readings import find_gauge
from ringland.bench.tighten import Instruction
from ringland.cli import complete
from ringland.cli.opening import REFUSED, STORE, Stopped, as_json_option, the_bench, with_store
from ringland.cli.screen import say, width


def answer(prompt: Prompt, reply: Reply, *, as_json: bool = False) -> str:
    """Return a reply as text, or as JSON."""
    from ringland.cli.looks import look
    from ringland.report.change import change_view, tightening_words
    from ringland.report.json import as_json as rendered
    from ringland.report.text import change_text, stages_text

    match reply:
        case Outcome():
            view = change_view(reply.before, reply.after, reply.entries)
            return rendered(view) if as_json else change_text(view, width=width())
        case Look():
            return look(prompt, reply.what, as_json=as_json, more=reply.more)
        case Instruction():
            lines = [f"  {each}" for each in tightening_words(prompt.case, reply.progress.group)]
            return "\n".join([*_hand(prompt, reply), *stages_text(reply.stages), *lines])
        case Told():
            return f"  {reply.text}" if reply.text else ""
        case None:
            return ""


def _hand(prompt: Prompt, reply: Instruction) -> list[str]:
    from ringland.job.settings import torque_of
    from ringland.quantity import show_pair

    group = prompt.case.book.sheet.fasteners[reply.progress.group]
    torque = torque_of(prompt.case.book, reply.progress.group)
    layout = reply.progress.layout
    head = f"  {reply.progress.group}: {group.count} × {group.thread}".rstrip()
    head += f", {show_pair(torque)}" if torque else ", no torque in the sheet"
    head += f", {group.condition}" if group.condition else ""
    lines = [head]
    if group.count > 2:
        order = "any order" if layout.is_free else "order"
        if layout.is_placed or not layout.is_free:
            order += f": {layout.turns}\n  "
            order += "; ".join(filter(None, [layout.view, layout.taken]))
        lines.append(f"  {order}")
    if reply.hand.adapter:
        square = reply.hand.angle.startswith("90")
        how = (
            "square to the wrench: no correction"
            if square
            else f"adapter {reply.hand.adapter} at {reply.hand.angle}"
        )
        lines.append(f"  {how}")
    if not reply.hand.wrench:
        lines.append("  with which wrench? torque GROUP with WRENCH")
    return lines


def _act(verb: str, help_text: str, argument: str = "WORDS...") -> click.Command:
    @click.command(
        verb.replace(" ", "-"), help=help_text, context_settings={"ignore_unknown_options": True}
    )
    @click.argument("job", shell_complete=complete.jobs)
    @click.argument("words", nargs=-1, metavar=argument, shell_complete=complete.words)
    @click.option("--insist", is_flag=True, help="Keep what was asked about.")
    @as_json_option
    @with_store
    def command(
        job: str,
        words: tuple[str, ...],
        insist: bool,
        as_json: bool,
        store: Path | None,
        by: str | None,
    ) -> None:
        with the_bench(store, by, create=False) as bench:
            prompt = Prompt(bench, bench.find_job(job))
            reply = prompt.say(" ".join([verb, *words, *(["!"] if insist else [])]))
            say(answer(prompt, reply, as_json=as_json), plain=as_json)

    return command


note = _act("note", "Note a finding: note JOB metal specks", "FINDING [REMARK]")
done = _act("done", "Tick a step, or what can be ticked of a phase: done JOB strip", "STEP|PHASE")
aside = _act("aside", "Set a step aside that does not apply.", "STEP because REASON")
count = _act("count", "Count parts off or on: count JOB dowels off 2", "PART off|on N")
renew = _act("renew", "A new part is in hand.", "PART [N] [LABEL] [batch B] [leaflet FILE]")
torque = _act("torque", "Show a group's settings, or keep its pulls.", "GROUP [1 ok, 2 ok ...]")
correct = _act("correct", "Supersede the last reading of a check.", "CHECK [PLACE] VALUE")
undo = _act("undo", "Take back your last act; it stays in the log.", "")
overrule = _act(
    "overrule", "Take the responsibility for another decision.", "CHECK DECISION because REASON"
)
sign = _act("sign", "Sign why a hold point is passed.", "HOLD because REASON")
cause = _act("cause", "Name a damage's cause with its proof.", "DAMAGE is CAUSE because EVIDENCE")
decide = _act("decide", "Decide what happens with a part.", "PART DECISION [because REASON]")
found = _act("found", "A missing piece was found, or its loss is explained.", "PART [N] WHERE")
expect = _act("expect", "What a check should come out at by plan.", "CHECK VALUE")
figure = _act("figure", "Take over a corrected figure of the sheet.", "NAME TEXT because REASON")
resolved = _act("resolved", "A stop is resolved.", "FINDING because HOW")
safe = _act("safe", "The engine is left covered, oiled and tagged.", "[REMARK]")
hand_over = _act(
    "hand over", "Hand the machine over: started, or unstarted.", "[unstarted] [REMARK]"
)


@click.command(context_settings={"ignore_unknown_options": True})
@click.argument("job", shell_complete=complete.jobs)
@click.argument("words", nargs=-1, metavar="CHECK [PLACE] VALUE...", shell_complete=complete.words)
@click.option("--with", "gauge", help="The gauge, by its id or kind.")
@click.option("--place", help="Where it was read, such as H1-X.")
@click.option("--temp", help="Temperature of the part, such as '24 °C'.")
@click.option("--gauge-temp", help="Temperature of the gauge, where it is another.")
@click.option("--new", "fitted", flag_value="new", help="Of the new part, as fitted.")
@click.option("--old", "fitted", flag_value="old", help="Of the old part, as found.")
@click.option("--remark", default="", help="A remark kept with the reading.")
@click.option("--insist", is_flag=True, help="Keep a reading that looks like a slip.")
@click.option(
    "--svg", type=click.Path(path_type=Path, dir_okay=False), help="Draw a compression's pump-up."
)
@as_json_option
@with_store
def measure(
    job: str,
    words: tuple[str, ...],
    gauge: str | None,
    place: str | None,
    temp: str | None,
    gauge_temp: str | None,
    fitted: str | None,
    remark: str,
    insist: bool,
    svg: Path | None,
    as_json: bool,
    store: Path | None,
    by: str | None,
) -> None:
    """Keep a reading: measure JOB ring end gap .31 mm --with FG-1."""
    from dataclasses import replace

    from ringland.bench.names import must_find

    with the_bench(store, by, create=False) as bench:
        prompt = Prompt(bench, bench.find_job(job))
        if temp:
            beside = f" gauge {gauge_temp}" if gauge_temp else ""
            prompt.say(f"temp {temp}{beside}{' !' if insist else ''}")
        if gauge:
            gauge = find_gauge(gauge, bench.shelf().gauges).id
        prompt.taking = replace(prompt.taking, gauge=gauge or "", remark=remark)
        named = must_find(prompt.case.book.sheet, words, "check")
        said = [named.name, *([place] if place else []), *named.rest]
        line = " ".join([fitted or "measure", *said, *(["!"] if insist else [])])
        reply = prompt.say(line)
        say(answer(prompt, reply, as_json=as_json), plain=as_json)
        if svg is not None and isinstance(reply, Outcome):
            _draw(reply, named.name, svg)


def _draw(reply: Outcome, check: str, file: Path) -> None:
    """Draw the pump-up that was just read; what was kept stays kept."""
    from ringland.job.log.entries import ReadingTaken
    from ringland.report.pressures import pump_up_svg

    read = [entry.fact for entry in reply.entries if isinstance(entry.fact, ReadingTaken)]
    if not read or reply.after.book.sheet.checks[check].method != "percent of baseline":
        raise Stopped(f"{check} has no drawing; the reading is kept", REFUSED)
    try:
        file.write_text(pump_up_svg(reply.after, (check, read[-1].condition)), encoding="utf-8")
    except ValueError as error:
        raise Stopped(f"no drawing: {error}; the reading is kept", REFUSED) from None
    except OSError as error:
        raise Stopped(f"{file}: {error.strerror}; the reading is kept", STORE) from None


@click.command()
@click.argument("job", shell_complete=complete.jobs)
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--of", "subject", required=True, help="The step or part it shows.")
@click.option("--side", type=click.Choice(["EX", "IN", "IGN", "CL"]), help="Side of the engine.")
@click.option("--remark", default="")
@with_store
def photo(
    job: str,
    file: Path,
    subject: str,
    side: str | None,
    remark: str,
    store: Path | None,
    by: str | None,
) -> None:
    """Keep a photo with a step or part."""
    from ringland.bench.names import must_find
    from ringland.job.log.entries import PhotoTaken
    from ringland.report.change import change_view
    from ringland.report.text import change_text

    with the_bench(store, by, create=False) as bench:
        name = bench.find_job(job)
        named = must_find(bench.case(name).book.sheet, subject.split(), "step", "part")
        kept = bench.log.put_photo(file.read_bytes())
        reply = bench.keep(name, [PhotoTaken(kept, named.name, side or "", remark)])
        say(change_text(change_view(reply.before, reply.after, reply.entries), width=width()))
