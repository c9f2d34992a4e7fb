"""What a paper is printed from: a job as it stands, with what lies outside its log."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from ringland.job.case import Case, case_of
from ringland.job.due import PartHours
from ringland.job.life import Point
from ringland.job.log.entries import JobOpened
from ringland.job.log.fold import State
from ringland.sheet.model import SCOPES, Scope
from ringland.sheet.readback import is_read_back


@dataclass(frozen=True, slots=True)
class JobFile:
    """A job with its surroundings.

    job : its name; empty for a sheet and a scope without a job
    hours : the machine's parts against the maker's intervals; meter : its hours now, in words
    history : readings of all jobs of the machine, oldest first
    photos : name to content; None for one that the store does not hold
    address : of the page, for the QR codes: "http://bench.local:8010"
    """

    case: Case
    job: str = ""
    hours: tuple[PartHours, ...] = ()
    meter: str = ""
    history: tuple[Point, ...] = ()
    photos: Mapping[str, bytes | None] = field(default_factory=dict)
    address: str = ""

    @property
    def opened(self) -> JobOpened:
        """The entry that opened the job."""
        opened = self.case.state.opened
        assert opened is not None
        return opened

    @property
    def about(self) -> str:
        """Whose paper it is: machine and job, or engine and scope."""
        if not self.job:
            return f"{self.case.book.sheet.engine}, {SCOPES[self.case.book.scope]}"
        return f"{self.opened.machine}, job {self.job}"

    @property
    def date(self) -> str:
        """Date of the last entry, so that the same job prints the same bytes; else of today."""
        entries = self.case.state.entries
        return max(entry.at[:10] for entry in entries) if entries else self.case.now[:10]

    def is_read_back(self, figure: str) -> bool:
        """Whether somebody compared a figure of the engine sheet, as it is now, with the manual."""
        return is_read_back(self.case.book.sheet, self.case.book.figures, figure)

    def people(self, entries: Iterable[str]) -> str:
        """Return who made these entries."""
        wanted = set(entries)
        said = [entry.by for entry in self.case.state.entries if entry.id in wanted]
        return ", ".join(dict.fromkeys(said))


def of_sheet(tree: dict[str, Any], scope: Scope, now: str) -> JobFile:
    """Return what is printed of a sheet and a scope without a job.

    tree : the merged sheet, as a job would keep it; now : ISO instant
    """
    return JobFile(case_of(State(opened=JobOpened("", scope, "", tree)), now))


def moment(at: str) -> str:
    """Return an ISO instant as it is printed.

    >>> moment("2026-05-02T09:14:03+02:00")
    '2026-05-02 09:14'
    """
    return at[:16].replace("T", " ")
