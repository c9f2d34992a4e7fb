"""What outlives a job: the shelf of gauges, the machines and their hours.

Each is a log of its own, folded here: the stream "shelf", and "machine/NAME" for each machine.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

from ringland.job.log.entries import Baseline, Gauge


@dataclass(frozen=True, slots=True)
class GaugeShelved:
    """A gauge came to the shelf, or is known better than before."""

    gauge: Gauge


@dataclass(frozen=True, slots=True)
class NormSet:
    """The shop decided one of its norms: prove, disprove, note, plan, stop ..."""

    norm: str
    value: str


@dataclass(frozen=True, slots=True)
class MachineAdded:
    """A machine is looked after here. `sheet` is the file of its engine sheet."""

    name: str
    sheet: str = ""
    variant: str = ""
    altitude: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class HoursRead:
    """The hour meter was read, or the hours estimated."""

    hours: str
    estimated: bool = False
    remark: str = ""


@dataclass(frozen=True, slots=True)
class BaselineSet:
    """The machine's own reference compression from now on, and why it was set."""

    baseline: Baseline
    reason: str = ""


@dataclass(frozen=True, slots=True)
class PartHoursNoted:
    """A part was last renewed at so many hours of the machine: history before the first job here."""

    part: str
    hours: str


ShopFact = GaugeShelved | NormSet | MachineAdded | HoursRead | BaselineSet | PartHoursNoted

SHOP_KINDS: dict[str, type] = {
    "gauge-shelved/1": GaugeShelved,
    "norm-set/1": NormSet,
    "machine-added/1": MachineAdded,
    "hours-read/1": HoursRead,
    "baseline-set/1": BaselineSet,
    "part-hours-noted/1": PartHoursNoted,
}


@dataclass(frozen=True, slots=True)
class Shelf:
    """The gauges by id, and the shop's norms."""

    gauges: dict[str, Gauge] = field(default_factory=dict)
    norms: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Machine:
    """One machine: what it is, its hours, its baseline, when its parts were renewed."""

    added: MachineAdded
    hours: HoursRead | None = None
    baseline: Baseline | None = None
    part_hours: dict[str, str] = field(default_factory=dict)


def shelf_of(facts: Iterable[ShopFact]) -> Shelf:
    """Return the shelf after its log; what came later replaces what came before."""
    gauges: dict[str, Gauge] = {}
    norms: dict[str, str] = {}
    for fact in facts:
        match fact:
            case GaugeShelved():
                gauges[fact.gauge.id] = fact.gauge
            case NormSet():
                norms[fact.norm] = fact.value
            case _:
                pass  # facts of machines stand in other logs
    return Shelf(gauges, norms)


def machine_of(facts: Iterable[ShopFact]) -> Machine | None:
    """Return a machine after its log, or None when nothing says that it is there."""
    added: MachineAdded | None = None
    hours: HoursRead | None = None
    baseline: Baseline | None = None
    part_hours: dict[str, str] = {}
    for fact in facts:
        match fact:
            case MachineAdded():
                added = fact
            case HoursRead():
                hours = fact
            case BaselineSet():
                baseline = fact.baseline
            case PartHoursNoted():
                part_hours[fact.part] = fact.hours
            case _:
                pass  # facts of the shelf stand in another log
    return Machine(added, hours, baseline, part_hours) if added else None
