"""Calculator: swept and clearance volume, full and trapped compression ratio."""

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.refusing import refusing
from ringland.calc.shown import COVERAGE, told
from ringland.calc.sizes import refuse_slips
from ringland.engine.volumes import (
    clearance_for_ratio,
    clearance_from_parts,
    clearance_in_place,
    disc,
    full_ratio,
    swept_volume,
    trapped_ratio,
)
from ringland.quantity import Estimate, show_number


def _mL(volume: float) -> str:  # noqa: N802  # the unit's own letters
    return f"{show_number(volume * 1e6, 2)} mL"


def _ratio(estimate: Estimate) -> str:
    margin = show_number(COVERAGE * estimate.u, 2)
    return f"{show_number(estimate.value, 2)} ± {margin} : 1"


def _clearance(inputs: Inputs) -> tuple[Estimate, str]:
    poured, chamber = inputs.si_or_none("burette"), inputs.si_or_none("chamber")
    u = inputs.si("pm") / COVERAGE
    if (poured is None) == (chamber is None):
        raise BadInputs(
            [("burette", "give either what was poured in place, or the chamber measured apart")]
        )
    if poured is not None:
        hole = inputs.si("plug-hole")
        how = "burette in place, less the plug hole" if hole else "burette in place"
        return clearance_in_place(Estimate(poured, u), Estimate(hole, 0.0)), how
    assert chamber is not None
    bore = inputs.si("bore")
    total = clearance_from_parts(
        chamber,
        gasket=disc(inputs.si_or_none("gasket-bore") or bore, inputs.si("gasket")),
        deck=disc(bore, inputs.si("deck")),
        dome=inputs.si("dome"),
    )
    return Estimate(total, u), "chamber, gasket and deck, less the dome"


@refusing({"ratio": "wanted"})
def compute(inputs: Inputs) -> Answer:
    refuse_slips(inputs, {"bore": "bore", "stroke": "stroke"})
    bore, stroke = inputs.si("bore"), inputs.si("stroke")
    say = told(inputs, "length", "bore", "stroke", "exhaust", "exhaust-closed")
    swept = swept_volume(bore, stroke)
    clearance, how = _clearance(inputs)
    full = full_ratio(swept, clearance)
    rows = [
        Row("swept volume", _mL(swept), f"bore {say(bore)}, stroke {say(stroke)}"),
        Row("clearance volume", _mL(clearance.value), how),
        Row("full ratio", _ratio(full), "over the whole stroke"),
    ]
    fields = {
        "swept_mL": swept * 1e6,
        "clearance_mL": clearance.value * 1e6,
        "full_ratio": full.value,
        "full_ratio_u": full.u,
    }
    for field, name in (("exhaust", "power valve open"), ("exhaust-closed", "power valve closed")):
        travel = inputs.si_or_none(field)
        if travel is None:
            continue
        if not travel < stroke:
            raise BadInputs(
                [(field, f"{say(travel)} is past bottom dead centre at {say(stroke)}: measure from "
                         "the crown's edge at top dead centre down to the port's roof")]
            )  # fmt: skip
        trapped = trapped_ratio(bore, travel, clearance)
        rows.append(
            Row("trapped ratio", _ratio(trapped), f"{name}, closes {say(travel)} below TDC")
        )
        fields["trapped_ratio" + field.removeprefix("exhaust").replace("-", "_")] = trapped.value
    if inputs["wanted"] is not None:
        wanted = clearance_for_ratio(swept, inputs.si("wanted"))
        more = "more" if wanted > clearance.value else "less"
        remark = f"{_mL(abs(wanted - clearance.value))} {more} than now, for a full ratio so high"
        rows.append(Row("clearance for it", _mL(wanted), remark))
        fields["wanted_clearance_mL"] = wanted * 1e6
    return Answer(
        headline=f"Compression ratio {_ratio(full)}",
        rows=tuple(rows),
        notes=(
            "Geometry; ± at about 95 %, from the volume reading alone.",
            "A ratio on paper is not a cranking pressure; compare a reading with its own baseline.",
        ),
        fields=fields,
    )


CALCULATOR = Calculator(
    name="ratio",
    title="Swept and clearance volume, full and trapped compression ratio.",
    fields=(
        Field("bore", "length", "bore, such as 53.2 mm", required=True),
        Field("stroke", "length", "stroke, such as 56 mm", required=True),
        Field("burette", "volume", "poured through the plug hole at TDC, such as 13.0 mL"),
        Field("plug-hole", "volume", "what of it stood where the plug's body goes", default="0 mL"),
        Field("chamber", "volume", "or: head under a plate, plug in, such as 11.0 mL"),
        Field("gasket", "length", "head gasket, tightened", default="0 mm"),
        Field("gasket-bore", "length", "opening of the head gasket; the bore where left out"),
        Field("deck", "length", "crown's edge below the barrel's top at TDC", default="0 mm"),
        Field("dome", "volume", "crown above its edge; negative for a dish", default="0 mL"),
        Field("pm", "volume", "± of the clearance volume at 95 %", default="0.2 mL", doubt=True),
        Field("exhaust", "length", "piston travel where the exhaust closes: 27.5 mm"),
        Field("exhaust-closed", "length", "the same with the power valve closed"),
        Field("wanted", "ratio", "full ratio to aim at, such as 13:1"),
    ),
    compute=compute,
    example="ratio --bore 53.2mm --stroke 56mm --burette 13mL --plug-hole 2.6mL --exhaust 27.5mm",
)
