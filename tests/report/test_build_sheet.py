"""The build sheet says what the job says, in a PDF that any reader can use."""

import re
from dataclasses import replace

from pypdf import PdfReader

from ringland.report.paper.blocks import Paper, Table
from ringland.report.paper.build import build_sheet, left_open
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.owner import owners_page
from ringland.report.paper.record import NOT_READ_BACK, ruled
from ringland.report.paper.render import pdf
from ringland.report.view import board, job_view, prestart_view, settings_view
from tests.report.shed import Shed, bare, read, text_of


def test_every_verdict_of_the_board_stands_on_the_sheet_with_value_limit_and_word(
    file: JobFile, sheet: PdfReader
) -> None:
    said = text_of(sheet)
    read = [line for line in board(file.case) if line.value]
    assert len(read) > 15
    for line in read:
        assert bare(line.value) in said
        assert bare(line.limit) in said
        assert bare(f"{line.check}{line.part}") in said
        if line.overruled:
            assert bare(f"conforms: {line.chance}{line.overruled}") in said
        assert bare(f"{line.word}conforms:{line.chance}" if line.chance else line.word) in said


def test_every_reading_stands_on_the_sheet_as_it_was_typed_with_gauge_and_person(
    file: JobFile, sheet: PdfReader
) -> None:
    said = text_of(sheet)
    for (check, condition), readings in file.case.state.readings.items():
        for each in readings:
            fact = each.fact
            typed = ", ".join(i.typed or i.number or i.evidence for i in fact.indications)
            assert bare(f"{check} {fact.place}, {condition}{typed}".replace(" ,", ",")) in said
            tool = " at ".join(filter(None, [fact.gauge, fact.temperature]))
            assert bare(f"{tool}{each.by}{each.at[:10]}") in said


def test_findings_decisions_parts_and_counts_stand_with_their_reasons(
    file: JobFile, sheet: PdfReader
) -> None:
    said, state = text_of(sheet), file.case.state
    for name, noted in state.noted.items():
        assert bare(f"{name}{noted.fact.remark}") in said
    for over in state.overruled.values():
        assert bare(f"{over.fact.decision}{over.fact.reason}{over.by}") in said
    for losses in state.explained.values():
        assert bare(losses[0].fact.how) in said
    for part, renewals in state.renewed.items():
        fact = renewals[0].fact
        assert bare(f"{fact.count}{fact.label or '–'}{fact.batch or '–'}") in said
        assert bare(part) in said
    for tally in file.case.tallies:
        assert tally.said is None or bare(f"{tally.said} of {tally.expected}") in said


def test_every_pull_and_what_the_nut_got_through_the_adapter_stands_in_the_torque_log(
    file: JobFile, sheet: PdfReader
) -> None:
    said = text_of(sheet)
    pulls = file.case.state.tightening["barrel nuts"].pulls
    assert len(pulls) == 16
    settings = list(dict.fromkeys(pull.fact.setting for pull in pulls.values()))
    assert settings == ["", "16 N·m", "24 N·m"]  # the first stage is snug, by no setting
    # straight out, 50 mm on 300 mm: the nut gets 350/300 of the setting, T = S (L + A) / L
    assert said.count(bare("set 16 N·m, got 18.7 N·m")) == 4
    assert said.count(bare("set 24 N·m, got 28.0 N·m")) == 8
    assert said.count("snug") >= 4
    assert bare("TW-2, 300 mm, adapter 50 mm at 0 deg") in said
    assert bare("1 at 40°, 2 at 220°, 3 at 140°, 4 at 320°") in said


def test_settings_and_open_points_are_those_of_the_view(file: JobFile, sheet: PdfReader) -> None:
    said = text_of(sheet)
    for line in settings_view(file.case):
        assert bare(line.name) in said
        assert bare(line.value or line.missing) in said
    for point in prestart_view(file.case):
        what, _, reason = point.what.partition(": ")
        assert bare(what) in said
        assert bare(reason) in said


def test_one_number_says_what_forbids_the_start_and_its_kinds_add_up(
    file: JobFile, sheet: PdfReader
) -> None:
    forbids = len(prestart_view(file.case))
    assert forbids > 20
    for said in (sheet.pages[0].extract_text(), text_of(read(owners_page(file)))):
        told = re.search(r"(\d+)thingsforbidthefirststart:([^.]+)\.", bare(said))
        assert told is not None
        assert int(told[1]) == forbids
        assert sum(map(int, re.findall(r"\d+", told[2]))) == forbids
        assert bare(f"Not finished: {forbids} things forbid the first start.") in bare(said)
        (rest,) = re.findall(rf"and(\d+)moreof{forbids},", bare(said))
        assert int(rest) == forbids - (4 if "What was found" in said else 2)  # those listed before


def test_what_forbids_no_start_is_counted_apart_and_nothing_twice(file: JobFile) -> None:
    told = {line.what.partition(":")[0].partition(",")[0] for line in prestart_view(file.case)}
    others = [cell.text for cell in left_open(file)]
    assert "bore, as found: within" not in others
    assert any(text.startswith("bore, as found") for text in others)  # overruled
    asked = {line.check for line in job_view(file.case, file.job).asks}
    for text in others:
        name = text.partition(",")[0]
        assert name not in told or name not in asked


def test_each_setting_stands_with_its_doubt_and_source_on_hardly_more_than_a_page(
    file: JobFile, sheet: PdfReader
) -> None:
    said = text_of(sheet)
    for line in settings_view(file.case):
        rests_on = "; ".join(filter(None, [line.remark.rstrip("."), line.source]))
        value = line.value or f"not given: {line.missing}"
        assert bare(f"{line.name}{value}{rests_on}") in said
    assert "±" in said
    blocks = build_sheet(file).blocks
    table = next(b for b in blocks if isinstance(b, Table) and b.head[0] == "setting")
    assert len(table.rows) > 35
    alone = read(Paper("settings", "settings", file.about, file.date, (table,)))
    assert len(alone.pages) == 2
    assert len(alone.pages[1].extract_text()) < len(alone.pages[0].extract_text()) / 2


def test_a_figure_that_nobody_read_back_is_marked_as_is_one_that_changed_since(whole: Shed) -> None:
    file = whole.file()
    verdict = file.case.verdicts["bore", "as found"]
    assert ruled(file, verdict).endswith(NOT_READ_BACK)

    def ruled_when_noted(note: str) -> str:
        known = file.case.book.sheet.model_copy(update={"read_back": {"bore": note}})
        book = replace(file.case.book, sheet=known)
        return ruled(replace(file, case=replace(file.case, book=book)), verdict)

    assert NOT_READ_BACK not in ruled_when_noted("Ben")
    assert NOT_READ_BACK not in ruled_when_noted("Ben 2026-11-05 as 53.20 mm, max 53.25 mm")
    assert NOT_READ_BACK in ruled_when_noted("Ben 2026-11-05 as 53.20 mm, max 53.30 mm")


def test_the_first_page_says_whether_it_may_be_started_before_anything_else(
    sheet: PdfReader,
) -> None:
    first = bare(sheet.pages[0].extract_text())
    assert bare("Do not start it yet.") in first
    assert bare("What is open") in first
    assert bare("for the owner: name, date, signature") in first


def test_the_same_job_prints_the_same_bytes(file: JobFile) -> None:
    assert pdf(build_sheet(file)) == pdf(build_sheet(file))
