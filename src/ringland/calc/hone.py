"""Calculator: cross-hatch angle from spindle speed and stroke, and the stroke rate for an angle."""

from math import degrees

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.refusing import refusing
from ringland.calc.shown import Told, deg, told
from ringland.calc.sizes import refuse_slips
from ringland.engine.hone import Honing, crosshatch, profile, rate_for
from ringland.quantity import show_number

PLATED = (
    "A plated bore is never honed to size: the layer is thinner than a wear limit. What is meant is "
    "deglazing, seconds by hand with an abrasive pad, or the plater.",
    "A flexible hone in a plated, ported bore is disputed: its balls catch the windows.",
)
DUST = "Hone wet, with a mask, away from the open engine; wash until a white cloth stays white."


@refusing()
def compute(inputs: Inputs) -> Answer:
    refuse_slips(inputs, {"bore": "bore"})
    honing = Honing(inputs.si("bore"), inputs.si("stroke"), inputs.si("spindle"), inputs["motion"])
    rate, wanted = inputs.si_or_none("rate"), inputs.si_or_none("angle")
    if rate is None and wanted is None:
        raise BadInputs([("rate", "give the stroke rate, such as 60 1/min, or the wanted angle")])
    say = told(inputs, "length", "stroke", "bore")
    rows, fields = [], {}
    if wanted is not None:
        needed = rate_for(honing, wanted)
        rows.append(Row("double strokes", _per_minute(needed), f"for {deg(wanted, 0)}"))
        fields["rate_per_min"] = needed * 60
        rate = needed if rate is None else rate
    assert rate is not None
    angle = crosshatch(honing, rate)
    fields["angle_deg"] = degrees(angle)
    rows.append(Row("cross-hatch", deg(angle), f"mid-stroke, at {_per_minute(rate)}"))
    places = profile(honing, rate)
    if honing.motion == "crank":
        rows += [
            Row(f"{say(place, 0)} from the middle", deg(each), "")
            for place, each in places
            if place >= 0
        ]
    return Answer(
        headline=f"Cross-hatch {deg(angle)} included at {_per_minute(rate)}",
        rows=tuple(rows),
        notes=(
            "tan(angle/2) = axial speed / (π × bore × spindle speed): kinematics. Common practice "
            "is 30° to 60°, 45° usual; the maker of bore or ring stands above it.",
            "Near the reversals the scratches lie flat, in a crank-stroked hone over a wide part.",
        ),
        cautions=(*(PLATED if inputs["plated"] != "no" else ()), DUST),
        fields=fields
        | {
            "profile": [
                {"place_mm": place * 1e3, "angle_deg": degrees(each)} for place, each in places
            ]
        },
        svg=lambda: _draw(honing, rate, say.alone),
    )


def _draw(honing: Honing, rate: float, say: Told) -> str:
    from ringland.calc.hone_drawing import developed_bore

    return developed_bore(honing, rate, say)


def _per_minute(rate: float) -> str:
    return f"{show_number(rate * 60, 0)} double strokes a minute"


CALCULATOR = Calculator(
    name="hone",
    title="Cross-hatch angle from spindle speed and stroke.",
    fields=(
        Field("bore", "length", "bore, such as 54 mm", required=True),
        Field("stroke", "length", "travel of the stones, one way: 60 mm", required=True),
        Field("spindle", "rotation", "spindle speed: 150 rpm", required=True),
        Field("rate", "rotation", "double strokes: 60 1/min"),
        Field("angle", "angle", "or the wanted included angle: 45 deg"),
        Field("motion", "choice", "how the stones are stroked", "even", choices=("even", "crank")),
        Field("plated", "choice", "plated bore?", "unknown", choices=("yes", "no", "unknown")),
    ),
    compute=compute,
    example='hone --bore 54mm --stroke 60mm --spindle "150 rpm" --angle "45 deg" --plated no',
)
