"""How fast and how exact the cranking model is: `python -m benchmarks.gas` from the project's root.

Prints simulations per second batched against SciPy's `solve_ivp` at equal accuracy, error against
step size, one full reading with band and advice, and growth with batch size. It asserts the
targets: 100 times `solve_ivp`, one reading under a second.
"""

from dataclasses import replace
from math import radians
from time import perf_counter

import numpy as np

from ringland.gas.band import pump_up_band
from ringland.gas.cranking import Cranking, Floats, pump_up
from ringland.gas.next_reading import best_readings
from ringland.gas.reading import Run, read_leak
from tests.oracles.gas_reference import Engine

STROKES = 10
ENGINE = Cranking(0.0532, 0.056, 0.105, 10.5e-6, radians(92.0), dead=0.3e-6, leak=1e-6)
SOLVERS = (
    ("LSODA", 1e-3),
    ("LSODA", 1e-5),
    ("LSODA", 1e-6),
    ("LSODA", 1e-7),
    ("LSODA", 1e-8),
    ("RK45", 1e-4),
    ("BDF", 1e-4),
    ("Radau", 1e-4),
)


def _error(curve: Floats, reference: Floats) -> float:
    return float(np.abs(curve / reference - 1.0).max())


def against_solve_ivp() -> float:
    """Simulations per second of both, at the accuracy of the default step."""
    engine = Engine(ENGINE)
    exact = engine.curve(STROKES, method="LSODA", rtol=1e-10, atol=1e-14)
    fine = pump_up(ENGINE, strokes=STROKES, step=radians(0.02)).reading[0]
    ours = _error(pump_up(ENGINE, strokes=STROKES).reading[0], fine)
    print(f"step error of the default step: {ours:.1e} (largest of {STROKES} strokes)")
    print(f"against the stiff solver's statement: {_error(fine, exact):.1e}")
    best = 0.0
    for method, rtol in SOLVERS:
        start = perf_counter()
        with np.errstate(invalid="ignore"):  # a coarse solver tries states that cannot be
            curve = engine.curve(STROKES, method=method, rtol=rtol, atol=1e-13)
        rate, error = 1.0 / (perf_counter() - start), _error(curve, exact)
        counts = error <= max(ours, 2e-3)
        best = max(best, rate) if counts else best
        said = "counts" if counts else "too coarse"
        print(f"  solve_ivp {method:<5} rtol {rtol:.0e}: {rate:7.1f} /s, error {error:.1e}, {said}")
    batch = replace(ENGINE, leak=np.geomspace(0.01e-6, 10e-6, 2000))
    start = perf_counter()
    pump_up(batch, strokes=STROKES)
    rate = 2000 / (perf_counter() - start)
    print(
        f"  batched, 2000 at once: {rate:.0f} /s = {rate / best:.0f} times the fastest that counts"
    )
    return rate / best


def step_sizes() -> None:
    """Error against step, over engines from tight to leaking."""
    batch = replace(ENGINE, leak=np.array([0.0, 0.3e-6, 1e-6, 3e-6]))
    fine = pump_up(batch, strokes=STROKES, step=radians(0.02)).reading
    print("step     any stroke  last stroke")
    for step in (4.0, 2.0, 1.0, 0.5, 0.25, 0.1):
        error = np.abs(pump_up(batch, strokes=STROKES, step=radians(step)).reading / fine - 1.0)
        print(f"{step:4.2f} deg   {error.max():.1e}     {error[:, -1].max():.1e}")


def batch_sizes() -> None:
    """Time against batch size."""
    print("batch     time s     per second")
    for n in (1, 10, 100, 1000, 10_000):
        batch = replace(ENGINE, leak=np.full(n, 1e-6))
        start = perf_counter()
        pump_up(batch, strokes=STROKES)
        took = perf_counter() - start
        print(f"{n:6d}   {took:7.3f}   {n / took:10.0f}")


def one_reading() -> float:
    """Band, reading and advice for one final value, imports done."""
    runs = [Run(((STROKES, 9.2e5),), 8.0)]
    start = perf_counter()
    pump_up_band(ENGINE, strokes=STROKES)
    found = read_leak(ENGINE, runs)
    best_readings(ENGINE, runs, area=float(np.exp(found.log_area.value)))
    took = perf_counter() - start
    print(f"one reading with band and advice: {took:.2f} s")
    return took


def main() -> None:
    """Run all and hold the targets."""
    one_reading()  # the first run pays for warming up
    ratio = against_solve_ivp()
    step_sizes()
    batch_sizes()
    took = one_reading()
    assert ratio >= 100.0, f"batched is only {ratio:.0f} times solve_ivp; the target is 100"
    assert took < 1.0, f"one reading took {took:.2f} s; the target is under 1 s"


if __name__ == "__main__":
    main()
