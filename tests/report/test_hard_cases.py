"""What people really write and forget must not break a page."""

from io import BytesIO
from pathlib import Path
from unicodedata import category

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from ringland.job.log.entries import FindingNoted, Indication, PartRenewed, PhotoTaken, ReadingTaken
from ringland.report.paper.blocks import Cell, Paper, Table, Text, printable
from ringland.report.paper.build import build_sheet
from ringland.report.paper.papers import PAPERS
from ringland.report.paper.render import pdf
from tests.report.reading import elements, fonts, ink_at_the_edges, pages
from tests.report.shed import STRIPPED, bare, photo, read, shed, text_of

MARK = "\N{REPLACEMENT CHARACTER}"  # stands for letters of private use
LONG = "the-one-with-the-yellow-frame-and-the-name-that-goes-on-and-on-without-any-space-at-all" * 2


def test_a_job_without_any_reading_prints_all_papers(tmp_path: Path) -> None:
    bare_shed = shed(tmp_path, ())
    for name, paper in PAPERS.items():
        reader = read(paper(bare_shed.file()))
        assert len(reader.pages) >= 1
        if name == "build":
            assert bare("No reading was taken.") in text_of(reader)


def test_two_hundred_readings_all_stand_on_the_sheet_and_the_heads_repeat(tmp_path: Path) -> None:
    many = shed(tmp_path, STRIPPED)
    taken = [
        ReadingTaken("ring end gap", "as found", (Indication("goes", f"0.{n:03d}", "mm", f"r{n:03d}"),),
                     ("bottom", "top")[n % 2], "FG-1")
        for n in range(100, 300)
    ]  # fmt: skip
    many.keep(*taken)
    reader = read(build_sheet(many.file()))
    said = text_of(reader)
    assert all(f"r{n:03d}" in said for n in range(100, 300))
    with_head = [page for page in reader.pages if "check and place" in page.extract_text()]
    assert len(with_head) >= 4
    assert ink_at_the_edges(pdf(build_sheet(many.file()))) == []


def test_long_names_wrap_and_stay_whole(tmp_path: Path) -> None:
    named = shed(tmp_path, STRIPPED, by=LONG, machine=LONG, reason=LONG)
    named.keep(
        FindingNoted("deep score", place=LONG, remark=f"{LONG} {LONG}"),
        PartRenewed("piston", 1, LONG, LONG),
    )
    for name in ("build", "owner", "labels", "order"):
        paper = PAPERS[name](named.file())
        assert ink_at_the_edges(pdf(paper)) == []
        assert bare(LONG) in text_of(read(paper))


@pytest.mark.parametrize(
    ("name", "face"),
    [("עדה לוי", "DejaVuSans"), ("أحمد بن علي", "DejaVuSans"), ("山田太郎", "LastResort")],
    ids=["hebrew", "arabic", "japanese"],
)
def test_a_name_in_another_script_is_printed_kept_and_breaks_nothing(
    tmp_path: Path, name: str, face: str
) -> None:
    other = shed(tmp_path, STRIPPED)
    other.bench.by = name
    other.keep(FindingNoted("deep score", remark=f"{name} (53.2 mm)"))
    content = pdf(build_sheet(other.file()))
    reader = PdfReader(BytesIO(content))
    said = "".join(page.get_textpage().get_text_range() for page in pages(content))
    assert all(letter in said for letter in name)
    assert ink_at_the_edges(content) == []
    assert any(each.startswith(face) for each in fonts(reader))
    assert all(fonts(reader).values())


def test_a_photo_that_is_missing_or_broken_leaves_a_frame_that_says_so(tmp_path: Path) -> None:
    pictured = shed(tmp_path, STRIPPED)
    kept = pictured.bench.log.put_photo(photo())
    wrong = pictured.bench.log.put_photo(b"no photo at all")
    pictured.keep(
        PhotoTaken(kept, "head off", "EX", "before"),
        PhotoTaken("0" * 64, "barrel off"),
        PhotoTaken(wrong, "piston off"),
    )
    contents = {kept: pictured.bench.log.photo(kept), "0" * 64: None, wrong: b"no photo at all"}
    reader = read(build_sheet(pictured.file(photos=contents)))
    said = [str(each.get("/Alt", "")) for each in elements(reader) if str(each["/S"]) == "/Figure"]
    assert "photo: head off, EX side" in said
    assert "photo: barrel off: photo is not in the store" in said
    assert "photo: piston off: photo cannot be read" in said


def test_what_people_type_is_never_taken_for_source(tmp_path: Path) -> None:
    typed = '#panic("x") $x^2$ @ref *b* _i_ <a> [c] = h \\ #read("/etc/hostname") "quoted"'
    sly = shed(tmp_path, STRIPPED, reason=typed)
    assert bare(typed) in text_of(read(build_sheet(sly.file())))


@given(st.text(max_size=60))
@settings(deadline=None, max_examples=25)
def test_any_text_can_be_printed(said: str) -> None:
    paper = Paper(
        "note", said or "x", said, "2026-05-02", (Text(said), Table(("a",), ((Cell(said),),), (1,)))
    )
    assert pdf(paper).startswith(b"%PDF")


@given(st.text())
@settings(deadline=None, max_examples=200)
def test_printable_text_has_no_control_marks_and_loses_no_letter(said: str) -> None:
    made = printable(said)
    assert not [each for each in made if category(each) in ("Cc", "Cs") and each != "\n"]
    kept = [each for each in said if category(each)[0] in "LNPS" and each != MARK]
    assert [each for each in made if category(each)[0] in "LNPS" and each != MARK] == kept


def test_a_name_from_right_to_left_leaves_the_figure_beside_it_in_its_place() -> None:
    """Without isolation the number would be set before the name, away from its unit."""
    paper = Paper("note", "t", "a", "2026-05-02", (Text("read by עדה לוי: 53.2 mm, at H1"),))
    page = next(pages(pdf(paper))).get_textpage()
    said = page.get_text_range()
    where = said.index("53.2")
    figure, name, unit = where, said.index("ע"), said.index("mm")
    left = [page.get_charbox(index)[0] for index in (name, figure, unit)]
    assert left == sorted(left)
