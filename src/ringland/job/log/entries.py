"""The entries of a job's log: frozen facts in the past tense.

An entry is a fact with who, when and an id made on the device that took it. Names and fields of a
kind never change once released; a new meaning is a new version ("reading-taken/2").
To add a kind: write its class, name it in `KINDS`, fold it in `fold.py`, word it in the view.
The file is longer than others, since what a log may hold is best read in one piece.
"""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal

from ringland.quantity import Quantity, find_unit

Evidence = Literal[
    "value",  # the gauge shows this
    "goes",  # this leaf goes in; the next was not tried, unless another indication says it stops
    "stops",  # this leaf does not go in
    "not measurable",  # a port is in the way
    "good",  # by eye or feel: as it should be
    "bad",  # by eye or feel: a click, a flake, a crack
    "not sure",
    "not taken",  # no reading, with the reason in the entry's remark
]
Side = Literal["off", "on"]
Condition = Literal["as found", "as fitted"]


@dataclass(frozen=True, slots=True)
class Indication:
    """One thing that a gauge, an eye or a finger said.

    number, unit : as read, after the unit was settled; empty for evidence without a number
    typed : what the person typed
    """

    evidence: Evidence
    number: str = ""
    unit: str = ""
    typed: str = ""

    @property
    def quantity(self) -> Quantity | None:
        """The value with its unit, if there is one."""
        if not self.number:
            return None
        unit = find_unit(self.unit) if self.unit else find_unit("pcs")
        return Quantity(Decimal(self.number), unit, self.typed)


@dataclass(frozen=True, slots=True)
class Gauge:
    """A measuring tool, as the shelf knew it when it was used.

    kind : "bore gauge", "feeler set" ...
    permissible_error, resolution : lengths, pressures ... with unit, as typed; may be empty
    low, high : the range of its scale, as typed; may be empty
    leaves : of a feeler set, its leaves with unit
    set_with : what it was set or zeroed with (another gauge's id, "ring 53.2")
    calibrated : date of the last calibration, ISO; empty when unknown
    length : of a torque wrench, middle of the grip to middle of the drive; counts with an adapter
    """

    id: str
    kind: str
    permissible_error: str = ""
    resolution: str = ""
    low: str = ""
    high: str = ""
    leaves: tuple[str, ...] = ()
    set_with: str = ""
    calibrated: str = ""
    length: str = ""


@dataclass(frozen=True, slots=True)
class Baseline:
    """This machine's own reference compression: value with unit, the gauge, hours, altitude."""

    value: str
    gauge: str
    hours: str = ""
    altitude: str = ""


@dataclass(frozen=True, slots=True)
class JobOpened:
    """A job began, with its own copy of the sheet (merged tree) and the shop's norms.

    previous : the machine's job before this one, by its name; empty for the first
    """

    machine: str
    scope: str
    reason: str
    sheet: dict[str, Any]
    hours: str = ""
    baseline: Baseline | None = None
    norms: dict[str, str] | None = None
    previous: str = ""


@dataclass(frozen=True, slots=True)
class GaugeUsed:
    """A gauge came into this job, or is known to it with other figures than before."""

    gauge: Gauge


@dataclass(frozen=True, slots=True)
class ReadingTaken:
    """A check was read on a part as found or as fitted.

    temperature : of the part; gauge_temperature : of the gauge, empty when the two lay together
    insisted : the question that was asked before it was kept; empty when none was
    how : circumstances that move it, such as "warm", "7 kicks" (see `circumstances`)
    """

    check: str
    condition: Condition
    indications: tuple[Indication, ...]
    place: str = ""
    gauge: str = ""
    temperature: str = ""
    remark: str = ""
    insisted: str = ""
    gauge_temperature: str = ""
    how: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FindingNoted:
    """Something from the sheet's list was seen or felt."""

    finding: str
    place: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class FindingResolved:
    """What a finding asked for was done; says how it is known."""

    finding: str
    how: str


@dataclass(frozen=True, slots=True)
class PartsCounted:
    """So many of a part were seen coming off or going on."""

    part: str
    side: Side
    count: int
    remark: str = ""


@dataclass(frozen=True, slots=True)
class LossExplained:
    """A missing piece was found, or its loss is explained. A new part does not do this."""

    part: str
    count: int
    how: str


@dataclass(frozen=True, slots=True)
class StepDone:
    """A step was done as the sheet says, all of it."""

    step: str
    remark: str = ""


@dataclass(frozen=True, slots=True)
class StepSetAside:
    """A step does not apply here, for a reason."""

    step: str
    reason: str


@dataclass(frozen=True, slots=True)
class PartRenewed:
    """A new part is in hand for this engine; a leaflet that came with it is kept.

    leaflet : the part sheet's tree, or None
    """

    part: str
    count: int = 1
    label: str = ""
    batch: str = ""
    leaflet: dict[str, Any] | None = None


@dataclass(frozen=True, slots=True)
class PartDecided:
    """What happens with a part: reuse, renew, clean, dress, send out, or a class to order."""

    part: str
    decision: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class FastenerPulled:
    """One fastener was tightened at one stage.

    position : its place in the group, from 1
    stage : from 1; one more than the group's stages is the check pass
    setting : what the wrench was set to, with unit; empty when by feel
    adapter, angle : length of an offset adapter and its angle; empty when none
    moved : degrees it moved, where someone looked; empty otherwise
    retorque : once more, stone cold, after the first heat; its stage follows the last round
    """

    group: str
    position: int
    stage: int
    setting: str = ""
    wrench: str = ""
    wrench_length: str = ""
    adapter: str = ""
    angle: str = ""
    by_feel: bool = False
    moved: str = ""
    retorque: bool = False


@dataclass(frozen=True, slots=True)
class GroupSlackened:
    """All fasteners of a group were let off again; its tightening starts anew."""

    group: str
    reason: str


@dataclass(frozen=True, slots=True)
class PhotoTaken:
    """A photo belongs to a step or a part, seen from a side of the engine."""

    photo: str
    subject: str
    side: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class TimerStarted:
    """A clock runs for a step or a check: a leak test, a heat cycle, a cure.

    planned : how long it should run, with unit; empty when nobody said
    """

    subject: str
    planned: str = ""


@dataclass(frozen=True, slots=True)
class TimerStopped:
    """The clock of a step or a check was stopped."""

    subject: str
    remark: str = ""


@dataclass(frozen=True, slots=True)
class CauseNamed:
    """A damage has a cause, with its proof."""

    finding: str
    cause: str
    evidence: str


@dataclass(frozen=True, slots=True)
class VerdictOverruled:
    """A person takes the responsibility for another decision than the verdict's."""

    check: str
    condition: Condition
    decision: str
    reason: str


@dataclass(frozen=True, slots=True)
class HoldSigned:
    """A named person signs why the job goes on although a hold point's conditions do not hold."""

    hold: str
    reason: str


@dataclass(frozen=True, slots=True)
class ValuePlanned:
    """What a check should come out at by plan, so that "differs from plan" can be said."""

    check: str
    value: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class FigureTakenOver:
    """A figure of the sheet was corrected for this job. `path` is section and name."""

    path: tuple[str, ...]
    text: str
    reason: str


@dataclass(frozen=True, slots=True)
class MadeSafe:
    """The engine was left covered, oiled and tagged."""

    remark: str = ""


@dataclass(frozen=True, slots=True)
class HandedOver:
    """The machine left the bench: started and proven, or unstarted with what is open."""

    started: bool
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """Entries were taken back; they stay in the log and count no more."""

    entries: tuple[str, ...]
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Corrected:
    """An entry is superseded by the right one, which takes its place."""

    entry: str
    fact: "Fact"
    reason: str = ""


Fact = (
    JobOpened
    | GaugeUsed
    | ReadingTaken
    | FindingNoted
    | FindingResolved
    | PartsCounted
    | LossExplained
    | StepDone
    | StepSetAside
    | PartRenewed
    | PartDecided
    | FastenerPulled
    | GroupSlackened
    | PhotoTaken
    | TimerStarted
    | TimerStopped
    | CauseNamed
    | VerdictOverruled
    | HoldSigned
    | ValuePlanned
    | FigureTakenOver
    | MadeSafe
    | HandedOver
    | Withdrawn
    | Corrected
)

KINDS: dict[str, type] = {
    "job-opened/1": JobOpened,
    "gauge-used/1": GaugeUsed,
    "reading-taken/1": ReadingTaken,
    "finding-noted/1": FindingNoted,
    "finding-resolved/1": FindingResolved,
    "parts-counted/1": PartsCounted,
    "loss-explained/1": LossExplained,
    "step-done/1": StepDone,
    "step-set-aside/1": StepSetAside,
    "part-renewed/1": PartRenewed,
    "part-decided/1": PartDecided,
    "fastener-pulled/1": FastenerPulled,
    "group-slackened/1": GroupSlackened,
    "photo-taken/1": PhotoTaken,
    "timer-started/1": TimerStarted,
    "timer-stopped/1": TimerStopped,
    "cause-named/1": CauseNamed,
    "verdict-overruled/1": VerdictOverruled,
    "hold-signed/1": HoldSigned,
    "value-planned/1": ValuePlanned,
    "figure-taken-over/1": FigureTakenOver,
    "made-safe/1": MadeSafe,
    "handed-over/1": HandedOver,
    "withdrawn/1": Withdrawn,
    "corrected/1": Corrected,
}


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a job's log.

    id : made on the device, unique
    act : entries that one act of a person made share it; `undo` takes back an act
    at : when, ISO 8601 with offset
    by : who
    """

    id: str
    act: str
    at: str
    by: str
    fact: Fact
