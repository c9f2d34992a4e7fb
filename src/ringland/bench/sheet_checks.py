"""Check files of sheets and leaflets: what is sound in a line each, what is not with its place."""

from collections.abc import Sequence
from pathlib import Path

from ringland.bench.called import command
from ringland.bench.refusal import Refused
from ringland.bench.sheets import common_sheets, read_text
from ringland.sheet.load import Loaded, load_leaflet, load_variants
from ringland.sheet.missing import missing
from ringland.sheet.text import BadSheet, Source, read_source


def check_files(files: Sequence[Path], engine: Path | None) -> tuple[list[str], list[str]]:
    """Return a line for each sound file, and every problem of the others.

    engine : the engine sheet for leaflets; without it, one of the files that a leaflet names
    """
    good: list[str] = []
    problems: list[str] = []
    engines: dict[str, Loaded] = {}
    leaflets: list[tuple[Path, str, Source]] = []
    for path in [*files, *([engine] if engine and engine not in files else [])]:
        try:
            text = read_text(path)
            source = read_source(text, str(path))
            if "part" in source.tree and "engine" not in source.tree:
                leaflets.append((path, text, source))
                continue
            found = load_variants(text, str(path), common_sheets())[None]
            engines[found.sheet.engine] = found
            engines[str(path)] = found
            good.append(_sheet_line(path, found)) if path in files else None
        except Refused as refused:
            problems += refused.problems
        except BadSheet as error:
            problems += map(str, error.problems)
    for path, text, source in leaflets:
        try:
            good.append(_leaflet_line(path, text, _engine_of(path, source, engines, engine)))
        except Refused as refused:
            problems += refused.problems
        except BadSheet as error:
            problems += map(str, error.problems)
    return good, problems


def _engine_of(
    path: Path, source: Source, engines: dict[str, Loaded], engine: Path | None
) -> Loaded:
    if engine is not None:
        if str(engine) not in engines:
            raise Refused(f"{path}: not checked, since {engine} cannot be used")
        return engines[str(engine)]
    named = source.tree.get("for", "")
    for name in named.split(", ") if isinstance(named, str) else map(str, named):
        if name in engines:
            return engines[name]
    raise Refused(
        f"{path}:1:1: a part's leaflet is checked against its engine sheet: add --for ENGINE.yaml"
    )


def _sheet_line(path: Path, found: Loaded) -> str:
    figures, sheet = found.figures, found.sheet
    torques = f"{len(figures.torques)} torques"
    variants = f", {len(found.variants)} variants" if found.variants else ""
    open_ = sum(each.asked for each in missing(sheet, figures))
    rest = f"; {open_} not given: {command(f'sheet missing {path}')}" if open_ else ""
    return f"{path}: sound, {len(figures.limits)} figures, {torques}{variants}{rest}"


def _leaflet_line(path: Path, text: str, engine: Loaded) -> str:
    _, leaflet = load_leaflet(text, str(path), engine.sheet)
    count = f"{len(leaflet.figures)} figure{'' if len(leaflet.figures) == 1 else 's'}"
    engines = ", ".join(leaflet.for_) or "any engine"
    other = "" if engine.sheet.engine in leaflet.for_ else f", read with {engine.sheet.engine}"
    return f"{path}: sound, leaflet of {leaflet.part} for {engines}{other}, {count}"
