"""A command that judges one reading starts without arrays."""

import subprocess
import sys

import pytest

WITHOUT_ARRAYS = (
    "bore", "clearance", "conformance", "consistency", "estimates", "form", "gaps", "gauges",
    "propagation", "settle", "temperature",
)  # fmt: skip


@pytest.mark.parametrize("heavy", ["numpy", "scipy"])
def test_judging_imports_no_arrays(heavy: str) -> None:
    imports = "; ".join(f"import ringland.measure.{name}" for name in WITHOUT_ARRAYS)
    judged = (
        "from ringland.measure.form import ranges_within; "
        "ranges_within([[65.016e-3, 65.021e-3]], noise=2.5e-6, upper=50e-6)"
    )
    code = f"import sys; {imports}; {judged}; sys.exit({heavy!r} in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
