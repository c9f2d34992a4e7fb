"""Calculator: piston speed and ring acceleration against the flutter table."""

from math import pi

from ringland.calc.calculator import Answer, Calculator, Field, Inputs, Row
from ringland.calc.refusing import refusing
from ringland.calc.shown import deg, told
from ringland.calc.sizes import refuse_slips
from ringland.engine.ring import flutter
from ringland.engine.slider_crank import (
    Crank,
    greatest_piston_speed,
    mean_piston_speed,
    piston_acceleration,
)
from ringland.quantity import show_number

FOOT = 0.3048  # m, exact


def _accel(value: float) -> str:
    return f"{show_number(value, 0)} m/s²"


@refusing()
def compute(inputs: Inputs) -> Answer:
    refuse_slips(inputs, {"stroke": "stroke"})
    crank = Crank(inputs.si("stroke"), inputs.si("rod"), inputs.si("offset"))
    rotation, height = inputs.si("speed"), inputs.si_or_none("height")
    mean = mean_piston_speed(crank.stroke, rotation)
    greatest, where = greatest_piston_speed(crank, rotation)
    top = piston_acceleration(crank, 0.0, rotation)
    rows = [
        Row("mean piston speed", f"{mean:.1f} m/s", f"{mean / FOOT * 60:.0f} ft/min"),
        Row("greatest speed", f"{greatest:.1f} m/s", f"{deg(where)} after TDC"),
        Row("acceleration at TDC", _accel(top), f"{top / FOOT:.0f} ft/s²"),
    ]
    fields = {
        "mean_speed_m_per_s": mean,
        "greatest_speed_m_per_s": greatest,
        "greatest_speed_deg_after_tdc": where * 180 / pi,
        "acceleration_m_per_s2": top,
    }
    headline = f"Piston speed {mean:.1f} m/s mean, acceleration {_accel(top)}"
    if height is not None:
        found = flutter(crank, height, rotation)
        limit_rpm = found.limit_rotation * 60
        rows.append(
            Row(
                "flutter table",
                _accel(found.limit),
                f"ring {told(inputs, 'length', 'height')(height)} high",
            )
        )
        rows.append(Row("reached at", f"{limit_rpm:.0f} rpm", "over-revs count"))
        fields |= {"limit_m_per_s2": found.limit, "limit_rpm": limit_rpm}
        headline = (
            f"Beyond the flutter table: {_accel(top)}, the ring stands {_accel(found.limit)}"
            if found.is_beyond
            else f"Under the flutter table: {_accel(top)} of {_accel(found.limit)}"
        )
    return Answer(
        headline=headline,
        rows=tuple(rows),
        notes=(
            "Exact slider-crank; ring-flutter table of Jennings, Two-Stroke Tuner's Handbook"
            " (1973), straight between its rows: iron rings of its day, a guide and no limit.",
        ),
        cautions=("The maker's greatest engine speed stands, whatever the table says.",),
        fields=fields,
    )


CALCULATOR = Calculator(
    name="ring",
    title="Piston speed and ring acceleration against the flutter table.",
    fields=(
        Field("stroke", "length", "stroke, such as 56 mm", required=True),
        Field("rod", "length", "rod between the centres of its eyes: 105 mm", required=True),
        Field("speed", "rotation", "greatest crank speed: 11000 rpm", required=True),
        Field("height", "length", "height of the ring: 1.0 mm"),
        Field("offset", "length", "pin path beside the crank's centre", default="0 mm"),
    ),
    compute=compute,
    example='ring --stroke 56mm --rod 105mm --speed "11000 rpm" --height 1.0mm',
)
