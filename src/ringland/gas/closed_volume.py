"""A closed volume that leaks slowly: which hole lets it go from one pressure to another.

Here: effective area from a fall, the fall from an area. Not here: readings, doubt and judgement
(`pressure_test`), fitting a running log (`decay`). Start with `leak_area`.
"""

from math import sqrt

from ringland.gas.air import R_AIR
from ringland.gas.flow import flow_function


def leak_area(
    start: float, end: float, *, duration: float, volume: float, ambient: float, temperature: float
) -> float:
    """Return the effective area that lets a volume go from one pressure to the other.

    start, end : absolute [Pa], on the same side of `ambient`, end the nearer to it
    duration : [s]
    volume : [m^3]
    ambient : absolute [Pa]
    temperature : of gas and wall [K]
    returns : discharge coefficient times area [m^2]; 0 when nothing was lost

    Slow enough that the gas keeps the wall's temperature, for pressure and vacuum alike.
    Source: mass balance V dp/dt = ∓ A √(R T) p_up ψ(p_down/p_up), integrated over p.

    >>> area = leak_area(2.0e5, 1.9e5, duration=60.0, volume=1e-3, ambient=1e3, temperature=300.0)
    >>> round(area * 1e6, 6)  # choked: V ln(2/1.9) / (ψ* √(RT) t)
    0.004255
    """
    if (start - ambient) * (end - ambient) <= 0 and end != ambient:
        raise ValueError("start and end lie on opposite sides of the air pressure")
    if abs(end - ambient) > abs(start - ambient):
        raise ValueError("the pressure moved away from that of the air: no leak does that")
    return volume * _integral(start, end, ambient) / (sqrt(R_AIR * temperature) * duration)


def _integral(start: float, end: float, ambient: float) -> float:
    """∫ |dp| / (p_up ψ) by Simpson in s = √|p − ambient|, where the integrand stays finite."""
    outward = start > ambient
    low, high = sqrt(abs(end - ambient)), sqrt(abs(start - ambient))
    intervals = 64
    step = (high - low) / intervals

    def integrand(s: float) -> float:
        gap = max(s, 1e-3) ** 2
        up, down = (ambient + gap, ambient) if outward else (ambient, ambient - gap)
        return 2.0 * max(s, 1e-3) / (up * flow_function(down / up))

    total = integrand(low) + integrand(high)
    total += sum((4 if i % 2 else 2) * integrand(low + i * step) for i in range(1, intervals))
    return total * step / 3.0


def fall_of(
    area: float, start: float, *, duration: float, volume: float, ambient: float, temperature: float
) -> float:
    """Return how far a leak lets the pressure move towards the air's.

    area : effective [m^2]; other arguments as in `leak_area`, `start` absolute
    returns : [Pa], at most the whole difference

    >>> round(fall_of(4.254527e-9, 2.0e5, duration=60.0, volume=1e-3, ambient=1e3, temperature=300.0))
    10000
    """
    reach = area * sqrt(R_AIR * temperature) * duration / volume
    if reach >= _integral(start, ambient, ambient):
        return abs(start - ambient)
    near, far = 0.0, start - ambient
    for _ in range(60):
        middle = 0.5 * (near + far)
        near, far = (
            (middle, far) if _integral(start, ambient + middle, ambient) > reach else (near, middle)
        )
    return abs(start - ambient - 0.5 * (near + far))
