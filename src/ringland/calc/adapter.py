"""Calculator: set a torque wrench with an offset adapter, or what the nut gets at a setting."""

from collections.abc import Iterator
from decimal import Decimal
from math import degrees, pi
from typing import Any, NamedTuple

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.shown import told
from ringland.fasten.adapter import (
    AdapterError,
    delivered,
    delivered_estimate,
    setting,
    setting_estimate,
    setting_sensitivities,
)
from ringland.fasten.wrench import Offset, TorqueWrench, WrenchRefused, WrenchSetting, set_for
from ringland.quantity import (
    Estimate,
    Quantity,
    QuantityError,
    Unit,
    find_unit,
    parse_number,
    parse_span,
    show,
    show_number,
    show_pair,
)

NEWTON_METRE = find_unit("N·m")
MILLIMETRE = find_unit("mm")
FIELD_OF = {"wrench_length": "wrench", "adapter_length": "adapter"}  # the others are alike
WORTH_SHOWING = 0.005  # of the torque: a smaller error is not worth a line


class _Case(NamedTuple):
    wrench: Estimate
    adapter: Estimate
    angle: Estimate
    unit: Unit
    is_inch: bool  # lengths were typed in inches

    @property
    def geometry(self) -> tuple[float, float, float]:
        return self.wrench.value, self.adapter.value, self.angle.value


def _compute(given: Inputs) -> Answer:
    case = _Case(
        Estimate(given.si("wrench"), given.si("wrench-doubt")),
        Estimate(given.si("adapter"), given.si("adapter-doubt")),
        Estimate(given.si("angle"), given.si("angle-doubt")),
        (given["torque"] or given["setting"] or Quantity(Decimal(1), NEWTON_METRE)).unit,
        told(given, "length", "wrench", "adapter").lead != MILLIMETRE,
    )
    if (given["torque"] is None) == (given["setting"] is None):
        raise BadInputs(
            [("torque", "give the torque wanted at the nut, or a setting: one of them")]
        )
    try:
        if given["torque"] is None:
            return _nut_gets(given.si("setting"), case)
        return _what_to_set(given.si("torque"), case, _wrench_of(given))
    except AdapterError as error:
        raise BadInputs([(FIELD_OF.get(error.name, error.name), str(error))]) from None
    except WrenchRefused as error:
        raise BadInputs([("scale", str(error))]) from None


def _wrench_of(given: Inputs) -> TorqueWrench | None:
    if given["scale"] is None:
        return None
    try:
        span = parse_span(given["scale"], "torque")
        if span.low is None or span.high is None or span.low.number == span.high.number:
            raise QuantityError("write the ends of its scale, as in 10-60 N·m")
        graduation = parse_number(given["graduation"])
        unit = span.high.unit
        low = Decimal(repr(unit.from_si(span.low.si))) if span.low.unit != unit else span.low.number
        return TorqueWrench(
            "this wrench", low, span.high.number, graduation, unit, given.si("wrench")
        )
    except ValueError as error:
        raise BadInputs([("scale", str(error))]) from None


def _what_to_set(torque: float, case: _Case, wrench: TorqueWrench | None) -> Answer:
    exact = setting_estimate(Estimate(torque, 0), case.wrench, case.adapter, case.angle)
    on_mark = None
    if wrench is not None:
        on_mark = set_for(wrench, torque, offset=Offset(case.adapter.value, case.angle.value))
    gets = torque if on_mark is None else on_mark.torque
    shown = exact.value if on_mark is None else on_mark.setting
    unit = case.unit if on_mark is None else on_mark.wrench.unit
    fields: dict[str, Any] = {
        "torque_N_m": torque,
        "set_N_m": exact.value,
        "set_standard_uncertainty_N_m": exact.u,
        "nut_gets_N_m": gets,
        "nut_gets_if_left_N_m": delivered(torque, *case.geometry),
        **_slopes(torque, case),
    }
    if on_mark is not None:
        fields["mark"] = float(on_mark.mark)
        fields["mark_unit"] = on_mark.wrench.unit.name
        fields["permissible_deviation"] = on_mark.deviation
    set_words = (
        _pair(shown, unit) if on_mark is None else f"{on_mark.mark} {on_mark.wrench.unit.name}"
    )
    return Answer(
        headline=f"Set {set_words}: the nut gets {_pair(gets, case.unit)}.",
        rows=(*_set_rows(torque, exact, case), *_mark_rows(on_mark, case)),
        notes=_NOTES,
        cautions=_CAUTIONS,
        fields=fields,
        svg=lambda: _draw(set_words, gets, torque, case),
    )


def _set_rows(torque: float, exact: Estimate, case: _Case) -> Iterator[Row]:
    yield Row(
        "exact setting",
        f"{_pair(exact.value, case.unit)}",
        f"± {show(1.96 * exact.u, case.unit, 2)} (95 %) from lengths and angle",
    )
    slope = setting_sensitivities(torque, *case.geometry)
    step, size = (2.54e-3, "0.1 in") if case.is_inch else (1e-3, "mm")
    yield Row(
        "one more of each",
        f"{show(slope.angle * pi / 180, case.unit, 3)} per degree",
        f"{show(slope.adapter_length * step, case.unit, 3)} per {size} of adapter, "
        f"{show(slope.wrench_length * step, case.unit, 3)} per {size} of wrench",
    )
    left = delivered(torque, *case.geometry)
    if abs(left / torque - 1) > WORTH_SHOWING:
        share = (left / torque - 1) * 100
        yield Row(
            f"left at {show(torque, case.unit, 1)}",
            f"the nut would get {_pair(left, case.unit)}",
            f"{'+' if share > 0 else ''}{show_number(share, 0)} %",
        )
    for name, angle in (("straight out, 0°", 0.0), ("square, 90°", pi / 2)):
        there = setting(torque, case.wrench.value, case.adapter.value, angle)
        yield Row(f"set {name}", _pair(there, case.unit), "no correction" if angle else "")


def _mark_rows(on_mark: WrenchSetting | None, case: _Case) -> Iterator[Row]:
    if on_mark is None:
        return
    assert on_mark.deviation is not None  # a final value without a claim was refused
    spread = on_mark.deviation * on_mark.torque
    yield Row(
        "nearest mark",
        f"{on_mark.mark} {on_mark.wrench.unit.name}",
        f"leaves the nut {show_number(on_mark.missed, 2)} N·m off",
    )
    yield Row(
        "the wrench may be off",
        f"± {show_number(on_mark.deviation * 100, 0)} %",
        f"at the nut ± {show(spread, case.unit, 1)}; ISO 6789",
    )


def _slopes(torque: float, case: _Case) -> dict[str, float]:
    slope = setting_sensitivities(torque, *case.geometry)
    return {
        "set_per_wrench_length_N_m_per_m": slope.wrench_length,
        "set_per_adapter_length_N_m_per_m": slope.adapter_length,
        "set_per_angle_N_m_per_rad": slope.angle,
    }


def _nut_gets(shown: float, case: _Case) -> Answer:
    nut = delivered_estimate(Estimate(shown, 0), case.wrench, case.adapter, case.angle)
    gets = nut.value
    return Answer(
        headline=f"At a setting of {_pair(shown, case.unit)} the nut gets {_pair(gets, case.unit)}.",
        rows=(
            Row(
                "difference",
                f"{'+' if gets > shown else ''}{show_number((gets / shown - 1) * 100, 1)} %",
            ),
            Row(
                "the nut gets",
                _pair(gets, case.unit),
                f"± {show(1.96 * nut.u, case.unit, 2)} (95 %) from lengths and angle",
            ),
        ),
        notes=_NOTES,
        cautions=_CAUTIONS,
        fields={
            "set_N_m": shown,
            "nut_gets_N_m": gets,
            "nut_gets_standard_uncertainty_N_m": nut.u,
        },
        svg=lambda: _draw(_pair(shown, case.unit), gets, None, case),
    )


def _draw(set_words: str, gets: float, wanted: float | None, case: _Case) -> str:
    from ringland.calc.draw_adapter import draw_adapter

    wrong = ""
    if wanted is not None and abs(delivered(wanted, *case.geometry) / wanted - 1) > WORTH_SHOWING:
        left = delivered(wanted, *case.geometry)
        wrong = f"Left at {show(wanted, case.unit, 1)} here, the nut would get {show(left, case.unit, 1)}"
    number, unit = set_words.split(" (")[0].split(" ", 1)  # without the other system's value
    return draw_adapter(
        set_to=number,
        set_unit=unit,
        nut_gets=show(gets, case.unit, 1),
        wrench_mm=show_number(MILLIMETRE.from_si(case.wrench.value), 0),
        adapter_mm=show_number(MILLIMETRE.from_si(case.adapter.value), 0),
        angle=degrees(case.angle.value),
        wrong=wrong,
    )


def _pair(value: float, unit: Unit) -> str:
    number = Decimal(repr(round(unit.from_si(value), 1)))
    return show_pair(Quantity(number, unit))


_NOTES = (
    "S = T L / (L + A cos θ): moments of one force about drive and nut; 0° straight out, 90° square.",
    "A socket or a straight extension on the drive's own line needs no correction.",
)
_CAUTIONS = (
    "Pull at the middle of the grip: the length counts from there. The torque is the maker's.",
)

CALCULATOR = Calculator(
    name="adapter",
    title="Set a torque wrench with an offset adapter, or what the nut gets at a setting.",
    fields=(
        Field("torque", "torque", "Torque wanted at the nut, as in 30 N·m."),
        Field("setting", "torque", "Or a setting: then what the nut gets."),
        Field(
            "wrench", "length", "Middle of grip to middle of drive, as in 300 mm.", required=True
        ),
        Field("adapter", "length", "Middle of drive to middle of nut, as in 50 mm.", required=True),
        Field(
            "angle",
            "angle",
            "0 straight out, 90 square, 180 folded back, as in 45.",
            required=True,
            unit="deg",
        ),
        Field(
            "scale", "text", "The wrench's scale, as in 10-60 N·m: answers with its nearest mark."
        ),
        Field("graduation", "text", "Step between its marks, in the scale's unit.", default="0.5"),
        Field(
            "wrench-doubt",
            "length",
            "Standard uncertainty of its length.",
            default="2 mm",
            doubt=True,
        ),
        Field("adapter-doubt", "length", "The same for the adapter.", default="0.5 mm", doubt=True),
        Field(
            "angle-doubt", "angle", "The same for the angle.", default="3", unit="deg", doubt=True
        ),
    ),
    compute=_compute,
    example='adapter --torque "30 N·m" --wrench "300 mm" --adapter "50 mm" --angle 45',
)
