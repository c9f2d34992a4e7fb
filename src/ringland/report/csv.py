"""The readings of a job as CSV: one line for each indication, for a spreadsheet or a program.

Numbers stand as they were read, with a point, their unit beside; what was typed is kept as well.
"""

import csv
import io
from collections.abc import Iterator

from ringland.job.case import Case
from ringland.report.words import value_words

COLUMNS = (
    "job", "machine", "at", "by", "part", "check", "condition", "place", "evidence", "number", "unit",
    "typed", "gauge", "gauge_kind", "temperature", "remark", "insisted", "verdict", "worth", "entry",
)  # fmt: skip
FORMULA = ("=", "+", "-", "@", "\t", "\r")


def readings_csv(case: Case, job: str) -> str:
    """Return all readings that count, in the order in which they were taken (RFC 4180)."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for row in _rows(case, job):
        writer.writerow([_harmless(cell) for cell in row])
    return out.getvalue()


def _rows(case: Case, job: str) -> Iterator[tuple[str, ...]]:
    machine = case.state.opened.machine if case.state.opened else ""
    order = {entry.id: number for number, entry in enumerate(case.state.entries)}
    taken = [(said, key) for key, each in case.state.readings.items() for said in each]
    for said, (check, condition) in sorted(taken, key=lambda pair: order[pair[0].entry]):
        fact, verdict = said.fact, case.verdicts.get((check, condition))
        gauge = case.state.gauges.get(fact.gauge)
        part = case.book.sheet.checks[check].part
        word = verdict.word if verdict else ""
        worth = value_words(verdict.value) if verdict else ""
        for each in fact.indications:
            yield (
                job, machine, said.at, said.by, part, check, condition, fact.place, each.evidence,
                each.number, each.unit, each.typed, fact.gauge, gauge.kind if gauge else "",
                fact.temperature, fact.remark, fact.insisted, word, worth, said.entry,
            )  # fmt: skip


def _harmless(cell: str) -> str:
    """Keep a spreadsheet from taking what a person typed for a formula; numbers stay numbers."""
    if not cell.startswith(FORMULA):
        return cell
    try:
        float(cell)
    except ValueError:
        return f"'{cell}"
    return cell
