"""Flow of a gas through a hole: choked or not, one hole or two in a row.

Here: the flow function of an ideal gas, mass flow, two orifices in series, ranges of discharge
coefficients. Not here: the same on arrays (`cranking`), a decaying pressure (`pressure_test`).
Start with `mass_flow`. Plain floats and `math` only.
"""

from math import isfinite, sqrt

from ringland.gas.air import R_AIR

GAMMA = 1.4  # ratio of specific heats of air at room temperature, NBS Circular 564 (1955)

LAMINAR = 1e-4  # of the pressure: below such a difference `mass_flow` is linear in it

# Discharge coefficient, low and high, by the look of the hole. A leak's own is never known: its
# size is therefore given as effective area, coefficient times area.
DISCHARGE: dict[str, tuple[float, float, str]] = {
    "sharp-edged hole": (0.60, 0.85, "0.60 slow to 0.84 choked: Perry 1949, from memory"),
    "short drilled tube": (0.75, 0.90, "handbook of gas flow, from memory"),
    "rounded nozzle": (0.95, 0.99, "ISO 9300 nozzles, from memory"),
    "crack or ring gap": (0.50, 0.90, "common practice in blow-by models, from memory"),
}


def critical_ratio(gamma: float = GAMMA) -> float:
    """Return the pressure ratio, downstream over upstream, at and below which a hole chokes.

    gamma : ratio of specific heats [-], above 1

    Source: gas dynamics, (2/(γ+1))^(γ/(γ−1)).

    >>> round(critical_ratio(), 7)
    0.5282818
    """
    if not gamma > 1.0:
        raise ValueError(f"the ratio of specific heats is above 1, not {gamma}")
    return float((2.0 / (gamma + 1.0)) ** (gamma / (gamma - 1.0)))


def flow_function(ratio: float, gamma: float = GAMMA) -> float:
    """Return ψ of ṁ = Cd A p ψ / √(R T), p and T those upstream.

    ratio : pressure downstream over upstream [-], 0 to 1
    gamma : ratio of specific heats [-]
    returns : ψ [-]; constant below the critical ratio

    Source: isentropic nozzle of an ideal gas, any text on gas dynamics.

    >>> round(flow_function(0.5), 7), flow_function(1.0)
    (0.6847315, 0.0)
    """
    if not 0.0 <= ratio <= 1.0:
        raise ValueError(f"a pressure ratio of {ratio:g} is outside 0 to 1: flow runs downhill")
    r, k = max(ratio, critical_ratio(gamma)), gamma
    return sqrt(2.0 * k / (k - 1.0) * (r ** (2.0 / k) - r ** ((k + 1.0) / k)))


def mass_flow(
    upstream: float,
    downstream: float,
    *,
    temperature: float,
    area: float,
    gas_constant: float = R_AIR,
    gamma: float = GAMMA,
) -> float:
    """Return the mass flow from one pressure to a lower one.

    upstream, downstream : absolute [Pa]
    temperature : upstream [K]
    area : effective, discharge coefficient times area [m^2]
    gas_constant : specific [J/(kg K)]
    gamma : ratio of specific heats [-]
    returns : [kg/s], negative when the second pressure is the higher one

    Linear within 1e-4 of equal pressures, where a slow flow is viscous and ψ has no slope.
    Source: as `flow_function`.

    >>> round(mass_flow(2e5, 1e5, temperature=300.0, area=1e-6) * 1e6, 1)
    466.7
    """
    for name, value in (
        ("pressure", upstream),
        ("pressure", downstream),
        ("temperature", temperature),
    ):
        if not (isfinite(value) and value > 0.0):
            raise ValueError(f"an absolute {name} is above zero, not {value:g}")
    if area < 0.0:
        raise ValueError(f"an area is not negative, as {area:g} m² is")
    high, low = max(upstream, downstream), min(upstream, downstream)
    ratio, edge = low / high, 1.0 - LAMINAR
    psi = (
        flow_function(ratio, gamma)
        if ratio < edge
        else flow_function(edge, gamma) * (1.0 - ratio) / LAMINAR
    )
    flow = area * high * psi / sqrt(gas_constant * temperature)
    return flow if upstream >= downstream else -flow


def pressure_between(
    upstream: float, downstream: float, *, first: float, second: float, gamma: float = GAMMA
) -> float:
    """Return the pressure between two orifices in a row.

    upstream, downstream : absolute [Pa], upstream the higher
    first, second : effective areas [m^2], above zero
    returns : absolute pressure between them [Pa], where both pass the same mass

    The gas is taken to be back at the upstream temperature in between, as it is in a hose.
    Source: equal mass flow through both, solved by halving.

    >>> round(pressure_between(6.5e5, 1e5, first=1e-6, second=1e-6) / 1e5, 2)
    5.25
    """
    if not (upstream > downstream > 0.0 and first > 0.0 and second > 0.0):
        raise ValueError(
            f"two orifices in a row need falling pressure and areas above zero:"
            f" {upstream:g} to {downstream:g} Pa through {first:g} and {second:g} m²"
        )
    low, high = downstream, upstream
    for _ in range(60):
        middle = 0.5 * (low + high)
        into = first * upstream * flow_function(middle / upstream, gamma)
        out = second * middle * flow_function(downstream / middle, gamma)
        low, high = (middle, high) if into > out else (low, middle)
    return 0.5 * (low + high)


def second_area(
    upstream: float, between: float, downstream: float, *, first: float, gamma: float = GAMMA
) -> float:
    """Return the effective area of the second of two orifices from the pressure between them.

    upstream, between, downstream : absolute [Pa], falling
    first : effective area of the first [m^2]
    returns : effective area of the second [m^2]

    Source: as `pressure_between`, solved for the second area.

    >>> between = pressure_between(6.5e5, 1e5, first=1e-6, second=2e-6)
    >>> round(second_area(6.5e5, between, 1e5, first=1e-6) * 1e6, 6)
    2.0
    """
    if not upstream >= between > downstream > 0.0:
        raise ValueError(
            f"the pressure between two orifices lies between their ends:"
            f" {between / 1e5:.3f} bar is not within {downstream / 1e5:.3f} to"
            f" {upstream / 1e5:.3f} bar absolute"
        )
    into = first * upstream * flow_function(between / upstream, gamma)
    return into / (between * flow_function(downstream / between, gamma))
