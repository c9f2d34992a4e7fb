"""What a gauge is worth, and what readings taken with it are worth.

Here: the gauge as the shelf knows it, the habit figures for gauges that nobody wrote a permissible
error for, and the estimate of one or several indications.
Not here: leaves (`gaps`), temperature (`temperature`), a clearance of two readings (`clearance`).
Start with `estimate_of_readings`.
"""

from collections.abc import Sequence
from math import fsum, isfinite, sqrt
from typing import NamedTuple

from ringland.measure.estimates import (
    Budget,
    Contribution,
    MeasureError,
    add_up,
    check_readings,
    mean_of_repeats,
    rectangular,
    resolution,
)
from ringland.quantity.checked import checked

HABIT_COVERAGE = 2.0  # a habit figure ± U is a 95 % value: u = U/2 (JCGM 100:2008, 6.3.3)
MOST_READINGS = 1000  # of one place with one gauge; more is a file in the wrong field


class Habit(NamedTuple):
    """What a kind of gauge is usually worth in practised hands, ± at 95 %.

    quantity : the kind of unit it reads in
    absolute : ± in the SI unit; relative : ± as a share of the reading; the two are added
    remark : what comes with it
    """

    quantity: str
    absolute: float = 0.0
    relative: float = 0.0
    remark: str = ""

    def expanded(self, reading: float) -> float:
        """Return ± U at 95 % for a reading, in its SI unit."""
        return self.absolute + self.relative * abs(reading)


# Common practice: what each kind of gauge is worth where the shop has no figure of its own.
HABITS: dict[str, Habit] = {
    "bore gauge": Habit("length", 5e-6, remark="zeroed on a micrometer or a ring, rocked"),
    "telescoping gauge": Habit("length", 15e-6, remark="with an outside micrometer"),
    "inside micrometer": Habit("length", 10e-6),
    "outside micrometer": Habit("length", 4e-6, remark="graduated in 0.01 mm"),
    "fine micrometer": Habit("length", 3e-6, remark="reads 0.001 mm"),
    "caliper": Habit("length", 30e-6, remark="outside jaws"),
    "inside caliper": Habit("length", 50e-6, remark="not acceptable for a bore"),
    "feeler": Habit("length", 15e-6, remark="plus the step to the next leaf"),
    "straightedge": Habit("length", 15e-6, remark="with a feeler: only brackets the value"),
    "dial indicator": Habit("length", 10e-6, remark="reads 0.01 mm"),
    "depth gauge": Habit("length", 30e-6),
    "solder": Habit("length", 30e-6, remark="squashed, measured with a micrometer"),
    "burette": Habit("volume", 0.1e-6, remark="read at the same level of the eye"),
    "torque wrench": Habit("torque", relative=0.04, remark="inside its good range"),
    "compression gauge": Habit("pressure", relative=0.05, remark="the method's bias is far bigger"),
    "low-pressure gauge": Habit("pressure", 2000.0, remark="0 to 1 bar"),
}


class ErrorStep(NamedTuple):
    """One line of a permissible-error table: up to this reading, this error."""

    up_to: float
    error: float


@checked
class Gauge(NamedTuple):
    """A gauge on the shelf, in the SI unit of what it reads.

    kind : a name of `HABITS`; name : what the shop calls it, unique on its shelf
    low, high : its range; resolution : smallest step it shows
    permissible_error : ± MPE, one number or a table by range; None takes the habit figure
    standard : where the permissible error stands (a standard, a certificate)
    calibrated, calibration_due : dates as text; overdue widens nothing, it is said
    set_with : name of the micrometer or ring that its zero was set on; empty for none
    """

    kind: str
    name: str = ""
    low: float | None = None
    high: float | None = None
    resolution: float | None = None
    permissible_error: float | tuple[ErrorStep, ...] | None = None
    standard: str = ""
    calibrated: str = ""
    calibration_due: str = ""
    set_with: str = ""

    def check(self) -> None:
        problems = list(_problems_of(self))
        if problems:
            raise MeasureError("; ".join(problems))

    @property
    def label(self) -> str:
        """The shop's name of it, or its kind."""
        return self.name or self.kind

    def is_overdue(self, today: str) -> bool:
        """Whether its calibration is past due; dates are ISO text, which sorts as time does."""
        return bool(self.calibration_due) and self.calibration_due < today


def _problems_of(gauge: Gauge) -> list[str]:
    problems = []
    if gauge.kind not in HABITS:
        problems.append(f"{gauge.kind!r} is no kind of gauge here; known: {', '.join(HABITS)}")
    if gauge.low is not None and gauge.high is not None and gauge.low >= gauge.high:
        problems.append(f"{gauge.label}: its range runs from {gauge.low} to {gauge.high}")
    step = gauge.resolution
    if step is not None and not (isfinite(step) and step > 0):
        problems.append(f"{gauge.label}: a resolution is above 0, not {step}")
    errors = gauge.permissible_error
    for each in errors if isinstance(errors, tuple) else (ErrorStep(0, errors or 0.0),):
        if not (isfinite(each.error) and each.error >= 0):
            problems.append(f"{gauge.label}: a permissible error is 0 or more, not {each.error}")
    return problems


def permissible_error_at(gauge: Gauge, reading: float) -> float | None:
    """Permissible error ± of a gauge at a reading, from its number or its table.

    gauge : as on the shelf; reading : SI
    returns : None where only the habit figure is known
    Raises MeasureError where the table ends below the reading.

    >>> table = (ErrorStep(0.025, 2e-6), ErrorStep(0.050, 3e-6))
    >>> permissible_error_at(Gauge("outside micrometer", permissible_error=table), 0.030)
    3e-06
    """
    errors = gauge.permissible_error
    if errors is None or isinstance(errors, int | float):
        return errors
    for step in sorted(errors, key=lambda each: each.up_to):
        if abs(reading) <= step.up_to:
            return step.error
    raise MeasureError(
        f"{gauge.label}: its table of permissible errors ends below {reading:g}: "
        "add a line or take another gauge"
    )


def allowed_error(gauge: Gauge, reading: float) -> float:
    """What the gauge may be off by, ± and at 95 %: its permissible error, else the habit figure.

    gauge : as on the shelf; reading : SI
    returns : ± in the SI unit

    >>> allowed_error(Gauge("bore gauge"), 0.054)
    5e-06
    """
    stated = permissible_error_at(gauge, reading)
    return HABITS[gauge.kind].expanded(reading) if stated is None else stated


class Worth(NamedTuple):
    """What readings are worth.

    budget : mean with its contributions; None where the spread questions the technique
    mean : mean of the readings, which is no estimate while the technique is in question
    spread : largest − smallest; allowed : the spread that the gauge allows
    """

    budget: Budget | None
    mean: float
    spread: float
    allowed: float

    @property
    def is_technique_question(self) -> bool:
        """Whether the repeats disagree by more than the gauge can: repeat, do not average."""
        return self.budget is None


def estimate_of_readings(
    readings: Sequence[float], gauge: Gauge, *, setting: Gauge | None = None
) -> Worth:
    """What one or several indications of the same place with the same gauge are worth.

    Repeats that spread by more than the gauge allows are not averaged: the technique is in
    question, not the part, and another reading is asked for (common practice).

    readings : indications, SI, at least one
    gauge : what they were read with
    setting : the micrometer or ring that the gauge was set on, if it is on the shelf; its error is
        listed as shared under its name, so that it cancels where it really cancels
    Raises MeasureError for no reading, NaN, a reading outside the gauge's range.

    Source: JCGM 100:2008, 4.2 (repeats), 4.3.7 (permissible error), F.2.2.1 (resolution).

    >>> worth = estimate_of_readings([0.05402], Gauge("bore gauge", resolution=1e-6))
    >>> worth.budget.estimate.u
    2.5e-06
    >>> estimate_of_readings([0.05402, 0.05404], Gauge("bore gauge")).is_technique_question
    True
    """
    _check(readings, gauge)
    mean = fsum(readings) / len(readings)
    spread = max(readings) - min(readings)
    allowed = max(allowed_error(gauge, mean), gauge.resolution or 0.0)
    if spread > allowed * (1 + 1e-9):
        return Worth(None, mean, spread, allowed)
    lines = [] if len(readings) == 1 else [_of_repeats(readings)]
    lines += contributions_of(gauge, mean, setting=setting)
    return Worth(add_up(mean, lines), mean, spread, allowed)


def _of_repeats(readings: Sequence[float]) -> Contribution:
    repeats = mean_of_repeats(readings)
    return Contribution(f"{len(readings)} repeats", repeats.u, repeats.dof)


def contributions_of(
    gauge: Gauge, reading: float, *, setting: Gauge | None = None
) -> list[Contribution]:
    """What a gauge adds to the doubt of one reading: its error, its setting, its resolution.

    A habit figure speaks for the whole reading, its setting and its resolution included: a stated
    setting error is taken out of it, and resolution counts only where it is the coarser of the two.
    Only a stated permissible error of a named gauge is shared: it is an error of its scale.
    A habit figure is mostly hand and feel, and does not cancel between two readings.

    gauge, setting : as in `estimate_of_readings`; reading : SI
    returns : lines in the SI unit

    >>> [line.name for line in contributions_of(Gauge("bore gauge", name="B1"), 0.054)]
    ['B1']
    """
    stated = permissible_error_at(gauge, reading)
    step = resolution(gauge.resolution or 0.0)
    lines = _setting_error(setting, reading)
    if stated is not None:
        lines.append(Contribution(gauge.label, rectangular(stated), shared=gauge.name))
        return lines + ([Contribution("resolution", step)] if step else [])
    rest = _habit_u(gauge, reading) ** 2 - fsum(line.u**2 for line in lines)
    if rest > step**2:
        lines.append(Contribution(gauge.label, sqrt(rest)))
    elif step:
        lines.append(Contribution("resolution", step))
    return lines


def noise_of(gauge: Gauge, reading: float) -> float:
    """Standard uncertainty of what differs between two readings of one gauge on one part.

    For form values (out-of-round, taper, flatness): the error of the setting is left out, because
    it is the same in all of them.

    gauge : as on the shelf; reading : SI
    returns : u per reading, SI

    >>> noise_of(Gauge("bore gauge"), 0.054)
    2.5e-06
    """
    return sqrt(fsum(line.u**2 for line in contributions_of(gauge, reading)))


def _setting_error(setting: Gauge | None, reading: float) -> list[Contribution]:
    stated = None if setting is None else permissible_error_at(setting, reading)
    if setting is None or stated is None:
        return []
    name = f"set with {setting.label}"
    return [Contribution(name, rectangular(stated), shared=setting.name)]


def _habit_u(gauge: Gauge, reading: float) -> float:
    return HABITS[gauge.kind].expanded(reading) / HABIT_COVERAGE


def _check(readings: Sequence[float], gauge: Gauge) -> None:
    check_readings(readings)
    if len(readings) > MOST_READINGS:
        raise MeasureError(
            f"{len(readings)} readings of one place: at most {MOST_READINGS}; "
            "a grid or a face has its own form"
        )
    low, high = gauge.low, gauge.high
    for at, each in enumerate(readings, 1):
        if (low is not None and each < low) or (high is not None and each > high):
            raise MeasureError(
                f"reading {at} is {each:g}, outside the {gauge.label}'s range "
                f"{low if low is not None else '…'} to {high if high is not None else '…'}: "
                "take another gauge or check the unit"
            )
