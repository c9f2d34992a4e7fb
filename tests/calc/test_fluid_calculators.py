"""The calculators of fluids and units: what a person gets to read, and refusals."""

import json

import pytest

from ringland.report.answer import as_json
from tests.calc.asking import ask, refused


@pytest.mark.parametrize(
    ("words", "headline"),
    [
        ('--ratio 32 --fuel "5 L"', "156 mL of oil into 5.00 L of fuel makes 32:1."),
        ('--ratio "1:40" --fuel "5 L"', "125 mL of oil into 5.00 L of fuel makes 40:1."),
        (
            '--ratio 40 --fuel "1 US gal"',
            "3.20 US fl oz (95 mL) of oil into 1.00 US gal (3.79 L) of fuel makes 40:1.",
        ),
        (
            '--ratio 32 --can "4 L" --can-ratio 50',
            "Add 44 mL of oil: the can then holds 4.04 L at 32:1.",
        ),
        (
            '--ratio 50 --can "4 L" --can-ratio 32',
            "Add 2.18 L of plain fuel: the can then holds 6.18 L at 50:1.",
        ),
        (
            '--ratio 40 --can "4 L" --can-ratio none',
            "Add 100 mL of oil: the can then holds 4.10 L at 40:1.",
        ),
    ],
)
def test_premix_says_what_to_pour(words: str, headline: str) -> None:
    assert ask(f"premix {words}").headline == headline


@pytest.mark.parametrize(
    ("words", "field", "told"),
    [
        ('--ratio "4 %" --fuel "5 L"', "ratio", "4 % of the mix (24:1)"),
        ('--ratio "40 %" --fuel "5 L"', "ratio", "did you mean 40:1"),
        ("--ratio 32", "fuel", "--mix"),
        ('--ratio 32 --can "4 L"', "can-ratio", "what is in it"),
        ('--ratio 32 --fuel "1 gal"', "fuel", "two countries"),
        ('--ratio 3 --fuel "5 L"', "ratio", "no premix"),
    ],
)
def test_premix_asks_where_two_readings_are_possible(words: str, field: str, told: str) -> None:
    assert told in refused(f"premix {words}")[field]


def test_an_unusual_ratio_is_pointed_out() -> None:
    assert "unusual" in " ".join(ask('premix --ratio 120 --fuel "5 L"').notes)
    assert "unusual" not in " ".join(ask('premix --ratio 32 --fuel "5 L"').notes)


def test_coolant_answers_in_both_scales_with_its_table() -> None:
    answer = ask("coolant --glycol propylene --share 40")
    assert answer.headline == "40 % propylene glycol begins to freeze at −21 °C (−5 °F)."
    assert "Table 5.13" in answer.notes[0]
    assert answer.fields["freeze_point_C"] == pytest.approx(-20.6)


def test_coolant_pours_in_the_unit_in_which_the_system_was_given() -> None:
    answer = ask('coolant --glycol ethylene --share 50 --volume "40 US fl oz"')
    assert answer.rows[0].value == "20 US fl oz (0.59 L)"  # half of it (exact)


def test_a_drain_and_refill_is_worked_out() -> None:
    answer = ask('coolant --glycol ethylene --share 50 --now 30 --volume "1,2 L" --drain "0.3 L"')
    assert answer.fields["drain_and_refill_L"] == pytest.approx(12 / 35)
    rows = {row.label: row.value for row in answer.rows}
    assert rows["changes needed"] == "2"


@pytest.mark.parametrize(
    ("words", "field", "told"),
    [
        ("--glycol ethylene --share 65", "share", "65 %"),
        ("--glycol ethylene --freeze -60", "freeze", "not reached"),
        ("--glycol ethylene", "share", "one of them"),
        ("--glycol water --share 40", "glycol", "ethylene"),
        ("--glycol ethylene --share 50 --now 30", "volume", "needed too"),
        ('--glycol ethylene --share 50 --volume "1 L" --drain "0.5 L"', "now", "needed too"),
        (
            '--glycol ethylene --share 50 --now 30 --bottle 40 --volume "1 L"',
            "bottle",
            "never brings",
        ),
    ],
)
def test_coolant_refuses_what_has_no_answer(words: str, field: str, told: str) -> None:
    assert told in refused(f"coolant {words}")[field]


def test_degrees_are_answered_in_the_other_scale_and_not_in_kelvin() -> None:
    assert ask('convert --value "20 °C"').headline == "20 °C is 68 °F."
    assert ask('convert --value "68 °F"').headline == "68 °F is 20 °C."


def test_a_value_is_shown_in_every_unit_of_its_kind() -> None:
    answer = ask('convert --value "27 ft-lb"')
    shown = {row.label: row.value for row in answer.rows}
    assert shown == {
        "N·m": "36.6071",
        "lbf·in": "324",
        "kgf·m": "3.73288",
        "kgf·cm": "373.288",
        "daN·m": "3.66071",
    }
    assert answer.headline == "27 lbf·ft is 36.6071 N·m."


@pytest.mark.parametrize(
    ("typed", "unit", "value"),
    [
        ("0 °C", "°F", 32.0),
        ("-40 °F", "°C", -40.0),
        ("1 in", "mm", 25.4),
        ("7/16 in", "mm", 11.1125),
        ("1 bar", "psi", 14.503773773),
        ("0,35 mm", "thou", 13.779527559),
    ],
)
def test_conversions_are_exact(typed: str, unit: str, value: float) -> None:
    found = ask(f'convert --value "{typed}"').fields["values"][unit]
    assert found == pytest.approx(value, rel=1e-10)


@pytest.mark.parametrize(
    ("typed", "told"),
    [("10", "no unit"), ("1,000 mm", "1.000 or 1000"), ("3 parsec", "not a unit"), ("x", "number")],
)
def test_a_value_that_could_mean_two_things_or_none_is_asked_about(typed: str, told: str) -> None:
    assert told in refused(f'convert --value "{typed}"')["value"]


def test_cooling_is_timed_from_both_readings() -> None:
    answer = ask('heatcycle --first 80 --second 60 --after 10 --air 20 --until "40 °C"')
    assert "27 min after the first reading, 17 min after the second" in answer.headline
    assert any("carbon monoxide" in caution for caution in answer.cautions)


def test_readings_in_fahrenheit_cool_just_as_fast() -> None:
    celsius = ask("heatcycle --first 80 --second 60 --after 10 --air 20 --doubt '1 °C'")
    fahrenheit = ask(
        "heatcycle --first '176 °F' --second '140 °F' --after 600s --air '68 °F' --until '104 °F' "
        "--doubt '1,8 °F'"
    )
    for name, value in celsius.fields.items():
        assert fahrenheit.fields[name] == pytest.approx(value)


def test_an_engine_that_warms_up_is_no_cooling() -> None:
    assert (
        "no cooling down"
        in refused("heatcycle --first 60 --second 80 --after 10 --air 20")["second"]
    )
    assert (
        "between them"
        in (refused("heatcycle --first 80 --second 60 --after 10 --air 20 --until 15")["until"])
    )


def test_json_carries_the_numbers_and_the_cautions() -> None:
    content = json.loads(as_json(ask('premix --ratio 32 --fuel "5 L"')))
    assert content["oil_mL"] == pytest.approx(156.25)
    assert content["cautions"]
