"""Calculator: which piston fits the bore, and whether the box holds what it says."""

from typing import Any

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.refusing import refusing
from ringland.calc.shown import COVERAGE, Told, chance, told
from ringland.calc.sizes import refuse_slips
from ringland.engine.identity import Identity, check_identity
from ringland.engine.piston import Fit, MeasuredPiston, SizeClass, fit_by_stamp, rank_pistons
from ringland.quantity import Estimate, QuantityError, Span, parse_quantity, parse_span

TYPED = 1e-9  # m: limits that are equal as typed differ by rounding
# A bore of 64,950 mm is never 65 metres: in these texts a comma is always the decimal mark.
KINDS = {"class": "a piston of the class", "measured": "measured", "by stamp": "by stamp"}


def _told(inputs: Inputs) -> Told:
    return told(inputs, "length", "bore", "piston", "window", "class")


def _class(field: str, text: str) -> SizeClass:
    mark, _, rest = text.strip().partition(" ")
    if not rest:
        said = f"{text!r} names no sizes: write mark and sizes, as in A 52.950-52.960 mm"
        raise BadInputs([(field, said)])
    try:
        span = parse_span(rest, "length", comma="decimal")
    except QuantityError as error:
        said = f"{error}. Write mark and sizes, as in: A 52.950-52.960 mm"
        raise BadInputs([(field, said)]) from None
    low, high = _ends(field, span)
    return SizeClass(mark, low, high)


def _ends(field: str, span: Span) -> tuple[float, float]:
    if span.low is None or span.high is None:
        raise BadInputs([(field, "give both ends")])
    return span.low.si, span.high.si


def _window(inputs: Inputs) -> tuple[float, float]:
    if inputs["window"] is None:
        raise BadInputs([("window", "say the clearance when new, such as 0.050-0.080 mm")])
    try:
        return _ends("window", parse_span(inputs["window"], "length", comma="decimal"))
    except QuantityError as error:
        raise BadInputs([("window", str(error))]) from None


def _piston(inputs: Inputs, number: int, text: str) -> MeasuredPiston:
    first, _, rest = text.strip().partition(" ")
    named = rest and not first[0].isdigit()
    try:
        size = parse_quantity(rest if named else text, "length", comma="decimal")
    except QuantityError as error:
        raise BadInputs([("piston", f"{error} A name may stand before it: P1 52.957 mm")]) from None
    name = first if named else f"piston {number}"
    u, shared = inputs.si("piston-pm") / COVERAGE, inputs.si("shared-pm") / COVERAGE
    return MeasuredPiston(name, Estimate(size.si, u), shared)


@refusing({"uneven": "uneven", "shared": "shared-pm"})
def compute(inputs: Inputs) -> Answer:
    refuse_slips(inputs, {"bore": "bore"})
    classes = [_class("class", text) for text in inputs["class"]]
    pistons = [_piston(inputs, n, text) for n, text in enumerate(inputs["piston"], start=1)]
    identity = _identity(inputs, classes, pistons)
    if inputs["bore"] is None:
        return _by_stamp(inputs, classes, identity)
    bore = Estimate(inputs.si("bore"), inputs.si("bore-pm") / COVERAGE)
    fits = rank_pistons(
        bore, _window(inputs), classes=classes, pistons=pistons, uneven=inputs.si("uneven")
    )
    best = fits[0]
    assert best.probability is not None
    return Answer(
        headline=f"{best.name}: {chance(best.probability)} inside the window"
        + ("" if identity is None else f"; label, stamp, micrometer: {identity.state}"),
        rows=tuple(_row(fit, _told(inputs)) for fit in fits) + _identity_rows(identity),
        notes=(
            "Probability of conformance, JCGM 106; in a class any size is taken as equally likely.",
            "The smallest bore along the skirt counts for seizure, the largest for wear: give the "
            "difference as --uneven.",
        ),
        cautions=_cautions(identity, fits),
        fields={"fits": [_fit_fields(fit) for fit in fits], **_identity_fields(identity)},
    )


def _row(fit: Fit, say: Told) -> Row:
    clearance = say.span(fit.low, fit.high, 3)
    if fit.clearance is not None and fit.low == fit.high:
        clearance = say.doubt(fit.clearance, 3)
    assert fit.probability is not None
    return Row(fit.name, clearance, f"{chance(fit.probability)} inside; {KINDS[fit.kind]}")


def _cautions(identity: Identity | None, fits: list[Fit]) -> tuple[str, ...]:
    cautions = []
    if identity is not None and identity.contradictions:
        cautions.append(f"{'; '.join(identity.contradictions)}. Measure again before it is fitted.")
    if all((fit.probability or 0.0) < 0.95 for fit in fits):
        cautions.append("None is sure to fit: a better reading, another class, or the machinist.")
    if any(fit.kind == "class" for fit in fits):
        cautions.append("Measure the piston that comes before it goes in: the box is no proof.")
    return tuple(cautions)


def _identity(
    inputs: Inputs, classes: list[SizeClass], pistons: list[MeasuredPiston]
) -> Identity | None:
    label, stamp = inputs["label"], inputs["stamp"]
    if label is None and stamp is None:
        return None
    if not pistons and (label is None or stamp is None):
        return None
    measured = pistons[0].diameter if pistons else None
    return check_identity(classes, label=label, stamp=stamp, measured=measured)


def _identity_rows(identity: Identity | None) -> tuple[Row, ...]:
    if identity is None:
        return ()
    rows = [Row("label, stamp, micrometer", identity.state, "; ".join(identity.contradictions))]
    rows += [
        Row(f"micrometer says {mark}", chance(probability), "the first piston measured")
        for mark, probability in identity.by_micrometer
    ]
    return tuple(rows)


def _identity_fields(identity: Identity | None) -> dict[str, Any]:
    if identity is None:
        return {"identity": None}
    return {
        "identity": {
            "state": identity.state,
            "contradictions": list(identity.contradictions),
            "by_micrometer": dict(identity.by_micrometer),
        }
    }


def _fit_fields(fit: Fit) -> dict[str, Any]:
    return {
        "name": fit.name,
        "kind": fit.kind,
        "clearance_low_mm": fit.low * 1e3,
        "clearance_high_mm": fit.high * 1e3,
        "clearance_u_mm": None if fit.clearance is None else fit.clearance.u * 1e3,
        "probability": fit.probability,
        "unproved": list(fit.unproved),
    }


def _by_stamp(inputs: Inputs, classes: list[SizeClass], identity: Identity | None) -> Answer:
    mark = inputs["stamp"] or inputs["label"]
    chosen = [each for each in classes if mark and each.mark.casefold() == mark.casefold()]
    if len(classes) == 1 and not mark:
        chosen = classes  # another make in its one standard size
    if not chosen:
        raise BadInputs(
            [("bore", "give the measured bore; or the classes with --stamp, to go by stamp alone")]
        )
    barrel = None
    if inputs["bore-class"] is not None:
        barrel = _class("bore-class", inputs["bore-class"])
    fit = fit_by_stamp(barrel, chosen[0])
    say = _told(inputs)
    clearance = "not known" if barrel is None else say.span(fit.low, fit.high, 3)
    outside: tuple[str, ...] = ()
    if barrel is not None and inputs["window"] is not None:
        low, high = _window(inputs)
        if fit.low < low - TYPED or fit.high > high + TYPED:
            outside = (
                f"Even new, {clearance} can lie outside the {say.span(low, high, 3)} asked for: "
                "these two classes do not belong together, so measure.",
            )
    return Answer(
        headline=f"{fit.name} by stamp, unmeasured",
        rows=(
            Row("clearance when new", clearance, "from the classes, not from this bore"),
            *(Row("not proved", each) for each in fit.unproved),
            *_identity_rows(identity),
        ),
        notes=("A legal way where there is no bore gauge; print it as such on the build sheet.",),
        cautions=(
            *outside,
            "A worn or scored bore can take no piston by stamp: where in doubt, the machinist.",
            *(_cautions(identity, []) if identity is not None and identity.contradictions else ()),
        ),
        fields={"fits": [_fit_fields(fit)], **_identity_fields(identity)},
    )


CALCULATOR = Calculator(
    name="piston",
    title="Which piston class fits a measured bore, and how surely.",
    fields=(
        Field("bore", "length", "smallest bore where the skirt runs: 53.006 mm"),
        Field("bore-pm", "length", "± of it at 95 %", default="0.005 mm", doubt=True),
        Field("uneven", "length", "how much larger the bore is elsewhere there", default="0 mm"),
        Field("window", "text", "clearance when new: 0.040-0.060 mm"),
        Field("class", "text", "mark and sizes, A 52.950-52.960 mm; give several", many=True),
        Field("piston", "text", "measured skirt, 52.957 mm or P1 52.957 mm; several", many=True),
        Field("piston-pm", "length", "± of it at 95 %", default="0.003 mm", doubt=True),
        Field(
            "shared-pm", "length", "part of both ± that is one error", default="0 mm", doubt=True
        ),
        Field("label", "text", "class on the box"),
        Field("stamp", "text", "class on the crown"),
        Field("bore-class", "text", "without a bore gauge: stamp of the barrel and its sizes"),
    ),
    compute=compute,
    example=(
        'piston --bore 53.006mm --window "0.040-0.060 mm" --class "A 52.950-52.960 mm" '
        '--class "B 52.960-52.970 mm"'
    ),
)
