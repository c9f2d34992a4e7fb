"""Calculator: the clamp force behind a torque, as a range. It explains and never sets a torque."""

import re
from collections.abc import Iterator, Sequence
from typing import Any

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.shown import Told, told
from ringland.fasten.preload import (
    CLICK_WRENCH_SCATTER,
    CONDITIONS,
    FULL_USE,
    Preload,
    at_yield_share,
    preload_range,
    torque_per_force,
)
from ringland.fasten.stripping import CAST_ALUMINIUM, engagement_for, weakest
from ringland.fasten.threads import (
    PropertyClass,
    Thread,
    checked_friction,
    find_class,
    parse_thread,
    proof_load,
    stress_area,
)
from ringland.quantity import QuantityError, parse_number, show_number

NEARLY_STRIPPED = 0.7  # of the part's strength: from here the drawing-out of a thread is near


def _compute(given: Inputs) -> Answer:
    thread, screw, friction = _read(given)
    rows = list(_screw_rows(thread, screw, friction, told(given, "torque", "torque")))
    force, torque = at_yield_share(thread, screw, friction[1])
    fields: dict[str, Any] = {
        "thread": thread.name,
        "stress_area_mm2": stress_area(thread) * 1e6,
        "proof_load_N": proof_load(thread, screw),
        "friction": list(friction),
        "full_use_preload_N": [force, at_yield_share(thread, screw, friction[0])[0]],
        "full_use_torque_N_m": [at_yield_share(thread, screw, friction[0])[1], torque],
    }
    headline = (
        f"{thread.name} {screw.name} is used to {FULL_USE:.0%} of its yield at "
        f"{_span([value / 1e3 for value in fields['full_use_preload_N']], 1)} kN."
    ).replace("%", " %")
    pulled: tuple[Preload, Preload] | None = None
    if given["torque"] is not None:
        if given.si("torque") <= 0:
            raise BadInputs([("torque", f"{given['torque']} clamps nothing: a torque is above 0")])
        pulled = preload_range(thread, screw, given.si("torque"), friction)
        low, high = pulled
        headline = (
            f"{given['torque']} clamps with {_span((low.force / 1e3, high.force / 1e3), 1)} kN: "
            f"{_span((low.yield_share * 100, high.yield_share * 100), 0)} % of the screw's yield."
        )
        rows += _torque_rows(low, high)
        fields |= {
            "preload_N": [low.force, high.force],
            "yield_share": [low.yield_share, high.yield_share],
            "proof_share": [low.proof_share, high.proof_share],
        }
    cautions = list(_cautions(pulled))
    if given["engaged"] is not None:
        pull = pulled[1].force if pulled else fields["full_use_preload_N"][1]
        more, warning = _stripping(given, thread, screw, pull)
        rows += more
        cautions += warning
    return Answer(headline, tuple(rows), _NOTES, tuple(cautions), fields)


def _read(given: Inputs) -> tuple[Thread, PropertyClass, tuple[float, float]]:
    problems: list[tuple[str, str]] = []
    found: list[Any] = []
    for name, read in (
        ("thread", lambda: parse_thread(given["thread"])),
        ("class", lambda: find_class(given["class"])),
        ("friction", lambda: _friction(given)),
    ):
        try:
            found.append(read())
        except ValueError as error:
            problems.append((name, str(error)))
    if problems:
        raise BadInputs(problems)
    return found[0], found[1], found[2]


def _friction(given: Inputs) -> tuple[float, float]:
    if given["friction"] is None:
        condition = CONDITIONS[given["condition"]]
        return condition.low, condition.high
    parts = re.split(r"\s*(?:-|–|to)\s*", given["friction"].strip())
    if len(parts) > 2:
        raise QuantityError(f"{given['friction']!r}: write one friction, or two as in 0.10-0.16")
    values = [checked_friction(float(parse_number(part))) for part in parts]
    return min(values), max(values)


def _screw_rows(
    thread: Thread, screw: PropertyClass, friction: tuple[float, float], say: Told
) -> Iterator[Row]:
    yield Row("stress area", f"{show_number(stress_area(thread) * 1e6, 1)} mm²", "ISO 898-1")
    yield Row("proof load", f"{show_number(proof_load(thread, screw) / 1e3, 1)} kN", "ISO 898-1")
    ends = [at_yield_share(thread, screw, each) for each in friction]
    yield Row("friction", _span(friction, 2), "threads and head alike")
    yield Row(
        "the screw's own limit",
        say.span(ends[0][1], ends[1][1], 1),
        f"at {FULL_USE:.0%} of yield, not a torque to set".replace("%", " %"),
    )
    factors = [torque_per_force(thread, each) / thread.diameter for each in friction]
    yield Row("nut factor K", _span(factors, 2), "M = K d F; printed: 0.20 dry, zinc 0.20 or 0.295")


def _torque_rows(low: Preload, high: Preload) -> Iterator[Row]:
    yield Row(
        "clamp force", f"{_span((low.force / 1e3, high.force / 1e3), 1)} kN", "high friction first"
    )
    yield Row("of proof load", f"{_span((low.proof_share * 100, high.proof_share * 100), 0)} %")
    yield Row(
        "of yield",
        f"{_span((low.yield_share * 100, high.yield_share * 100), 0)} %",
        "pull and twist",
    )


def _cautions(pulled: tuple[Preload, Preload] | None) -> Iterator[str]:
    yield "The maker's torque stands; nothing here sets or corrects one."
    if pulled and pulled[1].yield_share > 1:
        yield (
            "At the low friction this torque stretches the screw past its yield. Check the unit, the "
            "thread, the class and the manual's condition before anything is tightened."
        )


def _stripping(
    given: Inputs, thread: Thread, screw: PropertyClass, pull: float
) -> tuple[list[Row], list[str]]:
    strengths = CAST_ALUMINIUM
    remark = "cast aluminium 125 to 170 MPa in shear, from memory: ask for the casting's own"
    if (shear := given.si_or_none("shear-strength")) is not None:
        strengths, remark = (shear, shear), f"shear strength {given['shear-strength']}"
    try:
        ends = [weakest(thread, screw, given.si("engaged"), part_shear=each) for each in strengths]
        needed = [engagement_for(thread, pull, part_shear=each) for each in strengths]
    except ValueError as error:
        raise BadInputs([("engaged", str(error))]) from None
    rows = [
        Row("part thread strips at", f"{_span([e.part_strips / 1e3 for e in ends], 1)} kN", remark),
        Row("screw tears at", f"{show_number(ends[0].breaks / 1e3, 1)} kN"),
        Row("weakest", ends[0].weakest, "6g screw in a 6H thread, loosest fit, sound thread"),
        Row(
            "engaged, to just hold",
            told(given, "length", "engaged").span(needed[1], needed[0], 1),
            "at the greatest clamp force",
        ),
    ]
    if pull <= NEARLY_STRIPPED * ends[0].part_strips:
        return rows, []
    return rows, [
        f"The thread in the part may strip: the screw can pull {show_number(pull / 1e3, 1)} kN and "
        f"the thread bears {show_number(ends[0].part_strips / 1e3, 1)} kN at the low strength. Stop "
        "when a fastener turns without getting tighter."
    ]


def _span(ends: Sequence[float], decimals: int) -> str:
    texts = [show_number(each, decimals) for each in sorted(ends)]
    return texts[0] if texts[0] == texts[1] else f"{texts[0]} to {texts[1]}"


_NOTES = (
    "VDI 2230-1 form: torque = clamp force × (0.16 P + 0.58 d2 µ + D/2 µ), plain hexagon bearing.",
    f"A click wrench scatters the preload by about ± {CLICK_WRENCH_SCATTER * 100:.0f} % besides "
    "(IFI, 5th ed.).",
    "Dry, oiled, greased, with locker: conditions of the maker's value. Oil on a dry figure raises "
    "the clamp force; keep the condition, convert nothing.",
)

CALCULATOR = Calculator(
    name="preload",
    title="Clamp force behind a torque, as a range. It never sets a torque.",
    fields=(
        Field("thread", "text", "Thread, as in M8 or M8x1.", required=True),
        Field("class", "text", "Property class on the head, as in 10.9.", required=True),
        Field("torque", "torque", "Torque at the nut, as in 24 N·m."),
        Field("friction", "text", "Friction, as in 0.12 or 0.10-0.16; else by condition."),
        Field(
            "condition",
            "choice",
            "Condition of threads and faces: dry, oiled, greased, locker.",
            default="dry",
            choices=tuple(CONDITIONS),
        ),
        Field("engaged", "length", "Engaged length in aluminium, as in 12 mm: which side strips."),
        Field("shear-strength", "pressure", "Shear strength of the part, as in 140 MPa."),
    ),
    compute=_compute,
    example="preload --thread M8x1 --class 10.9 --friction 0.12",
)
