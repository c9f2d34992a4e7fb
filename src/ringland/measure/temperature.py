"""Readings away from 20 °C: what they would be at 20 °C, and when they cannot be compared.

Here: correction of a length to the reference temperature with its doubt, the way back, and whether
part and gauge stand close enough to be compared at all.
Not here: materials (`ringland.sheet`), hot clearances of a running engine (`ringland.engine`).
Start with `at_reference`. No arrays. Temperatures in kelvin.
"""

from dataclasses import dataclass

from ringland.measure.estimates import Budget, MeasureError
from ringland.measure.propagation import propagate
from ringland.quantity.estimate import Estimate

REFERENCE = 293.15  # K, 20 °C: ISO 1:2016
EQUAL_WITHIN = 3.0  # K between part and gauge; common practice
COLDEST, HOTTEST = 233.15, 423.15  # K; outside a shop, or a part straight off the engine
LARGEST_EXPANSION = 50e-6  # 1/K; no metal of an engine grows faster


@dataclass(frozen=True, slots=True)
class Conditions:
    """Temperatures and materials of a reading.

    gauge_temperature : of the gauge [K]
    part_excess : part's temperature minus the gauge's [K]: taken as such, because the error of one
        thermometer is in both (JCGM 100:2008, H.1.2)
    part_expansion, gauge_expansion : coefficients of linear expansion [1/K]
    """

    gauge_temperature: Estimate
    part_excess: Estimate
    part_expansion: Estimate
    gauge_expansion: Estimate

    def __post_init__(self) -> None:
        part = self.gauge_temperature.value + self.part_excess.value
        problems = [
            f"the {name} is at {kelvin:.1f} K: {COLDEST:.0f} to {HOTTEST:.0f} K can be measured"
            for name, kelvin in (("gauge", self.gauge_temperature.value), ("part", part))
            if not COLDEST <= kelvin <= HOTTEST
        ]
        problems += [
            f"the {name} expands by {alpha:g} per kelvin: 0 to {LARGEST_EXPANSION:g} is metal"
            for name, alpha in (
                ("gauge", self.gauge_expansion.value),
                ("part", self.part_expansion.value),
            )
            if not 0 <= alpha <= LARGEST_EXPANSION
        ]
        if problems:
            raise MeasureError("; ".join(problems))


def length_at_reference(
    reading: float,
    gauge_temperature: float,
    part_excess: float,
    part_expansion: float,
    gauge_expansion: float,
) -> float:
    """Length at 20 °C of a part read at another temperature with a gauge that grew as well.

    reading : as indicated [m]; gauge_temperature [K]; part_excess : part minus gauge [K]
    part_expansion, gauge_expansion : [1/K]
    returns : length [m]

    Source: definition of linear expansion; ISO 1:2016 for the 20 °C.

    >>> round(length_at_reference(0.05395, 304.15, 0.0, 20e-6, 11.5e-6) * 1e3, 5)
    53.94496
    """
    gauge_rise = gauge_temperature - REFERENCE
    part_rise = gauge_rise + part_excess
    return reading * (1 + gauge_expansion * gauge_rise) / (1 + part_expansion * part_rise)


def reading_away(
    length: float,
    gauge_temperature: float,
    part_excess: float,
    part_expansion: float,
    gauge_expansion: float,
) -> float:
    """What a gauge would read of a part known at 20 °C: the inverse of `length_at_reference`.

    length : at 20 °C [m]; the rest as in `length_at_reference`
    returns : reading [m]

    >>> round(reading_away(0.05394496, 304.15, 0.0, 20e-6, 11.5e-6) * 1e3, 4)
    53.95
    """
    gauge_rise = gauge_temperature - REFERENCE
    part_rise = gauge_rise + part_excess
    return length * (1 + part_expansion * part_rise) / (1 + gauge_expansion * gauge_rise)


def at_reference(reading: Estimate, conditions: Conditions) -> Budget:
    """A length at 20 °C with the doubt that temperatures and materials add.

    reading : as indicated, with its own doubt [m]; conditions : temperatures and materials
    returns : budget of the length at 20 °C [m]

    Source: JCGM 100:2008, H.1 (the same model); ISO 1:2016.

    >>> steel, aluminium = Estimate(11.5e-6, 0.6e-6), Estimate(20e-6, 0.6e-6)
    >>> warm = Conditions(Estimate(304.15, 1.0), Estimate(0.0, 0.3), aluminium, steel)
    >>> round(at_reference(Estimate(0.05395, 1e-6), warm).estimate.u * 1e6, 2)
    1.25
    """
    return propagate(
        length_at_reference,
        {
            "reading": reading,
            "gauge_temperature": conditions.gauge_temperature,
            "part_excess": conditions.part_excess,
            "part_expansion": conditions.part_expansion,
            "gauge_expansion": conditions.gauge_expansion,
        },
    )


@dataclass(frozen=True, slots=True)
class Comparable:
    """Whether a reading can be held against a limit as it stands, and by how much it is off.

    shift : length at 20 °C minus the reading [m]; reason : empty where it can
    """

    shift: float
    reason: str

    def __bool__(self) -> bool:
        return not self.reason


def comparable(
    reading: Estimate, conditions: Conditions, *, equal_within: float = EQUAL_WITHIN
) -> Comparable:
    """Whether a reading may be judged uncorrected.

    It may where part and gauge stand within 3 K of each other and the correction to 20 °C is
    smaller than the doubt of the reading itself.

    reading : as indicated [m]; conditions : temperatures and materials
    equal_within : largest difference of part and gauge [K], above 0
    returns : true or false with its reason; correct it with `at_reference`, or repeat it

    Source: common practice for the 3 K.

    >>> steel, aluminium = Estimate(11.5e-6, 0.0), Estimate(20e-6, 0.0)
    >>> warm = Conditions(Estimate(293.15, 1.0), Estimate(20.0, 0.3), aluminium, steel)
    >>> bool(comparable(Estimate(0.054, 1e-6), warm))
    False
    """
    if not equal_within > 0:
        raise MeasureError(f"part and gauge are never equal within {equal_within} K")
    shift = at_reference(reading, conditions).estimate.value - reading.value
    excess = conditions.part_excess.value
    if abs(excess) > equal_within:
        warmer = "warmer" if excess > 0 else "colder"
        return Comparable(shift, f"the part is {abs(excess):.0f} K {warmer} than the gauge")
    if abs(shift) > reading.u:
        return Comparable(shift, f"20 °C would shift it by {shift * 1e6:+.1f} µm")
    return Comparable(shift, "")
