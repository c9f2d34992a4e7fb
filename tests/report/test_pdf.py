"""Each paper is a PDF for everyone: tagged, with its fonts, on either size, nothing cut off."""

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader

from ringland.job.log.entries import HandedOver
from ringland.job.log.fold import Said
from ringland.report.paper.blocks import PaperSize
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.papers import PAPERS
from ringland.report.paper.render import pdf
from tests.report.reading import elements, fonts, ink_at_the_edges, pages
from tests.report.shed import STRIPPED, bare, read, shed, text_of

MILLIMETRES = {"a4": (210.0, 297.0), "us-letter": (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1 size A
HALF_A_POINT = 0.5
GREY = 2  # steps by which the colours of a dot may differ
FACES = {"AtkinsonHyperlegibleNext-Regular", "AtkinsonHyperlegibleNext-Bold"}


def test_the_fonts_are_in_the_file_and_are_those_of_the_page(sheet: PdfReader) -> None:
    found = fonts(sheet)
    assert set(found) >= FACES
    assert all(found.values())


def test_only_the_own_faces_are_needed_for_a_job_in_plain_words(sheet: PdfReader) -> None:
    assert set(fonts(sheet)) == FACES


def test_the_file_declares_archive_and_accessibility_standards(sheet: PdfReader) -> None:
    about = sheet.xmp_metadata
    assert about is not None
    written = about.rdf_root.toxml()
    for claim in ("pdfaid:part>2<", "pdfaid:conformance>A<", "pdfuaid:part>1<"):
        assert claim in written
    assert sheet.root_object["/MarkInfo"]["/Marked"]  # type: ignore[index]
    assert str(sheet.root_object["/Lang"]).startswith("en")
    assert sheet.metadata is not None
    assert sheet.metadata.title == "oxbow-9, job 1: oxbow-9: piston kit at 38.2 h"


@pytest.mark.parametrize("name", PAPERS)
def test_every_picture_says_in_words_what_it_shows(file: JobFile, name: str) -> None:
    figures = [each for each in elements(read(PAPERS[name](file))) if str(each["/S"]) == "/Figure"]
    assert all(str(each.get("/Alt", "")) for each in figures)
    if name in ("build", "guide", "labels"):
        assert figures


def test_tables_have_header_cells_and_sections_have_headings(sheet: PdfReader) -> None:
    kinds = [str(each["/S"]) for each in elements(sheet)]
    assert kinds.count("/Table") >= 6
    assert kinds.count("/TH") >= 30
    assert "/H1" in kinds


@pytest.mark.parametrize("size", ["a4", "us-letter"])
@pytest.mark.parametrize("name", PAPERS)
def test_nothing_reaches_the_edge_of_the_paper_on_either_size(
    file: JobFile, name: str, size: PaperSize
) -> None:
    content = pdf(PAPERS[name](file), size=size)
    assert ink_at_the_edges(content) == []
    for page in PdfReader(BytesIO(content)).pages:
        width, height = (float(each) * 25.4 / 72 for each in page.mediabox[2:])
        assert (width, height) == pytest.approx(MILLIMETRES[size], abs=HALF_A_POINT)


def test_an_edge_with_ink_is_noticed() -> None:
    """The test above can fail: a page drawn to its edge is found."""
    import typst

    made = typst.compile(b"#set page(margin: 0pt)\n#rect(width: 100%, height: 100%, fill: black)")
    assert isinstance(made, bytes)
    assert ink_at_the_edges(made) == [1]


@pytest.mark.parametrize("name", PAPERS)
def test_each_paper_says_whose_it_is_on_every_page(file: JobFile, name: str) -> None:
    reader = read(PAPERS[name](file))
    if name == "labels":
        assert all("oxbow-9, job 1" in page.extract_text() for page in reader.pages)
        return
    for number, page in enumerate(reader.pages, 1):
        said = page.extract_text()
        assert "oxbow-9, job 1" in said
        assert f"page {number} of {len(reader.pages)}" in said


@pytest.mark.parametrize("size", ["a4", "us-letter"])
def test_the_owners_page_is_one_page_however_much_is_open(tmp_path: Path, size: PaperSize) -> None:
    left = shed(tmp_path, STRIPPED, scope="full")  # the more is open, the longer it is
    many = left.file(), replace(left.file(), hours=left.file().hours * 2)
    for job in many:
        assert len(read(PAPERS["owner"](job), size=size).pages) == 1
        second = read(PAPERS["build"](job), size=size).pages[1].extract_text()
        assert second.strip().startswith("The machine")


@pytest.mark.parametrize("size", ["a4", "us-letter"])
@pytest.mark.parametrize("name", PAPERS)
def test_no_page_holds_only_two_or_three_lines(file: JobFile, name: str, size: PaperSize) -> None:
    for page in read(PAPERS[name](file), size=size).pages:
        assert len([line for line in page.extract_text().splitlines() if line.strip()]) > 6


@pytest.mark.parametrize("name", PAPERS)
def test_all_is_black_on_white(file: JobFile, name: str) -> None:
    for page in pages(pdf(PAPERS[name](file))):
        dots = np.asarray(page.render(scale=0.6).to_pil().convert("RGB")).astype(int)
        assert int(np.ptp(dots, axis=2).max()) <= GREY
        assert dots[0, 0].tolist() == [255, 255, 255]


def test_the_owners_page_of_a_finished_job_is_one_page_and_so_is_its_build_sheets_first(
    file: JobFile,
) -> None:
    handed = Said("x", "2026-05-10T16:00:00+02:00", "Ben", HandedOver(started=True))
    state = replace(file.case.state, handed_over=handed)
    done = replace(file, case=replace(file.case, state=state))
    owner = read(PAPERS["owner"](done))
    assert bare("Handed over started and proven by Ben on 2026-05-10") in text_of(owner)
    assert len(owner.pages) == 1
    second = read(PAPERS["build"](done)).pages[1].extract_text()
    assert second.strip().startswith("The machine")
