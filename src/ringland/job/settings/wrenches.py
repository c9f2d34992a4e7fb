"""The wrench in hand: which one, its setting for each stage, the adapter as it stands on it."""

from dataclasses import replace

from ringland.fasten.adapter import AdapterError
from ringland.fasten.stages import stages_of
from ringland.fasten.wrench import (
    Offset,
    TorqueWrench,
    WrenchRefused,
    WrenchSetting,
    set_for,
)
from ringland.job.book import Book
from ringland.job.case import Case
from ringland.job.log.entries import Gauge
from ringland.job.settings.number import Number, as_typed
from ringland.quantity import Quantity, parse_quantity


class Snug(str):
    """Why a stage below the final torque is pulled by feel: the wrench in hand begins higher."""

    __slots__ = ()


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


def setting_words(found: WrenchSetting) -> str:
    """Return "set 28 N·m on TW-2; the nut gets 28.0 N·m ± 4 %"."""
    mark, nut = setting_numbers(found)
    claimed = f" ± {100 * found.deviation:.0f} %" if found.deviation else ""
    return f"set {mark.words} on {found.wrench.name}; the nut gets {nut.words}{claimed}"


def setting_numbers(found: WrenchSetting) -> tuple[Number, Number]:
    """Return the mark to set, and what the nut then gets with what the wrench may be off."""
    wrench, off = found.wrench, found.deviation
    mark = as_typed("set", Quantity(found.mark, wrench.unit))
    nut = Number(wrench.unit, 1, "at the nut", found.torque, source=f"{wrench.name}, ISO 6789")
    if off is not None:
        nut = replace(nut, low=found.torque * (1 - off), high=found.torque * (1 + off))
    return replace(mark, source=f"nearest mark of {wrench.name}"), nut
