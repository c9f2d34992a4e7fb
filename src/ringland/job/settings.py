"""Every figure that the build is set to, computed for this engine, wrench and piston."""

from collections.abc import Iterator
from dataclasses import dataclass

from ringland.engine.piston import SizeClass, fit_of_class
from ringland.fasten.adapter import AdapterError
from ringland.fasten.stages import stages_of
from ringland.fasten.wrench import (
    Offset,
    TorqueWrench,
    WrenchRefused,
    WrenchSetting,
    choose,
    set_for,
)
from ringland.job.book import Book
from ringland.job.case import Case
from ringland.job.entries import Gauge
from ringland.job.torques import order_of
from ringland.quantity import Quantity, parse_quantity, show, show_number, show_pair
from ringland.sheet.figures import Ruling

NO_CHANCE = 0.05  # below it a class is no choice; default of ISO 14253-1 for a refuted conformity


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting: what for, the value, how it is worked out or what it rests on.

    missing : what is needed before it can be given; then there is no value
    """

    name: str
    value: str
    remark: str = ""
    source: str = ""
    missing: str = ""


def settings(case: Case) -> list[Setting]:
    """Return all settings of a job, in the order of the build."""
    return [*_limits(case), *_pistons(case), *_torques(case), *_fluids(case)]


def _limits(case: Case) -> Iterator[Setting]:
    """What the new combination is fitted to."""
    checks = case.book.sheet.checks
    through = {base for check in checks.values() for base in check.of}  # a skirt: by its clearance
    for name, check in checks.items():
        if check.taken == "as found" or not case.wanted(name, "as fitted") or check.unit == "feel":
            continue
        ruling = case.book.ruling(name, "as fitted")
        span = ruling and (ruling.figure.new or ruling.figure.service)
        if ruling is not None and span is not None:
            yield Setting(name, str(span), _outranks(ruling), _where(ruling))
        elif check.unit == "length" and name not in through:
            offered = _offered(check.common_practice)
            yield Setting(name, "", missing="no figure in the sheet", remark=offered)


def _offered(common_practice: str) -> str:
    return f"common practice, not the maker's: {common_practice}" if common_practice else ""


def _outranks(ruling: Ruling) -> str:
    if ruling.outranked is None or ruling.outranked.new is None:
        return ""
    return f"outranks the engine sheet's {ruling.outranked.new}"


def _where(ruling: Ruling) -> str:
    page = f", {ruling.figure.page}" if ruling.figure.page else ""
    return f"{ruling.source}{page}"


def _pistons(case: Case) -> Iterator[Setting]:
    """Which class fits the measured bore, best first."""
    classes = case.book.figures.classes
    if not classes or "piston" not in case.renew:
        return
    window = case.book.ruling("piston to barrel", "as fitted")
    span = window.figure.new if window else None
    bore = case.verdicts.get(("bore", "as found"))
    if span is None or span.low is None or span.high is None:
        yield Setting("piston class", "", missing="the new clearance is not given in the sheet")
        return
    if bore is None or bore.value is None or bore.value.estimate is None:
        yield Setting(
            "piston class", "", missing="the bore is not measured: a class is ordered after it"
        )
        return
    estimate = bore.value.least or bore.value.estimate
    uneven = bore.value.estimate.value - estimate.value
    limits = (span.low.si, span.high.si)
    fits = [
        (
            name,
            fit_of_class(
                estimate, SizeClass(name, each.low.si, each.high.si), limits, uneven=uneven
            ),
        )
        for name, each in classes.items()
        if each.low is not None and each.high is not None
    ]
    if max((fit.probability or 0.0 for _, fit in fits), default=0.0) < NO_CHANCE:
        least = show(estimate.value, span.high.unit, 3)
        why = f"no class sold lands in {span} in this bore (least {least}, uneven by {show(uneven, span.high.unit, 3)})"
        yield Setting("piston class", "", missing=why)
        return
    for name, fit in sorted(fits, key=lambda each: -(each[1].probability or 0.0)):
        share = show_number(100 * (fit.probability or 0.0), 0)
        chance = f"chance that the clearance lands in {span}"
        yield Setting(
            f"piston class {name}", f"{share} %", chance, _where(window) if window else ""
        )


def _torques(case: Case) -> Iterator[Setting]:
    shelf = wrenches(case.state.gauges)
    for name, group in case.groups().items():
        figure = case.book.figures.torques.get(name)
        torque = torque_of(case.book, name)
        if figure is None or torque is None:
            how = "by feel is legal here, and is recorded" if group.by_feel else ""
            yield Setting(name, "", how, missing="no torque in the sheet")
            continue
        ordered = group.count > 2 and group.order not in ("any order", "in turn")
        order = "-".join(map(str, order_of(group))) if ordered else ""
        condition = f", {group.condition}" if group.condition else ""
        head = f"{group.count} × {group.thread}, {show_pair(torque)}{condition}"
        yield Setting(
            name,
            head,
            _wrench_words(shelf, torque, group.by_feel),
            f"engine sheet {figure.page}".strip(),
        )
        if order:
            yield Setting("  order", order, "seen from above, 1 at the exhaust, clockwise")


def _wrench_words(shelf: list[TorqueWrench], torque: Quantity, by_feel: bool) -> str:
    if not shelf:
        return "no torque wrench on the shelf: ringland gauge add"
    choice = choose(shelf, torque.si)
    if not choice.suited:
        refused = "; ".join(reason for _, reason in choice.refused)
        return f"by feel, recorded as such: {refused}" if by_feel else refused
    return setting_words(choice.suited[0])


def setting_words(found: WrenchSetting) -> str:
    """Return "set 28 N·m on TW-2; the nut gets 28.0 N·m"."""
    unit = found.wrench.unit
    return f"set {found.mark} {unit.name} on {found.wrench.name}; the nut gets {show(found.torque, unit, 1)}"


def torque_of(book: Book, group: str) -> Quantity | None:
    """Return the final torque of a group: the sheet's value, the middle of a range."""
    figure = book.figures.torques.get(group)
    span = figure.new if figure else None
    if span is None or span.low is None or span.high is None:
        return None
    if span.low.number == span.high.number:
        return span.low
    return Quantity((span.low.number + span.high.number) / 2, span.high.unit, str(span))


def wrenches(gauges: dict[str, Gauge]) -> list[TorqueWrench]:
    """Return the torque wrenches among the gauges, as the fastening room knows them."""
    found = []
    for gauge in gauges.values():
        if gauge.kind == "torque wrench" and gauge.low and gauge.high and gauge.resolution:
            low, high, step = (
                parse_quantity(text, "torque") for text in (gauge.low, gauge.high, gauge.resolution)
            )
            length = parse_quantity(gauge.length, "length").si if gauge.length else None
            found.append(
                TorqueWrench(gauge.id, low.number, high.number, step.number, high.unit, length)
            )
    return found


class Snug(str):
    """Why a stage below the final torque is pulled by feel: the wrench in hand begins higher."""

    __slots__ = ()


def stage_settings(
    case: Case, group: str, wrench: TorqueWrench, offset: Offset | None
) -> list[tuple[str, WrenchSetting | str]]:
    """Return each stage's name with the wrench's setting, or why there is none."""
    torque = torque_of(case.book, group)
    if torque is None:
        return []
    content = case.book.sheet.fasteners[group]
    found: list[tuple[str, WrenchSetting | str]] = []
    for stage in stages_of(torque.si, shares=[share / 100 for share in content.stages]):
        if stage.check and not content.check_pass:
            continue
        try:
            said: WrenchSetting | str = set_for(
                wrench, stage.torque, offset=offset, final=stage.final
            )
        except (WrenchRefused, AdapterError) as refused:
            said = str(refused)
            if not stage.final and stage.torque < wrench.unit.to_si(wrench.low):
                said = Snug(
                    f"snug by feel; {wrench.name} begins at {wrench.low} {wrench.unit.name}"
                )
        found.append((stage.name, said))
    return found


def offset_of(adapter: str, angle: str) -> Offset | None:
    """Return the adapter as it stands on the wrench, from texts with units; None for none."""
    if not adapter:
        return None
    turned = parse_quantity(angle, "angle", default="deg")
    return Offset(parse_quantity(adapter, "length").si, turned.si)


def _fluids(case: Case) -> Iterator[Setting]:
    for name, text in case.book.sheet.fluids.items():
        said, _, page = text.partition("@")
        yield Setting(name, said.strip(), source=f"engine sheet {page.strip()}".strip())
