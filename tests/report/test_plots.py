"""Plots are drawings that can be read without seeing them."""

import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

from ringland.cli import main
from ringland.job.life import Point, points_of
from ringland.report.paper.blocks import Gallery, Picture
from ringland.report.paper.build import build_sheet
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.plots import plots
from tests.report.shed import STRIPPED, shed

SVG = "{http://www.w3.org/2000/svg}"
HISTORY = tuple(
    Point("ring end gap", hours, gap, 0.01, "mm", 0.60, False, "1")
    for hours, gap in ((0.0, 0.31), (20.0, 0.40), (38.2, 0.46))
)


@pytest.fixture(scope="module")
def drawn(file: JobFile) -> dict[str, Picture]:
    found = plots(replace(file, history=HISTORY))
    return {each.name: each for each in found}


def test_a_whole_job_gives_profile_squish_pump_up_decay_and_life(drawn: dict[str, Picture]) -> None:
    assert set(drawn) == {
        "plot-profile.svg", "plot-map-squishas-fitted.svg",
        "plot-pump-up.svg", "plot-decay-crankcase-leak--as-fitted.svg", "plot-life-ring-end-gap.svg",
    }  # fmt: skip


def test_each_plot_has_title_description_and_axes_with_units(drawn: dict[str, Picture]) -> None:
    for plot in drawn.values():
        assert isinstance(plot.content, str)
        assert "style=" not in plot.content
        tree = ElementTree.fromstring(plot.content)
        assert tree.get("role") == "img"
        said = tree.findtext(f"{SVG}desc") or tree.findtext("desc") or ""
        assert re.search(r"\d", said)
        words = " ".join(
            "".join(each.itertext()) for each in tree.iter() if each.tag.endswith("text")
        )
        assert re.search("millimetres|bar|hours|minutes|exhaust side", words)
        assert plot.alt


def test_the_text_alternative_holds_the_readings(file: JobFile, drawn: dict[str, Picture]) -> None:
    profile = drawn["plot-profile.svg"].alt
    for place, value in file.case.verdicts["bore", "as found"].value.places.items():  # type: ignore[union-attr]
        if value.estimate is not None:
            assert f"{place} {value.estimate.value * 1e3:.3f}" in profile
    assert "0.4 at 20 h" in drawn["plot-life-ring-end-gap.svg"].alt
    assert "0.400 to 0.390 bar in 6 min" in drawn["plot-decay-crankcase-leak--as-fitted.svg"].alt


def test_nothing_is_drawn_from_nothing(file: JobFile) -> None:
    state = replace(file.case.state, readings={})
    empty = replace(file, case=replace(file.case, state=state, verdicts={}))
    assert plots(empty) == []


def test_compression_over_hours_has_the_shops_limit_below_the_own_baseline(file: JobFile) -> None:
    case = file.case
    point = next(
        iter(points_of(case, case.verdicts["cranking compression", "as found"], 38.2, "1"))
    )
    assert (point.value, point.unit, point.below) == (10.6, "bar", True)
    assert point.limit == pytest.approx(12.6 * 0.75)  # a quarter lost stops riding, common practice


FACE = "x,y,z (µm)\n0,0,0\n60,0,30\n60,60,0\n0,60,30\n30,30,18\n"  # a saddle with a middle


def test_a_face_read_at_points_is_drawn_as_the_flatness_calculator_draws_it(
    tmp_path: Path,
) -> None:
    table = tmp_path / "head.csv"
    table.write_text(FACE, encoding="utf-8")
    read_at_points = shed(tmp_path, (*STRIPPED, f"head flatness points {table}"))
    (face,) = [each for each in plots(read_at_points.file()) if each.name.startswith("plot-face")]
    assert isinstance(face.content, str)
    asked = CliRunner().invoke(
        main, ("calc", "flatness", "--csv", str(table), "--svg", str(tmp_path / "face.svg"))
    )
    assert asked.exit_code == 0, asked.output
    drawn = (tmp_path / "face.svg").read_text(encoding="utf-8")
    told = re.search(r"Heights over the lower plane in µm, by point: [^<]*zone", drawn)
    assert told is not None
    assert told[0] in face.alt
    assert told[0].count(",") == 5  # five points, and one comma of the sentence
    assert face in [each for block in build_sheet(read_at_points.file()).blocks
                    if isinstance(block, Gallery) for each in block.pictures]  # fmt: skip
