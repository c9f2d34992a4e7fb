"""A face read at points, through the commands: narrowest zone, bias by noise, what lapping takes."""

from pathlib import Path

import pytest

from tests.stories.shop import Shop

# 3×3 grid of 100 mm: minimum zone 0.027, least squares 0.0323; computed twice by other methods
HEIGHTS = ((0, 4, 6), (-5, 20, -9), (-10, -3, 8))


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    shop = Shop(tmp_path)
    shop("gauge", "add", "DI-1", "dial indicator", "--error", "2 µm")
    shop("gauge", "add", "DI-9", "dial indicator", "--error", "20 µm")
    shop.open("hill-2", "f-289")
    return shop


def face(shop: Shop, scale: float = 1.0, header: str = "x,y,z") -> str:
    file = shop.folder / "face.csv"
    rows = [
        f"{100 * x},{100 * y},{scale * z / 1000:.4f}"
        for y, row in enumerate(HEIGHTS)
        for x, z in enumerate(row)
    ]
    file.write_text("\n".join([header, *rows]), encoding="utf-8")
    return str(file)


def test_points_of_a_face_are_judged_by_their_narrowest_zone(shop: Shop) -> None:
    said = shop("measure", "1", "head", "flatness", "points", face(shop), "--with", "DI-1")
    assert "head flatness  0.027 mm" in said
    board = shop.verdict("1", "head flatness")
    assert board["word"] == "within"
    assert board["measured"]["number"] == pytest.approx(0.027)
    assert "lapping it flat takes 0.027 mm off at the most" in board["measured"]["notes"]


@pytest.mark.parametrize(
    ("gauge", "scale", "word"),
    [
        ("DI-1", 1.0, "within"),
        ("DI-9", 1.7, "undecided"),  # 0.046 of 0.050 with a coarse dial
        ("DI-1", 3.0, "beyond"),  # 0.081
    ],
)
def test_noise_is_counted_against_the_limit(
    shop: Shop, gauge: str, scale: float, word: str
) -> None:
    shop("measure", "1", "head", "flatness", "points", face(shop, scale), "--with", gauge)
    assert shop.verdict("1", "head flatness")["word"] == word


def test_lines_read_after_points_stand(shop: Shop) -> None:
    shop("measure", "1", "head", "flatness", "points", face(shop, 3.0), "--with", "DI-1")
    shop.say("1", "head flatness L1 .04 stops")
    assert shop.verdict("1", "head flatness")["word"] == "within"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("head", "flatness", "points", "none.csv"), "none.csv: No such file"),
        (("squish", "points", "none.csv"), "squish is no face that is read at points"),
    ],
)
def test_a_table_that_cannot_be_read_is_told(shop: Shop, words: tuple[str, ...], said: str) -> None:
    before = len(shop.kept("1"))
    code, output = shop.run("measure", "1", *words)
    assert code != 0
    assert said in output
    assert len(shop.kept("1")) == before


def test_a_missing_column_is_named(shop: Shop) -> None:
    code, output = shop.run(
        "measure", "1", "head", "flatness", "points", face(shop, header="x,y,w")
    )
    assert code != 0
    assert "z" in output


def test_three_points_show_no_flatness(shop: Shop) -> None:
    file = shop.folder / "three.csv"
    file.write_text("x,y,z\n0,0,0\n60,0,0\n30,60,0.2\n", encoding="utf-8")
    shop("measure", "1", "head", "flatness", "points", str(file), "--with", "DI-1")
    board = shop.verdict("1", "head flatness")
    assert board["word"] == "undecided"
    assert "3 points show no flatness" in board["reason"]
