"""Run by the fault tests as a program of its own: append lines, say each one that is kept.

Usage: appender.py STORE NAME COUNT [at-most BYTES | without-rights | on-tmpfs FOLDER]
Prints "kept NAME-n" after each append that returned, or the trouble in words, and ends.
"""

import os
import resource
import subprocess
import sys
from pathlib import Path

import ringland.store.sqlite  # noqa: F401 - loaded before any right is given up
from ringland.store import Line, StoreError, open_store

NOBODY = 65534


def main(path: str, name: str, count: str, surroundings: str = "", value: str = "") -> int:
    if surroundings == "on-tmpfs":
        subprocess.run(["mount", "-t", "tmpfs", "-o", "size=256k", "tmpfs", value], check=True)
    if surroundings == "without-rights" and os.geteuid() == 0:
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)  # root may write anywhere; nobody may not
    try:
        log = open_store(Path(path))
        if surroundings == "at-most":
            resource.setrlimit(resource.RLIMIT_FSIZE, (int(value), int(value)))
        for n in range(int(count)):
            log.append("job/1", [line(name, n)])
            print(f"kept {name}-{n}", flush=True)
    except StoreError as error:
        print(f"{type(error).__name__}: {error}", flush=True)
        # what was kept is still there, and the store is still in order
        print(f"held {log.last('job/1')}, problems {log.check()}", flush=True)
        return 4
    return 0


def line(name: str, n: int) -> Line:
    body = {"value": f"0.{n:03}", "note": "x" * 500}
    return Line(f"{name}-{n}", name, "reading-taken/1", "2026-05-02T10:00:00Z", "Ada", body)


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
