"""Bag labels: what is on them, and codes that an independent reader opens."""

from dataclasses import replace
from itertools import combinations
from pathlib import Path
from urllib.parse import unquote, urlsplit

import numpy as np
import pytest
import zxingcpp

from ringland.report.paper.bags import bags
from ringland.report.paper.blocks import PaperSize
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.labels import bag_labels
from ringland.report.paper.render import pdf
from tests.report.reading import ink_at_the_edges, pages
from tests.report.shed import ADDRESS, STRIPPED, bare, read, shed, text_of


def codes(content: bytes, *, blot: bool = False) -> set[str]:
    """Return the texts of all QR codes, read from the printed pages at 200 dots per inch."""
    found = set()
    for page in pages(content):
        picture = np.array(page.render(scale=200 / 72).to_pil().convert("L"))
        if blot:
            picture = np.where(np.random.default_rng(1).random(picture.shape) < 0.02, 0, picture)
        found |= {each.text for each in zxingcpp.read_barcodes(picture.astype(np.uint8))}
    return found


def test_each_code_opens_the_step_of_its_bag(file: JobFile) -> None:
    steps = {bag.step for bag in bags(file)}
    found = codes(pdf(bag_labels(file)))
    assert {f"{urlsplit(each).scheme}://{urlsplit(each).netloc}" for each in found} == {ADDRESS}
    paths = [unquote(urlsplit(each).path).split("/") for each in found]
    assert {path[-1] for path in paths} == steps
    assert {tuple(path[1:4]) for path in paths} == {("job", file.job, "step")}


def test_codes_stay_readable_with_specks_of_oil_on_them(file: JobFile) -> None:
    assert len(codes(pdf(bag_labels(file)), blot=True)) == len(bags(file))


def test_a_label_names_step_parts_with_counts_orientation_and_the_way_back(file: JobFile) -> None:
    said = text_of(read(bag_labels(file)))
    for bag in bags(file):
        assert bare(f"{bag.number} {bag.step}") in said
        for part, count in bag.parts[:5]:
            assert bare(f"{count} × {part}") in said
        assert bare(bag.orientation) in said
        assert bare(f"Back at: {bag.back}") in said


def test_every_part_that_comes_off_is_in_exactly_one_bag(file: JobFile) -> None:
    off = [
        (name, part, count)
        for name, step in file.case.steps.items()
        if step.phase == "strip"
        for part, count in step.off.items()
    ]
    assert sorted(off) == sorted((b.step, part, n) for b in bags(file) for part, n in b.parts)


def test_a_scope_without_a_strip_has_no_labels_and_says_so(file: JobFile) -> None:
    kept = {name: step for name, step in file.case.steps.items() if step.phase != "strip"}
    closed = replace(file, case=replace(file.case, steps=kept))
    with pytest.raises(ValueError, match="nothing comes off"):
        bag_labels(closed)


Box = tuple[float, float, float, float]
TITLE = 60  # points at the top of a page that the title may fill
HAIR = 2.5  # points; the boxes of two lines touch
LONG_STEP = "Zylinderkopfbefestigungsmutternunterlegscheiben ablegen"
LONG_PARTS = {
    "Zylinderkopfdichtungsrundschnurring": 2,
    "Zylinderkopfbefestigungsmutternunterlegscheibe": 5,
    "Kurbelwellenhauptlagerabdeckungsbefestigungsschraube": 4,
    "Auslasssteuerungswalzenlagerbuchse": 2,
}
LONG_WAY = (
    "Muttern und Unterlegscheiben in der Reihenfolge der Befestigungsbolzen ablegen, "
    "Auslassseite nach links, Zündungsseite nach oben, und nichts verwechseln; danach die "
    "Dichtflächenreinigungsvorbereitung, die Gewindebohrungen abdecken und das Kühlmittel auffangen"
)
LONG_MACHINE = "Zweitaktgeländewettbewerbsmaschine-Leihfahrzeug-der-Jugendabteilung"


@pytest.mark.parametrize("size", ["a4", "us-letter"])
def test_very_long_names_stay_whole_inside_their_label(tmp_path: Path, size: PaperSize) -> None:
    """Nothing is cut off and nothing reaches into the label beside it or below."""
    job = shed(tmp_path, STRIPPED, machine=LONG_MACHINE).file()
    paper = bag_labels(job)
    parts = tuple(f"{count} × {part}, renewed" for part, count in LONG_PARTS.items())
    long = replace(paper.labels[2], step=LONG_STEP, parts=parts, orientation=LONG_WAY)
    content = pdf(replace(paper, labels=(*paper.labels[:2], long, *paper.labels[3:])), size=size)
    said = bare("".join(page.get_textpage().get_text_range() for page in pages(content)))
    for words in (LONG_STEP, LONG_WAY, *parts):
        assert bare(words) in said
    assert said.count(bare(f"{LONG_MACHINE}, job 1. Back at:")) == len(paper.labels)
    assert ink_at_the_edges(content) == []
    for page in pages(content):
        middle, text = page.get_width() / 2, page.get_textpage()
        boxes = [text.get_rect(at) for at in range(text.count_rects())]
        labels = [box for box in boxes if box[3] < page.get_height() - TITLE]
        assert not [box for box in labels if box[0] < middle - 2 < middle + 2 < box[2]]
        assert not [pair for pair in combinations(labels, 2) if overlap(*pair)]


def overlap(one: Box, other: Box) -> bool:
    """Say whether two boxes (left, bottom, right, top) cover each other by more than a hair."""
    across = min(one[2], other[2]) - max(one[0], other[0])
    return across > HAIR and min(one[3], other[3]) - max(one[1], other[1]) > HAIR
