"""`calc jet`: direction and size of a mixture change from one air to another, with its cautions."""

from ringland.calc.air import NO_LEANER, air_fields, read_air, worded
from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.gas.air import ZERO_CELSIUS, Air
from ringland.gas.mixture import NUMBERED, MixtureChange, jet_number, mixture_change
from ringland.quantity import show_number

CAUTIONS = (
    NO_LEANER,
    "Colour of a plug is no jet number. Metal or dots on a plug stop the engine; no plug clears it.",
    "A leak test comes before any jet: false air looks like a lean jet.",
)


SAME_AIR = "The same air then and now: keep the jet, or say what differs, --was-temp 25C --temp 5C."


def _compute(inputs: Inputs) -> Answer:
    before, now = read_air(inputs, "was-"), read_air(inputs)
    change = mixture_change(before, now)
    number, kind = inputs["jet"], inputs["numbered-by"]
    rows = [
        Row("change", worded(change), "venturi theory, same share of fuel to dry air"),
        Row("dry air", f"× {show_number(change.oxygen, 3)}", "per volume; power follows it"),
    ]
    wanted = None
    rows += [Row("air then", _air(before)), Row("air now", _air(now))]
    if number is not None:
        try:
            wanted = jet_number(number, change, numbered_by=kind)
        except ValueError as error:
            raise BadInputs([("jet", str(error))]) from None
        rows.append(_jet_row(number, wanted, change, kind))
    if change.direction == "leaner":
        wanted = None  # no number goes out that someone could fit
    return Answer(
        _headline(change) if before != now else SAME_AIR,
        tuple(rows),
        notes=(
            "Jet area goes with √ρ and diameter with ρ^¼ (dry air); venturi theory. Humidity counts"
            " through the dry air. Temperature of the fuel and the needle are left out.",
            "Makers' tables of jets against altitude and temperature come first.",
        ),
        cautions=CAUTIONS,
        fields={
            "direction": change.direction,
            "jet_area_ratio": change.area,
            "jet_diameter_ratio": change.diameter,
            "dry_air_ratio": change.oxygen,
            "computed_number": wanted,
        },
    )


def _air(air: Air) -> str:
    celsius = show_number(air.temperature - ZERO_CELSIUS, 0)
    return f"{show_number(air.pressure / 100, 0)} hPa, {celsius} °C, {show_number(air.density, 4)} kg/m³"


def _headline(change: MixtureChange) -> str:
    if change.direction == "none":
        return "The air has hardly changed: keep the jet."
    size = f"{abs(100 * (change.area - 1)):.1f} % of the jet's area"
    if change.direction == "richer":
        return (
            f"The air asks for more fuel: {size}. Leaner than it was until then: no long full load."
        )
    return f"The air asks for less fuel: {size}. Keep the jet until the maker's table says leaner."


def _jet_row(number: float, wanted: float, change: MixtureChange, kind: str) -> Row:
    if change.direction == "leaner":
        return Row("jet", f"keep {number:g}", "leaner only by the maker's word and a plug check")
    if change.direction == "none":
        return Row("jet", f"keep {number:g}", f"theory says {wanted:.1f}")
    return Row("jet", f"{number:g} to about {wanted:.1f}", f"numbered by {kind}; next size up")


CALCULATOR = Calculator(
    "jet",
    "Direction and size of a mixture change, with its cautions.",
    (
        Field("jet", "number", "number of the jet that was right, 160"),
        Field(
            "numbered-by",
            "choice",
            "whether the number is a bore or a flow",
            "diameter",
            choices=NUMBERED,
        ),
        *air_fields("was-"),
        *air_fields(),
    ),
    _compute,
    'jet --jet 160 --was-temp "25 °C" --temp "5 °C" --was-altitude "0 m" --altitude "0 m"',
)
