"""The sheets that were written on the page: text files in the server's own folder.

A sheet's name is made of letters, digits and dashes, so that no path from outside becomes one.
"""

import re
from dataclasses import replace
from pathlib import Path

from ringland.bench.refusal import Refused
from ringland.bench.sheets import common_sheets
from ringland.quantity import QuantityError
from ringland.sheet.asking import Doubt, Habits, Taken, take
from ringland.sheet.editing import CannotEdit, with_notes
from ringland.sheet.fastener import parse_fastener
from ringland.sheet.figure import parse_figure, split_page
from ringland.sheet.figures import kind_of
from ringland.sheet.load import Loaded, load_common, load_sheet
from ringland.sheet.model import Question, Sheet
from ringland.sheet.readback import Note, completed, note_text, same_value, typed_figures
from ringland.sheet.text import BadSheet, Tree, read_source
from ringland.sheet.writing import Draft, line_of, scalar, sheet_text, together

NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,59}")
FOLDER = "sheets"


def names(folder: Path) -> list[str]:
    """Return the names of the sheets there are."""
    return sorted(file.stem for file in (folder / FOLDER).glob("*.yaml"))


def file_of(folder: Path, name: str) -> Path:
    """Return the file of a sheet that is there. Raises Refused."""
    if name not in names(folder):
        known = ", ".join(names(folder)) or "none yet"
        raise Refused(f"there is no sheet {name!r} here; there are: {known}")
    return folder / FOLDER / f"{name}.yaml"


def new_file(folder: Path, engine: str) -> Path:
    """Return the file for a new sheet, named after its engine. Raises Refused."""
    name = "-".join(re.findall(r"[a-z0-9]+", engine.casefold()))[:60]
    if not NAME.fullmatch(name):
        raise Refused("name the engine in letters and digits, such as Tarrow 124")
    if name in names(folder):
        raise Refused(f"there is a sheet {name} already: open it")
    (folder / FOLDER).mkdir(parents=True, exist_ok=True)
    return folder / FOLDER / f"{name}.yaml"


def start(engine: str, common: str, not_fitted: tuple[str, ...]) -> str:
    """Return the text of a new sheet. Raises Refused."""
    if common not in common_sheets():
        raise Refused(f"there is no common sheet {common!r}: {', '.join(common_sheets())}")
    general = load_common(common_sheets()[common], f"{common}.yaml").sheet
    unknown = [each for each in not_fitted if each not in general.features]
    if unknown:
        raise Refused(f"{unknown[0]!r} is no feature of it: {', '.join(general.features)}")
    return sheet_text(Draft(" ".join(engine.split()), common, not_fitted), general)


def with_answer(text: str, question: Question, answer: str, *, insist: bool) -> str | Doubt:
    """Return the sheet's text with one more figure, or the question that comes first.

    Raises Refused for an answer that is no figure, and for a sheet that the page cannot write.
    """
    sheet = checked(text).sheet
    try:
        taken = take(sheet, question, answer, habits=Habits(), insist=insist)
        if isinstance(taken, Doubt):
            return taken
        tree = read_source(text, "the sheet").tree
        section = "fasteners" if question.figure in sheet.fasteners else "figures"
        lines = tree.get(section, {})
        before = lines.get(question.figure, "")
        line = line_of(sheet, question.figure, _with_before(sheet, question.figure, before, taken))
    except QuantityError as error:
        raise Refused(f"{question.ask}: {error}") from None
    made = written({**tree, section: {**lines, question.figure: line}})
    checked(made)
    return made


def with_read_back(text: str, key: str, said: str, *, by: str, day: str) -> str:
    """Return the sheet's text with a note that a figure was read back as it stands there.

    key : the figure; said : what the reader typed from the manual
    Raises Refused where it differs, is no figure, or is half of one.
    """
    loaded = checked(text)
    typed = next((t for t in typed_figures(loaded.sheet, loaded.figures) if t.key == key), None)
    if typed is None:
        raise Refused(f"{key!r} is no figure that can be read back in this sheet")
    try:
        read = completed(said.strip(), typed, {}, lambda _half: "")
        same = same_value(read, typed.value, typed.kind)
    except QuantityError as error:
        raise Refused(f"{key}: {error}") from None
    if not same:
        raise Refused(
            f"{key} differs. In the sheet: {typed.value}. You read: {read}. Nothing was noted. "
            "Look again: type it again, or copy the figure anew where the sheet is wrong."
        )
    try:
        return with_notes(text, {key: note_text(Note(by, day, typed.value))})
    except CannotEdit as error:
        raise Refused(f"{key}: {error}") from None


def _with_before(sheet: Sheet, name: str, before: object, taken: Taken) -> Taken:
    """What stood there already: the other half of the figure, the other clauses of a group."""
    if not isinstance(before, str) or not before:
        return taken
    if name in sheet.fasteners:
        fields = parse_fastener(before)
        fields.pop("torque", None)
        return replace(taken, fastener={**fields, **taken.fastener})
    said, page = split_page(before)
    old = Taken(parse_figure(said, kind_of(sheet, name) or "length"), page)
    return together(old, taken)


def written(tree: Tree) -> str:
    """Return the text of a sheet of plain lines. Raises Refused for one with more in it."""
    out = []
    for key, value in tree.items():
        if isinstance(value, str):
            out.append(f"{key}: {scalar(value)}")
        elif isinstance(value, list) and all(isinstance(each, str) for each in value):
            out.append(f"{key}: {', '.join(value) or '[]'}")
        elif isinstance(value, dict) and all(isinstance(each, str) for each in value.values()):
            out.append(f"{key}:")
            out += [f"  {scalar(name)}: {scalar(text)}" for name, text in value.items()]
        else:
            raise Refused(f"{key}: the page writes plain lines only: edit the sheet's text below")
    return "".join(f"{line}\n" for line in out)


def checked(text: str) -> Loaded:
    """Load a text as the file would be. Raises Refused with every problem, by line and column."""
    try:
        return load_sheet(text, "sheet", common_sheets())
    except BadSheet as error:
        raise Refused(*map(str, error.problems)) from None
