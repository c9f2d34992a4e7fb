"""Run by the fault tests as a program of its own: take readings by the real command, one by one.

Usage: measurer.py STORE COUNT [at-most BYTES | without-rights]
Prints "kept N" after each `ringland measure` that ended well, or its message and exit code, and ends.
"""

import os
import resource
import sys

import click

import ringland.bench.lines
import ringland.cli.acts
import ringland.report.text
import ringland.store.sqlite  # noqa: F401 - loaded before any right is given up
from ringland.cli import main
from tests.faults.appender import NOBODY


def measure(store: str, count: str, surroundings: str = "", value: str = "") -> int:
    if surroundings == "without-rights" and os.geteuid() == 0:
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)  # root may write anywhere; nobody may not
    if surroundings == "at-most":
        resource.setrlimit(resource.RLIMIT_FSIZE, (int(value), int(value)))
    for n in range(int(count)):
        command = ["measure", "1", "piston", "skirt", reading(n), "--store", store, "--by", "Ada"]
        try:
            main(command, standalone_mode=False)
        except click.ClickException as error:
            print(f"exit {error.exit_code}: {error.format_message()}", flush=True)
            return error.exit_code
        print(f"kept {n}", flush=True)
    return 0


def reading(n: int) -> str:
    return f"64.{900 + n % 100} mm"


if __name__ == "__main__":
    sys.exit(measure(*sys.argv[1:]))
