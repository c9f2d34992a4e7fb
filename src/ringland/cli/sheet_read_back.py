"""`ringland sheet read-back`: the typed figures read against the manual a second time.

The number is typed again, not nodded at. Each figure is kept as soon as it is read, so that
stopping loses nothing. Not here: what is compared (`ringland.sheet.readback`) and how the file's
text is changed (`ringland.sheet.editing`).
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import click

from ringland.bench.sheet_files import BOM, exact_text, replace_text
from ringland.bench.sheets import common_sheets, load
from ringland.cli.opening import clock, person, refusals
from ringland.quantity import MissingUnit, QuantityError
from ringland.sheet.editing import CannotEdit, with_figure, with_notes
from ringland.sheet.load import Loaded, load_sheet
from ringland.sheet.readback import (
    Note,
    Typed,
    completed,
    note_text,
    numbers_in,
    read_back_by,
    typed_figures,
)
from ringland.sheet.text import BadSheet

DONE = ("q", "quit", "stop")


@click.command("read-back")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--by", help="Who reads [default: $RINGLAND_BY or your user name].")
@click.option("--variant", help="Read the figures that this variant has otherwise.")
@click.option("-a", "--all", "everything", is_flag=True, help="Also what was read back before.")
def read_back(file: Path, by: str | None, variant: str | None, everything: bool) -> None:
    """Read the typed figures against the manual, by typing each number again.

    A figure is marked as read back in the file, with name and date. One that differs is shown both
    ways and asked about. Stop at any time: what was read is kept.
    """
    with refusals():
        reading = Reading(file, " ".join((by or person()).split()), clock()[:10], variant)
        reading.run(input, click.echo, everything=everything)


@dataclass(slots=True)
class Reading:
    """One reading of one file: who reads, on what day, which variant."""

    file: Path
    by: str
    day: str
    variant: str | None
    units: dict[str, str] = field(default_factory=dict)

    def run(
        self, ask: Callable[[str], str], say: Callable[[str], None], *, everything: bool = False
    ) -> None:
        """Go through the figures. Raises Refused for a sheet that cannot be used."""
        loaded = load(self.file, self.variant)
        wanted = self._wanted(loaded, everything)
        if not wanted:
            say("Every figure is read back; --all reads them again.")
            return
        say(f"{len(wanted)} figures of {loaded.sheet.engine}; reader: {self.by}")
        say("Look each up in the manual and type what stands there, with its unit.")
        say("Enter leaves one out, q stops; what was read is kept.")
        kept = 0
        try:
            for number, typed in enumerate(wanted, 1):
                kept += self._one(ask, say, f"{number:>3} ", typed)
        except (EOFError, KeyboardInterrupt, _Stop):
            say("")
        left = len(wanted) - kept
        say(
            f"Read back: {kept}. Not read back: {left}" + (", marked so in print." if left else ".")
        )

    def _wanted(self, loaded: Loaded, everything: bool) -> list[Typed]:
        base = loaded if self.variant is None else load(self.file)
        same = {t.key: t.value for t in typed_figures(base.sheet, base.figures)}
        return [
            typed
            for typed in typed_figures(loaded.sheet, loaded.figures)
            if (everything or not read_back_by(loaded.sheet, typed))
            and (self.variant is None or same.get(typed.key) != typed.value)
        ]

    def _one(
        self, ask: Callable[[str], str], say: Callable[[str], None], number: str, typed: Typed
    ) -> bool:
        beside = ", ".join(filter(None, [typed.shape, typed.page]))
        prompt = f"{number}{typed.key}{f' ({beside})' if beside else ''} > "
        while True:
            said = _typed(ask(prompt))
            if not said:
                return False
            try:
                read = completed(
                    said, typed, self.units, lambda what: _typed(ask(f"    {what} > "))
                )
                same = numbers_in(read, typed.kind) == numbers_in(typed.value, typed.kind)
            except MissingUnit:
                say("    with its unit, as the manual prints it: that is part of the figure")
                continue
            except QuantityError as error:
                say(f"    {error}")
                continue
            if same:
                return self._keep(say, typed, typed.value)
            answer = self._differs(ask, say, typed, read)
            if answer is not None:
                return answer

    def _differs(
        self, ask: Callable[[str], str], say: Callable[[str], None], typed: Typed, read: str
    ) -> bool | None:
        """Ask which is right; None to type it again."""
        say(f"    differs. In the sheet: {typed.value}.  You read: {read}.")
        said = ask(
            "    Look again. Right is: 1 the sheet, 2 what I read, 3 type it again > "
        ).strip()
        if said == "1":
            return self._keep(say, typed, typed.value)
        if said == "2":
            return self._keep(say, typed, read)
        if said == "3":
            return None
        say("    left as it is, not read back")
        return False

    def _keep(self, say: Callable[[str], None], typed: Typed, value: str) -> bool:
        """Note it in the file, which is read afresh: someone may have it open in an editor."""
        try:
            text = exact_text(self.file)
            mark = BOM if text.startswith(BOM) else ""
            text = text.removeprefix(BOM)
            if value != typed.value:
                path = load(self.file, self.variant).where(typed.path)
                text = with_figure(text, path, typed.raw, value)
                load_sheet(text, str(self.file), common_sheets(), variant=self.variant)
            note = note_text(Note(self.by, self.day, value))
            key = load(self.file, self.variant).where(("read back", typed.key))[-1]
            text = with_notes(text, {key: note}, variant=self.variant)
        except (CannotEdit, BadSheet) as error:
            say(f"    not kept: {error}")
            return False
        replace_text(self.file, mark + text)
        if value != typed.value:
            say(f"    corrected in {self.file}")
        return True


def _typed(text: str) -> str:
    said = " ".join(text.split())
    if said.casefold() in DONE:
        raise _Stop
    return said


class _Stop(Exception):
    """The reader has had enough for today."""
