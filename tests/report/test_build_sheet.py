"""The build sheet says what the job says, in a PDF that any reader can use."""

from dataclasses import replace

from pypdf import PdfReader

from ringland.report.paper.build import build_sheet
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.record import NOT_READ_BACK, ruled
from ringland.report.paper.render import pdf
from ringland.report.view import board, prestart_view, settings_view
from tests.report.shed import Shed, bare, text_of


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
    assert bare("order 1-3-2-4") in said


def test_settings_and_open_points_are_those_of_the_view(file: JobFile, sheet: PdfReader) -> None:
    said = text_of(sheet)
    for line in settings_view(file.case):
        assert bare(line.name) in said
        assert bare(line.value or line.missing) in said
    for point in prestart_view(file.case):
        assert bare(point.what) in said


def test_a_figure_that_nobody_read_back_is_marked_and_one_that_was_is_not(whole: Shed) -> None:
    file = whole.file()
    verdict = file.case.verdicts["bore", "as found"]
    assert ruled(file, verdict).endswith(NOT_READ_BACK)
    known = file.case.book.sheet.model_copy(update={"read_back": {"bore": "Ben"}})
    book = replace(file.case.book, sheet=known)
    seen = replace(file, case=replace(file.case, book=book))
    assert NOT_READ_BACK not in ruled(seen, verdict)


def test_the_first_page_says_whether_it_may_be_started_before_anything_else(
    sheet: PdfReader,
) -> None:
    first = bare(sheet.pages[0].extract_text())
    assert bare("do not start it yet") in first
    assert bare("What is open") in first
    assert bare("for the owner: name, date, signature") in first


def test_the_same_job_prints_the_same_bytes(file: JobFile) -> None:
    assert pdf(build_sheet(file)) == pdf(build_sheet(file))
