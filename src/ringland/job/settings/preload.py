"""What a torque does in the joint: it explains, and never sets one. Shown on request only."""

from collections.abc import Iterator

from ringland.fasten.preload import CONDITIONS, preload_range
from ringland.fasten.stripping import CAST_ALUMINIUM, engagement_for
from ringland.fasten.threads import ThreadError, find_class, parse_thread
from ringland.job.case import Case
from ringland.job.settings.number import Number
from ringland.job.settings.setting import Setting
from ringland.job.settings.wrenches import torque_of
from ringland.quantity import find_unit

NEVER = "explains, never sets a torque"
SOURCE = "VDI 2230-1; friction classes and the casting's strength from memory"
WEAKEST = "8.8"  # the usual class of studs and nuts here; the head or stud's end says which
FRICTION = {"thread locker": "locker"}
KILONEWTON, PERCENT, MM = find_unit("kN"), find_unit("%"), find_unit("mm")
AS_ITS_BOX = ("plug",)  # no bolted joint


def preloads(case: Case) -> Iterator[Setting]:
    """Return how hard each group clamps at its torque, as a range over friction."""
    for name, group in case.groups().items():
        torque = torque_of(case.book, name)
        if torque is None or not group.thread or name in AS_ITS_BOX:
            continue
        word = FRICTION.get(group.condition, group.condition)
        known = CONDITIONS.get(word)
        friction = (known.low, known.high) if known else (0.08, 0.24)
        try:
            thread, screw = parse_thread(group.thread), find_class(WEAKEST)
            low, high = preload_range(thread, screw, torque.si, friction)
            engaged = engagement_for(thread, high.force, part_shear=CAST_ALUMINIUM[0])
        except ThreadError:
            continue
        condition = group.condition or "dry to oiled, the sheet does not say"
        clamp = Number(KILONEWTON, 0, "clamp force", low=low.force, high=high.force)
        share = Number(PERCENT, 0, "share of yield", low=low.yield_share, high=high.yield_share)
        thread_held = Number(MM, 0, "thread engaged, at least", engaged)
        yield Setting(
            f"{name}, clamp force",
            f"{clamp.words} each",
            f"{NEVER}: friction {friction[0]:g} to {friction[1]:g} ({condition}); "
            f"{share.words} of the yield of a class {WEAKEST} stud; in cast "
            f"aluminium at least {thread_held.words} of sound thread bears it",
            SOURCE,
            subject="preload",
            numbers=(clamp, share, thread_held),
        )
