"""How the calculators of the engine room print lengths, angles, doubts and chances."""

from math import degrees

from ringland.quantity import Estimate, show_number

COVERAGE = 2.0  # standard uncertainties printed after ±, about 95 %


def mm(length: float, decimals: int = 2) -> str:
    """Return a length [m] in millimetres.

    >>> mm(0.0275)
    '27.50 mm'
    """
    return f"{show_number(length * 1e3, decimals)} mm"


def mm_doubt(estimate: Estimate, decimals: int = 2) -> str:
    """Return a length [m] in millimetres with its ± at about 95 %.

    >>> mm_doubt(Estimate(0.0012, 0.000015))
    '1.20 ± 0.03 mm'
    """
    value, margin = estimate.value * 1e3, COVERAGE * estimate.u * 1e3
    return f"{show_number(value, decimals)} ± {show_number(margin, decimals)} mm"


def deg(angle: float, decimals: int = 1) -> str:
    """Return an angle [rad] in degrees.

    >>> deg(3.141592653589793)
    '180.0°'
    """
    return f"{show_number(degrees(angle), decimals)}°"


def deg_change(angle: float) -> str:
    """Return a change of angle [rad] in degrees with its sign, two decimals.

    >>> deg_change(0.01)
    '+0.57°'
    """
    return signed(degrees(angle), 2) + "°"


def signed(value: float, decimals: int) -> str:
    """Return a number that always carries its sign, but for zero.

    >>> signed(0.1, 2), signed(-0.1, 2), signed(0.0, 2)
    ('+0.10', '−0.10', '0.00')
    """
    shown = show_number(value, decimals)
    return f"+{shown}" if value > 0 and float(shown) else shown


def chance(probability: float) -> str:
    """Return a probability in per cent, never as a certainty.

    >>> chance(0.9999), chance(0.876), chance(0.0)
    ('over 99.9 %', '88 %', 'under 0.1 %')
    """
    if probability > 0.999:
        return "over 99.9 %"
    if probability < 0.001:
        return "under 0.1 %"
    tight = probability > 0.95 or probability < 0.05
    return f"{show_number(probability * 100, 1 if tight else 0)} %"


def celsius(temperature: float) -> str:
    """Return a temperature [K] in whole degrees Celsius.

    >>> celsius(393.15)
    '120 °C'
    """
    return f"{show_number(temperature - 273.15, 0)} °C"
