"""What is fitted against what was read: squish with its gasket, a piston with its box and stamp.

Start with `squish_change` and `which_piston`.
"""

import re
from collections.abc import Iterator

from ringland.engine.identity import check_identity
from ringland.engine.piston import SizeClass
from ringland.engine.refusal import OutOfRange
from ringland.job.book import Book
from ringland.job.disagree.disagreement import Disagreement, Values, linked, millimetres
from ringland.job.log.fold import State
from ringland.job.readings.value import CONDITIONS, Value
from ringland.measure.consistency import Relation
from ringland.quantity import Estimate, QuantityError, parse_quantity

GASKET_TOLERANCE = 20e-6  # m; common practice: how a gasket of a thickness beds when tightened
LABEL_DOUBT = 5e-6  # m; common practice: what a gasket of a printed thickness may differ by
LAPPED = "faces lapped"  # the step whose remark says how much came off
_CLASS = r"(?:class\s+)?([A-Za-z0-9]+)"
_LABEL = re.compile(rf"\b(?:class|box|label|kit)\s+{_CLASS}", re.IGNORECASE)
_STAMP = re.compile(rf"\b(?:stamp(?:ed)?|crown)\s+{_CLASS}", re.IGNORECASE)
_LENGTH = re.compile(r"(\d*[.,]?\d+)\s*(mm|in|thou|µm)\b")


# -- squish ------------------------------------------------------------------------------------


def squish_change(state: State, values: Values) -> Iterator[Disagreement]:
    """Squish after less squish before is what the gasket changed, less what was lapped off."""
    squish = [values.get(("squish", condition)) for condition in CONDITIONS]
    before, after = (value.estimate if value else None for value in squish)
    fitted = squish[1]
    if before is None or after is None or fitted is None:
        return
    # what was renewed or lapped since tells of a squish that is still to be read
    earlier = _entries_before(state, fitted.entries[-1])
    old = _thickness(values.get(("gasket thickness", "as found")))
    new = _fitted_gasket(state, values, earlier)
    if old is None or new is None:
        return
    off = sum(
        length
        for said in state.done.get(LAPPED, [])
        if said.entry in earlier
        for length in _lengths(said.fact.remark)
    )
    quantities = {
        "the squish before": before,
        "the squish now": after,
        "the old gasket": old,
        "the new gasket": new,
    }
    factors = dict(zip(quantities, (-1.0, 1.0, 1.0, -1.0), strict=True))
    relation = Relation("squish change = gasket change − skim", factors, -off, GASKET_TOLERANCE)
    found = linked(quantities, relation, ("the squish now", "the new gasket"))
    if found is None:
        return
    change = after.value - before.value
    expected = new.value - old.value - off
    yield Disagreement(
        (("squish", "as fitted"),),
        f"the squish changed by {millimetres(change)}; "
        f"gasket and face changed by {millimetres(expected)}",
        f"measure {found.measure_next} again; or another gasket lies in, or dirt under the foot",
    )


def _entries_before(state: State, entry: str) -> set[str]:
    found: set[str] = set()
    for each in state.entries:
        if each.id == entry:
            break
        found.add(each.id)
    return found


def _thickness(read: Value | None) -> Estimate | None:
    return read.estimate if read else None


def _fitted_gasket(state: State, values: Values, earlier: set[str]) -> Estimate | None:
    """Thickness of the gasket that was in: as its label says, else as it was read."""
    renewed = [said for said in state.renewed.get("base gasket", []) if said.entry in earlier]
    lengths = [length for said in renewed for length in _lengths(said.fact.label)]
    if lengths:
        return Estimate(lengths[-1], LABEL_DOUBT)
    return _thickness(values.get(("gasket thickness", "as fitted")))


def _lengths(text: str) -> list[float]:
    found = []
    for number, unit in _LENGTH.findall(text):
        try:
            found.append(parse_quantity(f"{number} {unit}", "length", comma="decimal").si)
        except QuantityError:
            continue
    return found


# -- which piston ------------------------------------------------------------------------------


def marks_of(text: str) -> tuple[str | None, str | None]:
    """Return the class on the box and the one on the crown, from what was typed of a new piston.

    >>> marks_of("class B stamp C"), marks_of("box A"), marks_of("from the shelf")
    (('B', 'C'), ('A', None), (None, None))
    """
    stamp = _STAMP.search(text)
    label = _LABEL.search(_STAMP.sub("", text))
    return (label[1] if label else None), (stamp[1] if stamp else None)


def which_piston(book: Book, state: State, values: Values) -> Iterator[Disagreement]:
    """Box, crown and micrometer must name one class; the class wanted is another question."""
    renewed = state.renewed.get("piston", [])
    classes = [
        SizeClass(name, span.low.si, span.high.si)
        for name, span in book.figures.classes.items()
        if span.low is not None and span.high is not None
    ]
    if not renewed or not classes:
        return
    label, stamp = marks_of(renewed[-1].fact.label)
    skirt = values.get(("piston skirt", "as fitted"))
    read = skirt.estimate if skirt else None
    if sum(each is not None for each in (label, stamp, read)) < 2:
        return
    try:
        found = check_identity(classes, label=label, stamp=stamp, measured=read)
    except OutOfRange:  # a mark that this sheet has no class for
        return
    if found.state != "readings disagree":
        return
    likely = max(found.by_micrometer, key=lambda each: each[1], default=None)
    by_size = f"; by its size it is {likely[0]}" if likely and likely[1] > 0.5 else ""
    todo = (
        "measure the skirt" if read is None else "measure the skirt once more, with another gauge"
    )
    yield Disagreement(
        (("piston skirt", "as fitted"),),
        "; ".join(found.contradictions) + by_size,
        f"{todo}, before it is fitted or sent back",
    )
