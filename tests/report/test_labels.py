"""Bag labels: what is on them, and codes that an independent reader opens."""

from dataclasses import replace
from urllib.parse import unquote, urlsplit

import numpy as np
import pytest
import zxingcpp

from ringland.report.paper.bags import bags
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.labels import bag_labels
from ringland.report.paper.render import pdf
from tests.report.reading import pages
from tests.report.shed import ADDRESS, bare, read, text_of


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
