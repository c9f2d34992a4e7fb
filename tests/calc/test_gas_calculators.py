import xml.etree.ElementTree as ET

import pytest

from ringland.calc.calculator import Answer
from tests.calc.asking import ask, refused

ENGINE = {
    "bore": "53.2 mm",
    "stroke": "56 mm",
    "rod": "105 mm",
    "clearance": "10.5 mL",
    "closing": "92 deg",
}
LOG = "minutes,bar\n0,0.400\n1,0.372\n2,0.343\n4,0.290\n6,0.245\n8,0.202\n12,0.131\n15,0.090\n"


def words(answer: Answer) -> str:
    rows = " ".join(f"{row.label} {row.value} {row.remark}" for row in answer.rows)
    return " ".join([answer.headline, rows, *answer.notes, *answer.cautions])


def test_air_is_the_density_of_cipm_2007() -> None:
    # CIPM-2007: 20 °C, 101325 Pa, 50 % -> 1.19931 kg/m³
    answer = ask("air", temp="20 °C", pressure="101325 Pa", humidity="50")
    assert answer.fields["density_kg_m3"] == pytest.approx(1.19931, abs=6e-6)
    assert answer.headline.startswith("Air of 1.1993 kg/m³")


def test_air_takes_an_altitude_and_a_weather_report_but_not_two_pressures() -> None:
    # US Standard Atmosphere 1976: 1000 m -> 89876 Pa
    assert ask("air", altitude="1000 m").fields["pressure_Pa"] == pytest.approx(89_876, abs=1)
    report = ask("air", altitude="1000 m", report="1013.25 hPa").fields["pressure_Pa"]
    assert report == pytest.approx(89_876, abs=1)
    assert "pressure" in refused("air", pressure="1 bar", altitude="1000 m")


def test_air_names_every_impossible_value_by_its_field() -> None:
    found = refused("air", pressure="0.4 bar", temp="200 °C", humidity="150")
    assert set(found) == {"pressure", "temp", "humidity"}
    assert "not a gauge reading" in found["pressure"]


def test_a_leaner_jet_is_never_given_as_a_number() -> None:
    answer = ask("jet", jet="160", altitude="1500 m")
    assert answer.fields["direction"] == "leaner"
    assert answer.fields["computed_number"] is None
    jets = [row for row in answer.rows if row.label == "jet"]
    assert jets[0].value == "keep 160"
    assert "maker" in answer.headline


def test_a_richer_jet_is_given_with_its_cautions() -> None:
    answer = ask("jet", jet="160", was_temp="25 °C", temp="5 °C")
    # dry air: diameter ~ ρ^¼ ~ T^(−¼)
    assert answer.fields["computed_number"] == pytest.approx(
        160 * (298.15 / 278.15) ** 0.25, rel=1e-3
    )
    assert any("plug" in caution for caution in answer.cautions)


def test_leakdown_gives_an_area_and_says_that_the_percentage_is_the_testers() -> None:
    answer = ask("leakdown", supply="80 psi", cylinder="72 psi", heard="radiator")
    assert answer.fields["share_lost"] == pytest.approx(0.1)
    assert answer.fields["area_m2"] == pytest.approx(0.38e-6, rel=0.1)
    assert "head joint" in words(answer)
    assert any("crank" in caution for caution in answer.cautions)


def test_leakdown_refuses_a_cylinder_above_its_supply() -> None:
    assert "swapped" in refused("leakdown", supply="5 bar", cylinder="6 bar")["cylinder"]


def test_leak_prints_its_rule_and_judges_by_it() -> None:
    answer = ask("leak", start="0.40 bar", end="0.22 bar", minutes="6")
    assert answer.fields["verdict"] == "fail"
    assert "0.40 bar" in answer.notes[0]
    assert "6 min" in answer.notes[0]
    own = ask(
        "leak",
        start="0.40 bar",
        end="0.22 bar",
        minutes="6",
        rule_fall="0.25 bar",
        end_temp="20 °C",
    )
    assert own.fields["verdict"] == "pass"
    assert "own rule" in own.notes[0]


def test_leak_fails_on_a_bubble_and_tells_drift_apart() -> None:
    bubble = ask("leak", start="0.40 bar", end="0.40 bar", minutes="6", bubbles="seal or joint")
    assert bubble.fields["verdict"] == "fail"
    cooled = ask(
        "leak", start="0.40 bar", end="0.352 bar", minutes="6", temp="30 °C", end_temp="20 °C"
    )
    assert cooled.fields["verdict"] == "pass"
    assert cooled.fields["drift_Pa"] == pytest.approx(141_325 / 303.15 * 10, rel=1e-6)


def test_leak_shows_what_volume_does_to_a_rule_per_minute() -> None:
    answer = ask("leak", start="0.40 bar", end="0.30 bar", minutes="6", volume="450 mL")
    row = next(row for row in answer.rows if row.label == "per minute")
    assert "225 mL" in row.value
    assert "900 mL" in row.value


def test_leak_fits_a_log_and_draws_it() -> None:
    answer = ask("leak", start="0.40 bar", log=LOG, volume="450 mL", gauge_doubt="0.002 bar")
    assert "half-time ratio" in words(answer)
    assert answer.svg is not None
    assert ET.fromstring(answer.svg()).get("role") == "img"


def test_leak_takes_a_log_alone_with_decimal_commas_and_the_units_of_its_heading() -> None:
    plain = ask("leak", log=LOG)
    semicolons = LOG.replace(",", ";").replace(".", ",")
    in_psi = "time (s);gauge psi\n" + "".join(
        f"{float(minutes) * 60:g};{float(bar) * 1e5 / 6894.757293168361:.6f}\n".replace(".", ",")
        for minutes, bar in (line.split(",") for line in LOG.splitlines()[1:])
    )
    assert plain.fields["fall_Pa"] == pytest.approx(31_000)  # 0.400 to 0.090 bar
    for other in (semicolons, in_psi):
        assert ask("leak", log=other).fields["fall_Pa"] == pytest.approx(31_000, abs=0.1)


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"start": "1.4 bar", "end": "1.3 bar", "minutes": "6"}, "start", "safe limit"),
        ({"start": "0.4 bar", "end": "0.3 bar", "minutes": "0"}, "minutes", "after the start"),
        ({"end": "0.3 bar", "minutes": "6"}, "start", "is needed"),
        (
            {"start": "0.4 bar", "end": "0.3 bar", "minutes": "6", "volume": "0 mL"},
            "volume",
            "holds no air",
        ),
        (
            {
                "kind": "cooling",
                "start": "1.3 bar",
                "end": "1.2 bar",
                "minutes": "8",
                "cap": "1.1 bar",
            },
            "start",
            "above the 1.10 bar on the cap",
        ),
        ({"log": "zeit;druck\n0;0,4\n1;0,3\n"}, "log", "write minutes;bar"),
        ({"start": "0.4 bar"}, "end", "give end and minutes"),
        ({"start": "0.4 bar", "log": "0,0.4\n1,x\n"}, "log", "line 2"),
        (
            {"start": "0.4 bar", "end": "0.3 bar", "minutes": "6", "cap": "1.1 bar"},
            "cap",
            "cooling",
        ),
    ],
)
def test_leak_refuses_what_cannot_be(typed: dict[str, str], field: str, said: str) -> None:
    assert said in refused("leak", **typed)[field]


def test_compression_against_its_own_baseline() -> None:
    answer = ask("compression", reading=["9.6 bar"], was=["12.4 bar"])
    assert answer.fields["level"] == "plan"
    assert answer.fields["baseline_share"] == pytest.approx(9.6 / 12.4)


def test_compression_on_another_gauge_is_not_comparable() -> None:
    answer = ask(
        "compression",
        reading=["9.9 bar"],
        altitude="600 m",
        gauge="hose",
        was=["12.4 bar"],
        was_gauge="shop",
    )
    assert answer.fields["comparable"] is False
    assert answer.fields["level"] is None
    assert "Not comparable" in answer.headline


def test_a_number_alone_says_nothing() -> None:
    assert "says nothing" in ask("compression", reading=["11.2 bar"]).headline


def test_compression_with_geometry_says_what_it_cannot_tell_and_what_to_take_next() -> None:
    answer = ask("compression", reading=["12.5 bar"], **ENGINE)
    assert answer.fields["tells"] is False
    assert "cannot tell" in answer.headline
    assert "slow crank" in answer.headline or "leak-down" in answer.headline
    assert answer.fields["log_area_u"] > 0.5


def test_compression_above_any_sound_engine_says_so_and_no_leak() -> None:
    answer = ask("compression", reading=["24 bar"], **ENGINE)
    assert answer.headline.startswith("Above what a sound engine of this geometry reads here")
    assert "mm²" not in answer.headline


def test_compression_draws_its_curve_with_band_and_readings() -> None:
    curve = ["5 bar", "7 bar", "8 bar", "8.7 bar", "9 bar"]
    answer = ask("compression", reading=curve, **ENGINE)
    assert answer.svg is not None
    svg = answer.svg()
    assert "sound engine" in svg
    assert svg == answer.svg()


def test_compression_never_says_what_one_reading_may_not_claim() -> None:
    for reading in ("3 bar", "9 bar", "13 bar"):
        answer = ask("compression", reading=[reading], was=["13 bar"], **ENGINE)
        said = " ".join([answer.headline, *(f"{row.value} {row.remark}" for row in answer.rows)])
        for word in ("end gap", "worn", "wear", "seal", "reed", "power", "good", "healthy"):
            assert word not in said, (reading, word)


def test_compression_refuses_a_falling_curve_and_half_a_geometry() -> None:
    found = refused("compression", reading=["8 bar", "6 bar"], **ENGINE)
    assert "does not fall" in found["reading"]
    assert "does not fall" in refused("compression", reading=["8 bar", "6 bar"])["reading"]
    assert (
        "mL of oil"
        in refused("compression", reading=["8 bar"], wet="9 bar", oil="9 mL", **ENGINE)["oil"]
    )
    assert set(refused("compression", reading=["8 bar"], bore="53 mm")) == {
        "stroke",
        "clearance",
        "closing",
    }
    assert "check the unit" in refused("compression", reading=["160 bar"])["reading"]


def test_every_gas_calculator_says_its_cautions_and_source() -> None:
    answers = [
        ask("air"),
        ask("jet"),
        ask("leak", start="0.4 bar", end="0.4 bar", minutes="6"),
        ask("leakdown", supply="5 bar", cylinder="4 bar"),
        ask("compression", reading=["9 bar"]),
    ]
    for answer in answers:
        assert answer.cautions
        assert answer.notes


def test_compression_never_advises_what_was_read_already() -> None:
    engine = {"bore": "53.2 mm", "stroke": "56 mm", "clearance": "10.5 mL", "closing": "92 deg"}
    slow = ask("compression", reading="9.6 bar", slow="7.8 bar", slow_speed="190 rpm", **engine)
    names = {each["name"] for each in slow.fields["next"]}
    assert "slow crank" not in names
    assert "slow crank" not in slow.headline
    assert {"fast crank", "static leak-down"} < names
    static = ask("compression", reading="9.6 bar", leak_area="0.3 mm²", **engine)
    assert "static leak-down" not in {each["name"] for each in static.fields["next"]}
    strokes = [f"{each} bar" for each in (4, 6.4, 7.8, 8.6, 9.1, 9.4, 9.5, 9.6)]
    every = ask("compression", reading=strokes, **engine)
    assert "every stroke noted" not in {each["name"] for each in every.fields["next"]}


def test_pounds_and_degrees_fahrenheit_are_answered_in_them_with_bar_and_celsius_beside() -> None:
    leak = ask("leak", start="6 psi", end="5.5 psi", minutes="6", temp="70 °F", end_temp="66 °F")
    assert "psi (0.02" in leak.headline
    assert "fall at most 0.73 psi (0.050 bar)" in leak.notes[0]
    heat = ask(
        "heatcycle", first="176 °F", second="140 °F", after="10", air="68 °F", until="100 °F"
    )
    assert heat.headline.startswith("Cool to 100 °F (38 °C)")


def test_a_rooms_refusal_in_bar_stands_behind_what_was_typed_in_pounds() -> None:
    said = refused("leak", start="60 psi", end="5 psi", minutes="6")["start"]
    assert said.startswith("60 psi: 4.14 bar is beyond the safe limit")


def test_heatcycle_counts_the_doubt_of_the_air() -> None:
    """Asked for close to the air: slopes by finite differences (JCGM 100:2008, 5.1.2)."""
    typed = {"first": "80", "second": "60", "after": "10", "air": "20", "until": "25"}

    def at(**other: str) -> float:
        found: float = ask("heatcycle", **(typed | other)).fields["cold_after_first_reading_s"]
        return found

    slopes = [
        (
            at(**{name: str(float(typed[name]) + 0.01)})
            - at(**{name: str(float(typed[name]) - 0.01)})
        )
        / 0.02
        for name in ("first", "second", "air")
    ]
    found = ask("heatcycle", **typed).fields["cold_after_first_reading_standard_uncertainty_s"]
    assert found == pytest.approx(sum(each**2 for each in slopes) ** 0.5, rel=1e-4)
    assert abs(slopes[2]) > abs(slopes[0])  # here the air's counts most of all but the second's
