"""`ringland at JOB`: the bench prompt, one short line for each act; or the same lines from a file."""

import sys
from pathlib import Path

import click

from ringland.bench.lines import Prompt
from ringland.bench.refusal import Asked, Refused
from ringland.cli import complete
from ringland.cli.acts import answer
from ringland.cli.looks import look
from ringland.cli.opening import REFUSED, Stopped, the_bench, with_store
from ringland.cli.screen import say


@click.command()
@click.argument("job", shell_complete=complete.jobs)
@click.option(
    "--from",
    "file",
    type=click.Path(path_type=Path),
    help="Read the lines from a file ('-': standard input).",
)
@with_store
def at(job: str, file: Path | None, store: Path | None, by: str | None) -> None:
    """Work at a job: job, gauge and unit stay as last used; ? for help."""
    with the_bench(store, by, create=False) as bench:
        prompt = Prompt(bench, bench.find_job(job))
        if file is not None:
            _from_file(prompt, file)
        elif sys.stdin.isatty():
            _talk(prompt)
        else:
            _play(prompt, sys.stdin.read(), "standard input")


def _from_file(prompt: Prompt, file: Path) -> None:
    if str(file) == "-":
        _play(prompt, sys.stdin.read(), "standard input")
        return
    try:
        text = file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise Refused(f"{file}: cannot be read: {error}") from None
    _play(prompt, text, str(file))


def _play(prompt: Prompt, text: str, name: str) -> None:
    """Play lines as if they were typed. What was kept stays kept; troubles are told with their line."""
    troubles = 0
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        click.echo(f"> {line.strip()}")
        try:
            reply = prompt.say(line)
        except (Asked, Refused) as error:
            troubles += 1
            say(f"  {name}:{number}: {error}")
            continue
        if reply is None:
            break
        said = answer(prompt, reply)
        if said:
            say(said)
    if troubles:
        raise Stopped(f"{troubles} of the lines were not kept", REFUSED)


def _talk(prompt: Prompt) -> None:
    _complete(prompt)
    say(look(prompt, "where"))
    click.echo("  ? for what can be typed, q to leave")
    line: str | None = ""
    try:
        while line is not None:
            line = _answered(prompt, line or input("> "))
    except (EOFError, KeyboardInterrupt):
        click.echo()


def _answered(prompt: Prompt, line: str) -> str | None:
    """Do one line; return the line to do next where it is known already, None for leaving."""
    try:
        reply = prompt.say(line)
    except Asked as asked:
        return _ask(prompt, asked, line)
    except Refused as refused:
        say("\n".join(f"  {problem}" for problem in refused.problems))
        return ""
    if reply is None:
        return None
    if said := answer(prompt, reply):
        say(said)
    return ""


def _ask(prompt: Prompt, asked: Asked, line: str) -> str:
    """Ask, and return the line to do instead: with an offer, insisting, or another line; or none."""
    say(f"  {asked.question}")
    offers = [offer.text for offer in asked.offers]
    said = input(f"  {' / '.join([*offers, 'again', 'keep'])} > ").strip()
    if said == "keep":
        return f"{line} !"
    if said in ("", "again"):
        click.echo("  nothing kept")
        return ""
    of_unit = [offer for offer in offers if said and offer.endswith(f" {said}")]
    if said.isdigit() and 1 <= int(said) <= len(offers):
        said = offers[int(said) - 1]
    elif of_unit:
        said = of_unit[0]
    if not said.lstrip("+-−.,")[:1].isdigit():
        click.echo(f"  nothing kept of: {line}")
        return said  # a line of its own
    instead = _replaced(line, asked.about, said)
    if not instead:
        click.echo("  nothing kept; type the line again")
    elif said in offers and asked.of_unit:
        say(f"  {prompt.use_unit(said)}")
    return instead


def _replaced(line: str, about: str, said: str) -> str:
    """Return the line with the value in question replaced; empty where it is not known which."""
    words, wrong = line.split(), about.split()
    for at in range(len(words)):
        if wrong and words[at : at + len(wrong)] == wrong:
            return " ".join([*words[:at], said, *words[at + len(wrong) :]])
    return ""


def _complete(prompt: Prompt) -> None:
    """Complete names with Tab where the terminal can."""
    try:
        import readline
    except ImportError:
        return
    from ringland.bench.lines import VERBS
    from ringland.bench.names import Kind, spellings

    kinds: tuple[Kind, ...] = ("check", "finding", "step", "part", "group")
    sheet = prompt.case.book.sheet
    words = sorted({s for kind in kinds for s, _ in spellings(sheet, kind)} | set(VERBS))

    def completed(text: str, index: int) -> str | None:
        before = readline.get_line_buffer()[: readline.get_begidx()]
        fits = [word for word in words if word.startswith(before + text)]
        return fits[index][len(before) :] if index < len(fits) else None

    readline.set_completer_delims(" ")
    readline.set_completer(completed)
    readline.parse_and_bind("tab: complete")
