"""`ringland at JOB`: the bench prompt, one short line for each act; or the same lines from a file."""

import sys
from pathlib import Path

import click

from ringland.bench.lines import Prompt, Reply, Told
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
    while True:
        try:
            line = input("> ")
        except (EOFError, KeyboardInterrupt):
            click.echo()
            return
        try:
            reply = prompt.say(line)
        except Asked as asked:
            line = _ask(asked, line)
            if not line:
                click.echo("  nothing kept")
                continue
            reply = _second(prompt, line)
        except Refused as refused:
            say("\n".join(f"  {problem}" for problem in refused.problems))
            continue
        else:
            if reply is None:
                return
        if reply is not None:
            said = answer(prompt, reply)
            say(said) if said else None


def _ask(asked: Asked, line: str) -> str:
    """Ask, and return the line to say instead: an offer in place of the value, or insisting."""
    say(f"  {asked.question}")
    offers = [offer.text for offer in asked.offers]
    said = input(f"  {' / '.join([*offers, 'again', 'keep'])} > ").strip()
    if said == "keep":
        return f"{line} !"
    if said in ("", "again"):
        return ""
    if said.isdigit() and 1 <= int(said) <= len(offers):
        said = offers[int(said) - 1]
    words = line.split()
    last = max(
        (i for i, word in enumerate(words) if any(c.isdigit() for c in word)),
        default=len(words) - 1,
    )
    return " ".join([*words[:last], said])


def _second(prompt: Prompt, line: str) -> Reply:
    try:
        return prompt.say(line)
    except (Asked, Refused) as error:
        return Told(str(error))


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
