"""Figures and groups of fasteners: what a manual prints is read, and written back the same."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.quantity import QuantityError, units_of
from ringland.sheet.fastener import fastener_line, parse_fastener, parse_places
from ringland.sheet.figure import ends_of, figure_text, parse_figure, split_page
from ringland.sheet.readback import numbers_in

KINDS = ("length", "torque", "pressure", "time", "volume")


@st.composite
def figures(draw: st.DrawFn) -> tuple[str, str]:
    """A kind, and a figure of it as someone may type it."""
    kind = draw(st.sampled_from(KINDS))
    unit = draw(st.sampled_from([u.name for u in units_of(kind)]))
    places = draw(st.integers(0, 4))
    numbers = sorted(draw(st.lists(st.integers(1, 99_999), min_size=3, max_size=3, unique=True)))
    low, high, limit = (f"{Decimal(n).scaleb(-places):f}" for n in numbers)
    new = draw(st.sampled_from([low, f"{low}-{high}", f"{low} - {high}", f"{low} to {high}", ""]))
    side = draw(st.sampled_from(["max", "limit", "at most", f"min {low} {unit}, max"]))
    service = draw(st.sampled_from([f"{side} {limit}", ""])) if new else f"{side} {limit}"
    comma = draw(st.booleans()) and places in (1, 2, 4)  # "1,000" would be asked about
    text = f"{new} {unit}, {service}" if new and service else f"{new or service} {unit}"
    return kind, text.replace(".", ",") if comma and "." not in unit else text


@settings(deadline=None, max_examples=150)
@given(figures())
def test_a_figure_that_is_read_and_written_is_the_same_figure(typed: tuple[str, str]) -> None:
    kind, text = typed
    figure = parse_figure(text, kind)
    again = parse_figure(figure_text(figure), kind)
    assert again.new is None or again.new.low is not None
    assert numbers_in(figure_text(again), kind) == numbers_in(text, kind)
    assert [(e.number, e.unit) for e in ends_of(again)] == [
        (e.number, e.unit) for e in ends_of(figure)
    ]


@pytest.mark.parametrize(
    ("text", "said", "page"),
    [
        ("0.30 mm @ p 4-31", "0.30 mm", "p 4-31"),
        ("0.30 mm p 4-31", "0.30 mm", "p 4-31"),
        ("0.30 mm, max 0.6 pp. 4-31", "0.30 mm, max 0.6", "pp. 4-31"),
        ("9 mm @ leaflet, side 1", "9 mm", "leaflet, side 1"),
        ("12 psi", "12 psi", ""),
        ("3 pcs", "3 pcs", ""),
    ],
)
def test_the_page_is_what_stands_behind_the_sign_or_a_p(text: str, said: str, page: str) -> None:
    assert split_page(text) == (said, page)


def test_a_comma_between_clauses_needs_no_space_before_a_word() -> None:
    figure = parse_figure("0,30-0,38mm,max 0,60", "length")
    assert figure_text(figure) == "0.30-0.38 mm, max 0.60 mm"


def test_two_ends_in_two_units_keep_both() -> None:
    assert figure_text(parse_figure("0.3 mm - 0.02 in", "length")) == "0.3 mm-0.02 in"


def test_both_limits_of_a_figure_in_service_are_kept() -> None:
    figure = parse_figure("min 0.9, max 1.4 mm", "length")
    assert numbers_in(figure_text(figure), "length") == (None, (0.0009, 0.0014), False)


def test_a_rule_per_bore_is_written_as_it_was_typed() -> None:
    figure = parse_figure("0.004-0.0065 × bore @ leaflet", "length")
    assert figure.per_bore
    assert figure_text(figure) == "0.004-0.0065 × bore"


@pytest.mark.parametrize(
    ("line", "fields"),
    [
        ("21 ft-lb", {"torque": "21 ft-lb"}),
        ("4 x M8x1, 21 N·m p 4", {"count": "4", "thread": "M8x1", "torque": "21 N·m @ p 4"}),
        (
            "20-24 N·m, order 1-3-2-4, dry",
            {"torque": "20-24 N·m", "order": "1-3-2-4", "condition": "dry"},
        ),
        ("crosswise", {"order": "crosswise"}),
        (
            "4 × M8, 21 N·m, at 40 140 220 320 @ p 4",
            {"count": "4", "thread": "M8", "torque": "21 N·m @ p 4", "at": "40 140 220 320"},
        ),
    ],
)
def test_a_groups_line_is_taken_apart(line: str, fields: dict[str, str]) -> None:
    assert parse_fastener(line) == fields


def test_a_clause_nobody_knows_is_shown_where_it_stands() -> None:
    with pytest.raises(QuantityError, match=r"'oild' is neither .* Did you mean oiled\?") as caught:
        parse_fastener("4 × M8, oild")
    assert caught.value.at == 8


@pytest.mark.parametrize(
    ("said", "rings"),
    [
        ("40 140 220 320", ((40, 140, 220, 320),)),
        ("22.5° 67,5° 112.5", ((22.5, 67.5, 112.5),)),
        ("0 180 outer 0 90", ((0, 180), (0, 90))),  # one behind the other is no clash
    ],
)
def test_places_are_angles_of_one_ring_or_two(said: str, rings: tuple[object, ...]) -> None:
    assert parse_places(said) == rings


def test_a_line_that_is_written_again_is_read_as_the_same() -> None:
    for line in (
        "4 × M8, 21 lbf·ft, order 1-3-2-4, oiled, at 40 140 220 320",
        "5 × M7, 14 lbf·ft, crosswise, at 20 95 160 outer 235 305",
    ):
        fields = parse_fastener(line)
        assert fastener_line(fields, fields["torque"]) == line
