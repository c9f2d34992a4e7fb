"""`ringland sheet new`: ask for the few figures of a scope, keep them, say what to get."""

import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from shlex import quote
from textwrap import fill

import click

from ringland.bench.called import command
from ringland.bench.refusal import Refused
from ringland.bench.sheet_files import free_path, write_new
from ringland.bench.sheets import common_sheets
from ringland.cli.opening import REFUSED, Stopped
from ringland.cli.screen import say, width
from ringland.cli.sheet_talk import Talk
from ringland.sheet.load import Loaded, load_common, load_sheet
from ringland.sheet.missing import missing
from ringland.sheet.model import SCOPES
from ringland.sheet.writing import file_name, sheet_text

ROOM = 24  # for an answer behind its question


@click.command()
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    help="File or folder to write [default: the engine's name, here].",
)
def new(output: Path | None) -> None:
    """Ask for the few figures of a scope, write a sheet, and say what to get before the strip.

    Nothing is guessed: a number without unit is asked about, Enter skips, a page is optional.
    """
    if output is not None and not (output if output.is_dir() else output.parent).is_dir():
        raise Stopped(f"{output.parent}: there is no such folder; make it first", REFUSED)
    _line_editing()
    run(_asked, say, output)


def _asked(prompt: str) -> str:
    """Ask on one line; a long question stands above its answer, folded to the screen."""
    question = prompt.removesuffix("> ").rstrip()
    if not width() or len(prompt) + ROOM <= width():
        return input(prompt)
    say(question)
    indent = len(prompt) - len(prompt.lstrip())
    return input(f"{' ' * indent}> ")


def run(ask: Callable[[str], str], tell: Callable[[str], None], output: Path | None) -> None:
    """Hold the talk, keep what was answered, print what follows from it."""
    commons = {
        name: load_common(text, f"{name}.yaml").sheet for name, text in common_sheets().items()
    }
    talk = Talk(ask, tell, commons)
    whole = True
    target = output or Path()
    replacing = False
    try:
        talk.run()
        target, replacing = _target(talk, output)
    except (EOFError, KeyboardInterrupt):
        whole = False
        tell("")
        if not talk.draft.taken:
            raise Stopped("Stopped before the first figure: nothing was kept.", 1) from None
        tell("Stopped.")
        target = free_path(_wanted(talk, output))
    text = sheet_text(talk.draft, talk.sheet)
    try:
        write_new(target, text, replacing=replacing)
    except Refused as refused:
        raise Stopped(
            f"{refused}\nYour answers are not lost; here is the sheet:\n\n{text}", REFUSED
        ) from None
    loaded = load_sheet(text, str(target), common_sheets())
    for line in _kept(talk, loaded, target):
        tell(line)
    if whole:
        tell(_strip_list(talk, loaded, target))
    else:
        scope = f" --scope {talk.scope}" if talk.scope else ""
        tell("Go on in the file itself, with any editor. What is still open:")
        tell(f"  {command(f'sheet missing {quote(str(target))}{scope}')}")


def _wanted(talk: Talk, output: Path | None) -> Path:
    name = file_name(talk.draft.engine)
    if output is None:
        return Path(name)
    return output / name if output.is_dir() else output


def _target(talk: Talk, output: Path | None) -> tuple[Path, bool]:
    """Return where to write; over a file that is there only when the person says so."""
    wanted = _wanted(talk, output)
    while wanted.exists():
        free = free_path(wanted)
        said = talk.ask(
            f"{wanted} is there already. Enter writes {free.name}, or 'overwrite', or a name > "
        )
        said = said.strip()
        if said.casefold() == "overwrite" and wanted.is_file():
            return wanted, True
        if not said:
            return free, False
        named = said if said.endswith((".yaml", ".yml")) else f"{said}.yaml"
        wanted = wanted.with_name(named) if "/" not in named else Path(named)
    return wanted, False


def _kept(talk: Talk, loaded: Loaded, target: Path) -> list[str]:
    """The file, how many figures it has, what is not given and what that blocks."""
    from ringland.report.sheets import missing_rows

    questions = talk.questions
    skipped = [q for q in questions if not _given(talk, q.figure, limit=q.asks_limit)]
    given = len(questions) - len(skipped)
    lines = [
        f"Kept: {target} ({given} figure{'' if given == 1 else 's'}, {len(skipped)} not given)"
    ]
    names = {question.figure for question in skipped}
    found = [
        each
        for each in missing(loaded.sheet, loaded.figures, talk.scope)
        if each.name in names or (each.section == "tests" and each.asked)
    ]
    if found:
        lines += ["Not given, and never guessed:", *missing_rows(found, width=width())]
    lines.append("Read them back against the manual before the build:")
    lines.append(f"  {command(f'sheet read-back {quote(str(target))}')}")
    return lines


def _given(talk: Talk, name: str, *, limit: bool) -> bool:
    taken = talk.draft.taken.get(name)
    return taken is not None and (taken.figure.service if limit else taken.figure.new) is not None


def _strip_list(talk: Talk, loaded: Loaded, target: Path) -> str:
    from ringland.job.parts import parts_of_sheet
    from ringland.report.text import parts_text
    from ringland.report.view import parts_view

    assert talk.scope is not None  # the talk came to its end
    parts = parts_of_sheet(loaded.sheet, talk.scope)
    title = f"\nWhat to get before you strip ({SCOPES[talk.scope]})"
    lines = [parts_text(parts_view(parts), title=title, things=False, width=width())]
    for name, things in (("tools", parts.tools), ("supplies", parts.supplies)):
        names = f"{name}: {', '.join(thing.name for thing in things)}"
        lines.append(fill(names, width() or 96, subsequent_indent="  ") if things else "")
    lines.append("What each is for, and how to get by without:")
    lines.append(f"  {command(f'parts --sheet {quote(str(target))} --scope {talk.scope} --all')}")
    return "\n".join(filter(None, lines))


def _line_editing() -> None:
    """Arrow keys at the prompt, where the system has them."""
    if sys.stdin.isatty():
        with suppress(ImportError):
            import readline  # noqa: F401  # its import is its effect
