"""Load sheets: layers laid over each other, the whole read, every problem in its place at once.

Layers, each holding only what differs: the common sheet that an engine sheet extends, the engine
sheet, one of its variants. A layer wins over those before it, name by name.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from ringland.sheet.figures import Figures, read_figures, read_leaflet
from ringland.sheet.fitted import fitted_words
from ringland.sheet.layers import made_ready, merged, spellings, variant_layer, without
from ringland.sheet.model import Leaflet, Sheet
from ringland.sheet.problems import in_order, of_troubles, problem, validated
from ringland.sheet.references import broken_references
from ringland.sheet.text import BadSheet, Path, Problem, Source, Tree, did_you_mean, read_source


@dataclass(frozen=True, slots=True)
class Loaded:
    """A sheet that is sound: its merged tree (what a job keeps), its content, its figures.

    written : the path as the file has it, of what was brought to another name or section
    """

    tree: Tree
    sheet: Sheet
    figures: Figures
    variants: tuple[str, ...] = ()
    written: Mapping[Path, Path] = field(default_factory=dict)

    def where(self, path: Path) -> Path:
        """Return a path of the merged tree as the file has it."""
        for length in range(len(path), 0, -1):
            if path[:length] in self.written:
                return self.written[path[:length]] + path[length:]
        return path


def load_sheet(
    text: str, file: str, common: Mapping[str, str], *, variant: str | None = None
) -> Loaded:
    """Load an engine sheet over the common sheet it extends.

    text, file : the sheet's text, and the name used in messages
    common : name to text of the common sheets there are
    variant : one of the sheet's `variants`, or None for the base figures
    Raises BadSheet with every problem.
    """
    source, variants = _engine(text, file)
    if variant is not None and variant not in variants:
        known = ", ".join(variants) or "none"
        why = f"no variant {variant!r} here; there are: {known}.{did_you_mean(variant, variants)}"
        raise BadSheet([problem(source, ("variants",), why, file)])
    loaded, problems = _laid(source, common, file, variant, variants)
    if loaded is None:
        raise BadSheet(problems)
    return loaded


def load_variants(text: str, file: str, common: Mapping[str, str]) -> dict[str | None, Loaded]:
    """Load a sheet with its base figures (None) and as each of its variants.

    Raises BadSheet with the problems of all of them.
    """
    source, variants = _engine(text, file)
    found: dict[str | None, Loaded] = {}
    problems: list[Problem] = []
    for variant in (None, *variants):
        loaded, more = _laid(source, common, file, variant, variants)
        problems += more
        if loaded is not None:
            found[variant] = loaded
    if problems:
        raise BadSheet(in_order(problems))
    return found


def load_common(text: str, file: str) -> Loaded:
    """Load a common sheet by itself, as if an engine without figures extended it."""
    source = _common(text, file)
    named = {"engine": source.tree.get("common sheet", file), **source.tree}
    return _sound([without(Source(named, source.places), "common sheet")], file)


def load_leaflet(text: str, file: str, sheet: Sheet) -> tuple[Tree, Leaflet]:
    """Load a part sheet to be used with an engine sheet. Raises BadSheet."""
    source = read_source(text, file)
    leaflet, problems = validated(source, Leaflet, file)
    if leaflet is not None:
        problems += of_troubles(source, read_leaflet(leaflet, sheet)[1], file)
        if leaflet.name not in sheet.parts and "part" in source.tree:
            near = did_you_mean(leaflet.name, sheet.parts)
            why = f"the engine has no part {leaflet.name!r}.{near}"
            problems.append(problem(source, ("part",), why, file))
    if problems or leaflet is None:
        raise BadSheet(in_order(problems))
    return source.tree, leaflet


def sheet_of(tree: Tree) -> tuple[Sheet, Figures]:
    """Read a merged tree again, as a job keeps it. Raises BadSheet if it is no longer readable."""
    loaded = _sound([Source(tree, {})], "the job's own sheet")
    return loaded.sheet, loaded.figures


def _engine(text: str, file: str) -> tuple[Source, tuple[str, ...]]:
    source = read_source(text, file)
    variants = source.tree.get("variants", {})
    if not isinstance(variants, dict):
        why = "name each variant, then what differs, further in"
        raise BadSheet([problem(source, ("variants",), why, file)])
    if "part" in source.tree and "engine" not in source.tree:
        why = "this is a part's leaflet, not an engine sheet"
        raise BadSheet([problem(source, ("part",), why, file)])
    return source, tuple(variants)


def _laid(
    source: Source,
    common: Mapping[str, str],
    file: str,
    variant: str | None,
    variants: tuple[str, ...],
) -> tuple[Loaded | None, list[Problem]]:
    """Lay the layers of one sheet and read the whole; nothing and the problems if it is unsound."""
    layers = _extended(source, common, file)
    layers.append(without(source, "variants"))
    problems: list[Problem] = []
    if variant is not None:
        layer, problems = variant_layer(source, variant, layers)
        layers.append(layer)
    loaded, found = _read(layers, file)
    problems = in_order(problems + found)
    if loaded is None or problems:
        return None, problems
    return replace(loaded, variants=variants), []


def _extended(source: Source, common: Mapping[str, str], file: str) -> list[Source]:
    name = source.tree.get("extends")
    if name is None:
        return []
    if not isinstance(name, str) or name not in common:
        near = did_you_mean(str(name), common) or f" There are: {', '.join(common)}"
        why = f"there is no common sheet {name!r}.{near}"
        raise BadSheet([problem(source, ("extends",), why, file)])
    return [without(_common(common[name], f"{name}.yaml"), "common sheet")]


@lru_cache(maxsize=4)
def _common(text: str, file: str) -> Source:
    # parsing its thousand lines is nearly all the time of loading a sheet: about 0.15 s
    return read_source(text, file)


def _sound(layers: Sequence[Source], file: str) -> Loaded:
    loaded, problems = _read(layers, file)
    if loaded is None or problems:
        raise BadSheet(problems)
    return loaded


def _read(layers: Sequence[Source], file: str) -> tuple[Loaded | None, list[Problem]]:
    ready, problems = made_ready(layers)
    whole = merged(ready)
    tree, unknown = fitted_words(whole.tree)
    sheet, found = validated(replace(whole, tree=tree), Sheet, file)
    problems += found
    if sheet is None:
        return None, in_order(problems)
    if whole.tree.get("engine") == "":
        why = "nothing is written behind it: name the engine"
        problems.append(problem(whole, ("engine",), why, file))
    figures, troubles = read_figures(sheet)
    lost = _lost(whole.tree, sheet) if found else ()
    troubles += [*unknown, *broken_references(sheet)]
    troubles = [each for each in troubles if not any(repr(name) in each.message for name in lost)]
    problems += of_troubles(whole, troubles, file)
    return Loaded(whole.tree, sheet, figures, written=whole.written), in_order(problems)


def _lost(tree: Tree, sheet: Sheet) -> set[str]:
    """Names that were set aside as unreadable: what points at them is no second problem."""
    kept = spellings([Source(sheet.model_dump(by_alias=True), {})], tree)
    return set(spellings([Source(tree, {})], tree).values()) - set(kept.values())
