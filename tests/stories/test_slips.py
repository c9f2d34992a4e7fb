"""Slips asked about at the keystroke, through the commands: nothing kept, nothing corrected silently.

The engine is the invented F-230: bore 65.000-65.020, max 65.060 mm; clearance 0.050-0.080, 0.110 in
service; gap 0.25-0.45; squish 1.00-1.40; seals are tested at 0.40 bar.
"""

import re
from pathlib import Path

import pytest

from tests.stories.shop import Shop

SHELF = (
    ("BG-1", "bore gauge", "--step", "0.001 mm", "--from", "50 mm", "--to", "75 mm"),
    ("MM-1", "fine micrometer", "--step", "0.001 mm", "--from", "50 mm", "--to", "75 mm"),
    ("MX-1", "outside micrometer", "--step", "0.01 mm"),
    ("FG-1", "feeler", "--leaves", "0.05 0.10 0.30 0.35 0.40 mm"),
    ("SO-1", "solder", "--to", "1.5 mm"),
    ("LG-1", "low-pressure gauge", "--step", "0.01 bar"),
)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    shop = Shop(tmp_path, shelf=False)
    for gauge in SHELF:
        shop("gauge", "add", *gauge)
    shop.open("loan-3", "f-230")
    shop.say("1", "bore H1X 65.016 H1Y 65.021")
    return shop


@pytest.mark.parametrize(
    ("line", "said"),
    [
        # unit: mm for inch, hundredths, thou (trade: unit mix-ups as they are typed)
        ("bore H3X 2.5591 mm", "Did you mean 2.5591 in"),
        ("gap bottom 30 mm", "Did you mean 30 thou or 0.3 mm"),
        ("gap bottom .014 mm", "Did you mean 0.014 in"),
        # a factor of ten
        ("skirt 649.53 mm", "Did you mean 64.953 mm"),
        # swapped, doubled, wrong digits
        ("bore H3X 65.210", "Did you mean 65.010 mm"),
        ("bore H3X 65.9010 mm", "65.016 to 65.021 mm"),
        ("old skirt 46.953", "Did you mean 64.953 mm"),
        ("old skirt 664.953", "Did you mean 64.953 mm"),
        # bore less skirt
        ("old skirt 65.953", "wider than the bore by 0.937 mm. Did you mean 64.953 mm"),
        ("old skirt 63.953", "2.063 mm|1.063 mm"),
        # what a gauge can show
        ("gap bottom .37", "no leaf of FG-1, nor a sum of them, is that thick"),
        ("old skirt 64.9535", "MM-1 shows steps of 0.001 mm"),
        ("squish EX 1.6 IN 1.2", "SO-1 is 1.5 mm thick when fresh"),
        ("squish EX 0.25 IN 0.24", "lies between about"),
        # tests of seals
        ("leak 6 bar 5.8 bar 6 min", "Did you mean 6 kPa or 6 psi"),
        ("bore H3X -65.012 mm", "never below zero"),
        ("bore H3X 0 mm", "a blank is not zero"),
        ("temp 75", "Did you mean 75 °F"),
    ],
)
def test_a_likely_slip_is_asked_and_nothing_is_kept(shop: Shop, line: str, said: str) -> None:
    before = len(shop.kept("1"))
    told = shop.say("1", line)
    assert told.code != 0
    assert re.search(said, told.output), told.output
    assert len(shop.kept("1")) == before


def test_all_questions_of_a_line_come_at_once(shop: Shop) -> None:
    told = shop.say("1", "bore H3X 2.5591 mm H3Y 650.12 mm").output
    assert "2.5591 mm for bore" in told
    assert "650.12 mm for bore" in told


def test_places_of_one_line_are_each_others_neighbours(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    shop.open("loan-3", "f-230")
    assert "The other reads 65.015 mm" in shop.say("1", "bore H1Y 65.015 H1X 65.610").output


def test_who_insists_is_kept_with_the_question(shop: Shop) -> None:
    told = shop.say("1", "old skirt 63.953 !")
    assert told.code == 0
    body = shop.kept("1")[-1]["body"]
    assert "is that right?" in body["insisted"]
    assert body["indications"][0]["number"] == "63.953", "as it was typed"


def test_a_coarse_scale_may_be_read_between_its_marks(shop: Shop) -> None:
    assert shop.run("measure", "1", "skirt", "64.953", "--with", "MX-1")[0] == 0
    code, said = shop.run("measure", "1", "skirt", "64.9535", "--with", "MX-1")
    assert code != 0
    assert "MX-1 shows steps of 0.01 mm" in said


def test_a_gauge_that_reads_another_kind_is_asked_about(shop: Shop) -> None:
    code, said = shop.run("measure", "1", "bore", "H3X", "65.012", "mm", "--with", "LG-1")
    assert code != 0
    assert "LG-1 is a low-pressure gauge, which reads no length" in said


# -- measured today? ---------------------------------------------------------------------------

SIZES = "bore H1X 65.016 H1Y 65.021 H3X 65.010 H3Y 65.012"


def test_sizes_of_the_last_job_to_the_last_digit_are_asked_about(shop: Shop) -> None:
    shop.say("1", "bore H3X 65.010 H3Y 65.012")
    shop("job", "open", "loan-3", "--scope", "ring")
    told = shop.say("2", SIZES)
    assert told.code != 0
    assert "equal those of job 1" in told.output
    assert "Measured today?" in told.output
    assert shop.say("2", f"{SIZES} !").code == 0
    assert shop.say("2", "bore H1X 65.016").code == 0, "it is asked once"


@pytest.mark.parametrize(
    "line",
    [
        "bore H1X 65.016 H1Y 65.021",  # two may be chance
        "bore H1X 65.017 H1Y 65.021 H3X 65.010 H3Y 65.012",  # one differs: someone measured
    ],
)
def test_a_few_equal_sizes_are_no_copy(shop: Shop, line: str) -> None:
    shop.say("1", "bore H3X 65.010 H3Y 65.012")
    shop("job", "open", "loan-3", "--scope", "ring")
    assert shop.say("2", line).code == 0
    assert shop.verdict("2", "bore")["word"] == "within"


def test_another_machines_sizes_are_not_looked_at(shop: Shop) -> None:
    shop.say("1", "bore H3X 65.010 H3Y 65.012")
    shop.open("loan-4", "f-230")
    assert shop.say("2", SIZES).code == 0


# -- bad input ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("bore", "H1X", "65.01", "--with", "XX-9"),
            "no gauge is called 'XX-9'. On the shelf: BG-1",
        ),
        (("bore", "H1X", "65.01 bar"), "bar is a pressure; here a length is asked for"),
        (("bore", "65.01"), "say where: H1-X"),
        (("bore", "H9X", "65.01"), "places: H1-X"),
        (("bore", "H1X", "nan"), "not understood"),
        (("taper", "0.01"), "worked out from bore"),
        (("bore", "H3X", "65.012", "--temp", "warm"), "not a quantity"),
    ],
)
def test_bad_input_names_the_thing_and_the_next_step(
    shop: Shop, words: tuple[str, ...], said: str
) -> None:
    before = len(shop.kept("1"))
    code, output = shop.run("measure", "1", *words)
    assert code != 0
    assert said in output
    assert len(shop.kept("1")) == before


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--error", "2 µm to 25 mm, 3 µm"), "write one error, or a table"),
        (("--error", "2 bar"), "here a length is asked for"),
        (("--error", "-3 µm"), "a permissible error is 0 or more"),
    ],
)
def test_a_gauge_is_refused_with_what_is_wrong(
    shop: Shop, options: tuple[str, ...], said: str
) -> None:
    code, output = shop.run("gauge", "add", "MM-9", "fine micrometer", *options)
    assert code != 0
    assert said in output
