"""Completion in the shell: jobs, machines, and the names of a job's sheet.

A shell asks for it with `_RINGLAND_COMPLETE=bash_source ringland` (zsh_source, fish_source).
A completion never fails loudly: where nothing can be read, it offers nothing.
"""

import click

from ringland.bench.bench import Bench
from ringland.bench.names import Kind, spellings
from ringland.bench.refusal import Refused
from ringland.cli.opening import clock
from ringland.cli.stores import find_store
from ringland.store import StoreError, open_store

# what the words behind a verb name
NAMED: dict[str, tuple[Kind, ...]] = {
    "measure": ("check",),
    "correct": ("check",),
    "overrule": ("check",),
    "expect": ("check",),
    "figure": ("check", "group"),
    "note": ("finding",),
    "cause": ("finding",),
    "resolved": ("finding", "check"),
    "done": ("step",),
    "aside": ("step",),
    "sign": ("step", "finding"),
    "torque": ("group",),
    "count": ("part",),
    "found": ("part",),
    "renew": ("part",),
    "decide": ("part",),
}


def jobs(ctx: click.Context, _param: click.Parameter, incomplete: str) -> list[str]:
    """Offer jobs by number and by machine."""
    bench = _bench(ctx)
    names = [*bench.jobs(), *bench.machines()] if bench else []
    return [name for name in names if name.startswith(incomplete)]


def words(ctx: click.Context, _param: click.Parameter, incomplete: str) -> list[str]:
    """Offer the next word of the names that begin as what was typed."""
    bench, job = _bench(ctx), ctx.params.get("job")
    kinds = NAMED.get(ctx.info_name or "", ())
    if bench is None or not job or not kinds:
        return []
    try:
        sheet = bench.case(bench.find_job(job)).book.sheet
    except (Refused, StoreError):
        return []
    typed = " ".join([*(ctx.params.get("words") or ()), incomplete])
    at = typed.count(" ")
    fits = [said for kind in kinds for said, _ in spellings(sheet, kind) if said.startswith(typed)]
    return sorted({said.split(" ")[at] for said in fits})


def _bench(ctx: click.Context) -> Bench | None:
    try:
        log = open_store(find_store(ctx.params.get("store")).path, create=False)
    except StoreError:
        return None
    ctx.call_on_close(log.close)
    return Bench(log, "", clock, lambda: "")
