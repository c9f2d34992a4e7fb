"""Which cause the evidence points at: ranked, with what speaks for and against each.

Here: ranking over the table in `causes_table`, the check that would separate the causes best, and
the hold that a damage puts on fitting until a cause is named with its proof.
Not here: the table itself; where evidence comes from (a job). Start with `rank_causes`.

The score is a sum of the table's weights and no probability. Compression alone clears no cause.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from ringland.gas.causes_table import CAUSES, DAMAGES, EVIDENCE, SOURCE, Cause, Evidence

Found = Mapping[str, Iterable[str]]  # thing looked at -> how it was found, one or several


@dataclass(frozen=True, slots=True)
class RankedCause:
    """A cause in the light of the evidence.

    score : sum of the weights
    speaks_for, speaks_against : evidence in words, the heaviest first
    proven : whether its proof is among the evidence
    proven_by : what proves it, in words
    check_next : things not looked at yet that tell on this cause, the most telling first
    """

    name: str
    score: int
    speaks_for: tuple[str, ...]
    speaks_against: tuple[str, ...]
    proven: bool
    proven_by: str
    check_next: tuple[str, ...]
    source: str = SOURCE


@dataclass(frozen=True, slots=True)
class DamageHold:
    """A damage and whether fitting may begin over it.

    damage : the picture on the piston
    until : what must hold before new parts are fitted
    candidates : causes that bring this damage, ranked
    named : the proven ones among them; the hold is open while there is none
    """

    damage: str
    until: str
    candidates: tuple[str, ...]
    named: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """Whether the fit phase must wait."""
        return not self.named


def _facts(found: Found) -> frozenset[Evidence]:
    facts, problems = set(), []
    for thing, values in found.items():
        if thing not in EVIDENCE:
            problems.append(f"{thing!r} is no evidence known here{_near(thing, EVIDENCE)}")
            continue
        for value in (values,) if isinstance(values, str) else values:
            if value in EVIDENCE[thing]:
                facts.add((thing, value))
            else:
                problems.append(f"{thing}: {value!r} is none of {', '.join(EVIDENCE[thing])}")
    if problems:
        raise ValueError("; ".join(problems))
    return frozenset(facts)


def _near(word: str, known: Iterable[str]) -> str:
    near = get_close_matches(word, list(known), 1)
    return f"; did you mean {near[0]!r}?" if near else ""


def rank_causes(found: Found) -> tuple[RankedCause, ...]:
    """Rank the causes that anything speaks for.

    found : thing looked at -> how it was found, in the words of `causes_table.EVIDENCE`
    returns : proven causes first, then by score; causes that nothing speaks for are left out
    Raises ValueError with every word that is not known.

    >>> first = rank_causes({"compression": "near baseline", "bubbles": "ignition seal"})[0]
    >>> first.name, first.proven
    ('ignition-side seal leaks', True)
    """
    facts = _facts(found)
    ranked = [_weigh(cause, facts) for cause in CAUSES]
    ranked = [each for each in ranked if each.speaks_for]
    order = {cause.name: i for i, cause in enumerate(CAUSES)}
    return tuple(sorted(ranked, key=lambda each: (not each.proven, -each.score, order[each.name])))


def _weigh(cause: Cause, facts: frozenset[Evidence]) -> RankedCause:
    weights = {fact: cause.weighs[fact] for fact in facts if fact in cause.weighs}
    heaviest = sorted(weights, key=lambda fact: (-abs(weights[fact]), fact))
    looked_at = {thing for thing, _ in facts}
    return RankedCause(
        cause.name,
        sum(weights.values()),
        tuple(f"{thing}: {value}" for thing, value in heaviest if weights[thing, value] > 0),
        tuple(f"{thing}: {value}" for thing, value in heaviest if weights[thing, value] < 0),
        any(fact in facts for fact in cause.proof),
        cause.proven_by,
        tuple(thing for thing in cause.check if thing not in looked_at),
    )


def best_next_check(found: Found, *, among: int = 4, gone: Iterable[str] = ()) -> str | None:
    """Return the thing not looked at yet that would separate the leading causes best.

    found : as in `rank_causes`
    among : how many leading causes to separate
    gone : things that can be looked at no more
    returns : a name in `EVIDENCE`; None when nothing is left that tells

    For each thing, the spread of the weights that its possible findings give the leading causes,
    summed: a plain measure, good for an order, not a probability.

    >>> best_next_check({"piston": "exhaust-side seizure"})
    'bubbles'
    """
    leading = [each.name for each in rank_causes(found)][:among]
    causes = [cause for cause in CAUSES if cause.name in leading]
    looked_at = {thing for thing, _ in _facts(found)} | set(gone)
    spread = {
        thing: sum(
            _spread([cause.weighs.get((thing, value), 0) for cause in causes]) for value in values
        )
        for thing, values in EVIDENCE.items()
        if thing not in looked_at
    }
    best = max(spread, key=lambda thing: spread[thing], default=None)
    return best if best is not None and spread[best] > 0 else None


def _spread(weights: list[int]) -> int:
    return max(weights, default=0) - min(weights, default=0)


def damage_holds(found: Found) -> tuple[DamageHold, ...]:
    """Return what each damage on the piston asks for before the fit phase may open.

    found : as in `rank_causes`
    returns : one hold per damage; `holds` is True while no cause of it is proven

    >>> damage_holds({"piston": "exhaust-side seizure", "leak test": "fails"})[0].holds
    True
    """
    facts = _facts(found)
    ranked = rank_causes(found)
    by_name = {cause.name: cause for cause in CAUSES}
    holds = []
    for thing, picture in sorted(facts):
        if thing != "piston" or picture not in DAMAGES:
            continue
        causes = [each for each in ranked if by_name[each.name].weighs.get((thing, picture), 0) > 0]
        # the damage itself is never its own cause's proof
        named = tuple(each.name for each in causes if _proven_apart(by_name[each.name], facts))
        names = tuple(each.name for each in causes)
        holds.append(DamageHold(picture, DAMAGES[picture], names, named))
    return tuple(holds)


def _proven_apart(cause: Cause, facts: frozenset[Evidence]) -> bool:
    return any(fact in facts for fact in cause.proof if fact[1] not in DAMAGES)
