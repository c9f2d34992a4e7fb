"""Strip list, order sheet, owner's page and guide hold what the views and the sheet hold."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from ringland.job.due import PartHours
from ringland.job.log.entries import PartRenewed
from ringland.job.plan import plan
from ringland.report.drawings.finding_marks import PLACES
from ringland.report.paper.bags import bags
from ringland.report.paper.blocks import Beside, Block, Cell, Gallery, Items, Keep, Text
from ringland.report.paper.guide import guide
from ringland.report.paper.jobfile import JobFile, of_sheet
from ringland.report.paper.order import order_sheet
from ringland.report.paper.owner import owners_page
from ringland.report.paper.strip import strip_list
from ringland.report.view import parts_view
from ringland.sheet.model import Phase
from tests.report.shed import NOW, STRIPPED, bare, read, shed, text_of


def test_the_strip_list_names_every_tool_supply_part_and_bag(file: JobFile) -> None:
    said, view = text_of(read(strip_list(file))), parts_view(file.case.parts)
    for line in (*view.tools, *view.supplies):
        assert bare(f"{line.name}{line.why}") in said
    for line in (*view.first, *view.second):
        assert bare(f"{line.count} × {line.name}") in said
    for kit, names in view.left_out.items():
        assert bare(f"A {kit} usually leaves out:{', '.join(names)}") in said
    for bag in bags(file):
        assert bare(f"{bag.number}{bag.step}") in said


def test_the_strip_list_of_a_sheet_and_scope_needs_no_job(file: JobFile) -> None:
    alone = of_sheet(file.opened.sheet, "full", NOW)
    said = text_of(read(strip_list(alone)))
    assert bare("Before the strip: full top end") in said
    after = said.index(bare("Parts that hang on measuring"))
    assert said.index(bare("1 × pistonwaits for bore")) > after
    assert said.index(bare("1 × small-end bearing")) < after


def test_the_order_sheet_puts_each_part_under_its_supplier_and_nothing_twice(file: JobFile) -> None:
    fresh = of_sheet(file.opened.sheet, "piston", NOW)
    view = parts_view(fresh.case.parts)
    suppliers = {"plug": "Alder & Sons", "base gasket": "Alder & Sons", "clip": "Brook"}
    said = text_of(read(order_sheet(fresh, suppliers)))
    places = [
        said.index(bare(name)) for name in ("Alder & Sons", "Brook", "Supplier not named yet")
    ]
    assert places == sorted(places)
    assert places[0] < said.index(bare("1plug")) < places[1] < said.index(bare("2clip")) < places[2]
    for line in (*view.first, *view.second):
        waits = bare(f"{line.count} × {line.name}waits for") in said
        assert waits == bool(line.waits_for)
        assert waits or bare(f"{line.count}{line.name}") in said


def test_what_is_in_hand_is_not_ordered_again(file: JobFile) -> None:
    paper = order_sheet(file)
    assert paper.title.startswith("0 pieces")
    assert bare("Nothing is to be ordered now.") in text_of(read(paper))


def test_the_owners_page_gives_oil_for_a_can_and_hours_left(file: JobFile) -> None:
    hours = (PartHours("ring", 6.0, 20.0), PartHours("piston", None, 40.0))
    said = text_of(read(owners_page(replace(file, hours=hours))))
    assert bare("40:1, that is 125 mL of oil in 5 L of petrol") in said  # 5000 / 40, arithmetic
    assert bare("ring: 14.0 h left of the maker's 20 h") in said
    assert bare("piston: hours unknown; the maker gives 40 h") in said


def test_only_the_owner_of_a_water_cooled_engine_reads_of_coolant_pushed_out(file: JobFile) -> None:
    sheet = file.opened.sheet
    dry = {**sheet, "not fitted": ["water cooling", "electric start", "oil pump"]}
    wet_page, dry_page = (
        text_of(read(owners_page(of_sheet(each, "piston", NOW)))) for each in (sheet, dry)
    )
    assert "Coolantpushedout" in wet_page
    assert "oolantpushedout" not in dry_page
    assert bare("Metal noise, a knock") in dry_page


def test_a_leaflets_figure_is_not_marked_as_one_of_the_sheet_that_nobody_read_back(
    tmp_path: Path,
) -> None:
    made = shed(tmp_path, STRIPPED)
    made.keep(PartRenewed("ring", 1, leaflet={"part": "ring, other make", "for": ["Tarrow 124"],
                                              "figures": {"ring end gap": "0.27-0.33 mm @ side 1"}}))  # fmt: skip
    said = text_of(read(guide(made.file())))
    assert bare("0.27-0.33 mm, side 1 (ring, other make)") in said
    assert bare("0.30-0.38 mm, max 0.60 mm, p 4-31 * (engine sheet)") in said


def test_the_owners_page_tightens_a_settling_gasket_again_and_leaves_an_o_ring_alone(
    file: JobFile,
) -> None:
    said = text_of(read(owners_page(file)))
    assert bare("settling gasket21 lbf·ft (28.5 N·m)Tightened again") in said
    assert bare("O-ring14 lbf·ft (19.0 N·m)Looked at only") in said


def test_the_guide_of_a_sheet_holds_every_step_reading_and_figure_in_working_order(
    file: JobFile,
) -> None:
    alone = of_sheet(file.opened.sheet, "full", NOW)
    said = text_of(read(guide(alone)))
    at = 0
    for item in plan(alone.case).items:
        if item.kind == "step":
            step = alone.case.steps[item.name]
            assert bare(f"{item.name}{step.words}") in said
            assert bare(step.caution) in said
            assert bare(step.mistake) in said
        if item.kind == "reading":
            name = bare(f"measure {item.name}")
            assert name in said
            check = item.name.rpartition(", ")[0]
            figure = alone.case.book.sheet.figures.get(check, "")
            assert bare(figure.replace(" @", ",")) in said
            at += 1
    assert at > 15
    order = [said.index(bare(f"{name}{alone.case.steps[name].words}")) for name in
             ("engine cold", "head off", "barrel off", "piston on", "barrel on")]  # fmt: skip
    assert order == sorted(order)


def test_the_guide_asks_for_each_stage_of_each_nut_and_marks_common_practice(file: JobFile) -> None:
    alone = of_sheet(file.opened.sheet, "full", NOW)
    said = text_of(read(guide(alone)))
    assert bare("no.stage 1, 30 %stage 2, 65 %stage 3, 100 %check pass") in said
    assert bare("1 at 20°, 2 at 160°, 3 at 305°, 4 at 95°, 5 at 235°") in said
    without = {**file.opened.sheet, "figures": {"bore": "53.200 mm"}}
    unknown = text_of(read(guide(of_sheet(without, "full", NOW))))
    assert bare("no figure in the sheet; common practice, not the maker's:") in unknown


WAITS: tuple[tuple[str, Phase, Phase], ...] = (
    ("all measured", "inspect", "decide"),
    ("fit proven", "fit", "build"),
    ("ready to build", "fit", "build"),
    ("ready to start", "prestart", "start"),
)


@pytest.mark.parametrize(("hold", "phase", "following"), WAITS)
def test_a_frame_to_wait_at_stands_after_the_readings_it_waits_for(
    file: JobFile, hold: str, phase: Phase, following: Phase
) -> None:
    alone = of_sheet(file.opened.sheet, "full", NOW)
    said, sheet = text_of(read(guide(alone))), alone.case.book.sheet
    at = said.index(bare(f"Wait here: {hold}."))
    items = plan(alone.case).items
    readings = [each.name for each in items if each.kind == "reading" and each.phase == phase]
    assert readings
    assert all(said.index(bare(f"measure {name}")) < at for name in readings)
    assert bare(sheet.phases[following].title) in said[at:]


def test_new_parts_are_ticked_before_the_frame_that_waits_for_them(file: JobFile) -> None:
    said = text_of(read(guide(of_sheet(file.opened.sheet, "full", NOW))))
    parts, hold = said.index("Newpartsinhand"), said.index(bare("Wait here: parts in hand."))
    assert said.index(bare("Wait here: parts decided.")) < parts < hold


def test_a_frame_that_nobody_may_sign_offers_no_signature(file: JobFile) -> None:
    alone = of_sheet(file.opened.sheet, "full", NOW)
    said = text_of(read(guide(alone)))
    holds = [step for step in alone.case.steps.values() if step.hold]
    never = [step for step in holds if step.never_signed]
    assert said.count(bare("true, or signed because: name, date")) == len(holds) - len(never)
    assert said.count(bare("true: name, date")) == len(never) > 0


def test_drawings_stand_beside_their_steps_in_the_guide(file: JobFile) -> None:
    """The joint where it is loosened and tightened, the adapter, the bore as read, each finding."""
    blocks = list(beside(guide(file).blocks))
    names = [block.picture.name for block in blocks]
    for each in ("joint-barrel-nuts-blank.svg", "joint-head-nuts-blank.svg"):
        assert names.count(each) == 2
    assert names.count("adapter.svg") == 1
    assert "plot-profile.svg" in names  # beside "measure bore", since it was read
    assert "plot-map-squishas-fitted.svg" in names
    sheet = file.case.book.sheet
    pictured = [n for n, f in sheet.findings.items() if n in PLACES and sheet.has(f.fitted_to)]
    assert len([name for name in names if name.startswith("finding-")]) == len(pictured) > 30
    (off,) = [block for block in blocks if "head off" in words_of(block.blocks)]
    assert off.picture.name == "joint-head-nuts-blank.svg"
    assert "loosen from the last to the first" in words_of(off.blocks)


def beside(blocks: Iterable[Block]) -> Iterator[Beside]:
    """Yield every picture that has words beside it."""
    for block in blocks:
        if isinstance(block, Beside):
            yield block
        if isinstance(block, Beside | Keep):
            yield from beside(block.blocks)
        if isinstance(block, Gallery):
            yield from beside(each for each in block.pictures if isinstance(each, Beside))


def words_of(blocks: Iterable[Block]) -> str:
    """Return the texts and the names of steps among some blocks."""
    texts = [block.text for block in blocks if isinstance(block, Text)]
    items = [item for block in blocks if isinstance(block, Items) for item in block.items]
    return " ".join([*texts, *(item.text for item in items if isinstance(item, Cell))])
