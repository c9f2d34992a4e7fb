"""How quickly the command line starts: CPU time of each command over that of a bare interpreter.

Run: `.venv/bin/python benchmarks/startup.py [--runs N]`. It prints, for `ringland --help` and for the
example of each calculator, the least CPU time of N runs, its ratio to `python -c pass`, and which of
the heavy modules were imported. The aim is a ratio of 3 for each calculator that needs no arrays.

What such a calculator goes without is printed first: dataclasses (its records are named tuples) and
the command framework (a plain line is read without it, `ringland.__main__`).
"""

import argparse
import os
import shlex
import subprocess
import sys
from collections.abc import Sequence
from importlib.util import find_spec

from ringland.calc import CALCULATORS, find

AIM = 3.0
HEAVY = ("numpy", "scipy", "pydantic", "matplotlib", "fastapi", "starlette", "sqlite3", "ruamel")
PROGRAM = "import sys; from ringland.__main__ import main; sys.argv[0] = 'ringland'; main()"


def cpu_time(command: Sequence[str], runs: int) -> float:
    """Least CPU time of a command over some runs [s].

    Raises RuntimeError where it fails: a command that refuses would look quick.
    """
    least = float("inf")
    for _ in range(runs):
        child = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
        assert child.stderr is not None
        told = child.stderr.read()
        child.stderr.close()
        _, status, usage = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        if child.returncode:
            raise RuntimeError(f"{' '.join(command)}: {told.decode(errors='replace')}")
        least = min(least, usage.ru_utime + usage.ru_stime)
    return least


def examples() -> list[list[str]]:
    """The example of each calculator, as words."""
    found = []
    for name in sorted(CALCULATORS):
        if _is_there(name):
            words = shlex.split(find(name).example)
            words = words[: words.index("--svg")] if "--svg" in words else words  # drawn elsewhere
            found.append(words[words.index(name) :])
    return found


def _is_there(name: str) -> bool:
    return find_spec(f"ringland.calc.{name}") is not None


def heavy_modules(arguments: Sequence[str]) -> list[str]:
    """Which heavy modules a command imports."""
    ask = (
        "import sys, atexit\n"
        f"heavy = {HEAVY!r}\n"
        "atexit.register(lambda: print('|' + ' '.join(m for m in heavy if m in sys.modules)))\n"
        f"{PROGRAM}"
    )
    done = subprocess.run(
        [sys.executable, "-c", ask, *arguments], capture_output=True, text=True, check=True
    )
    return done.stdout.rsplit("|", 1)[1].split()


def paired(command: Sequence[str], runs: int) -> tuple[float, float]:
    """Least CPU time of the bare interpreter and of a command, run in turns [s].

    In turns, because a busy machine is slower at one minute than at the next.
    """
    bare = [sys.executable, "-c", "pass"]
    times = [(cpu_time(bare, 1), cpu_time(command, 1)) for _ in range(runs)]
    return min(each for each, _ in times), min(each for _, each in times)


def main() -> None:
    """Print the table."""
    reader = argparse.ArgumentParser(description="CPU time of commands over a bare interpreter.")
    reader.add_argument("--runs", type=int, default=15)
    runs = reader.parse_args().runs
    print(f"{'':34} {'CPU ms':>7} {'ratio':>6}  heavy modules")
    for words in ("dataclasses, typing, decimal", "click"):
        bare, time = paired([sys.executable, "-c", f"import {words}"], runs)
        print(f"{'import ' + words:34} {time * 1e3:7.1f} {time / bare:6.1f}")
    commands = [["--help"], *(["calc", *example] for example in examples())]
    counted = over = 0
    for arguments in commands:
        name = " ".join(arguments[:2])
        try:
            heavy = heavy_modules(arguments)
        except subprocess.CalledProcessError:
            print(f"{'ringland ' + name:34} {'':14}  not run: its example needs a file")
            continue
        bare, time = paired([sys.executable, "-c", PROGRAM, *arguments], runs)
        if "calc" in arguments and not heavy:
            counted += 1
            over += time / bare > AIM
        print(f"{'ringland ' + name:34} {time * 1e3:7.1f} {time / bare:6.1f}  {', '.join(heavy)}")
    print(f"{over} of {counted} calculators without heavy modules are over the aim of {AIM:g}.")


if __name__ == "__main__":
    main()
