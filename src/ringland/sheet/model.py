"""The content of a sheet after its layers are laid over each other: the words of the file.

Names with a space in the file have an underscore here. Texts with numbers (figures, torques,
tests) are kept as typed and read by `figures.py`, which knows their kinds.
Start with `Sheet`.
"""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from ringland.sheet.fastener import PLACES_PATTERN

Phase = Literal[
    "due", "get", "strip", "inspect", "decide", "fit", "build", "prestart", "start", "record"
]
PHASES: tuple[Phase, ...] = (
    "due", "get", "strip", "inspect", "decide", "fit", "build", "prestart", "start", "record",
)  # fmt: skip
Scope = Literal["ring", "piston", "full", "open"]
SCOPES: dict[Scope, str] = {
    "ring": "ring only",
    "piston": "piston kit",
    "full": "full top end",
    "open": "don't know yet: open and see",
}


def _listed(value: Any) -> Any:
    """A list may be typed on one line, its items separated by commas."""
    if isinstance(value, str):
        return [item.strip() for item in value.split(", ") if item.strip()]
    return value


def _flag(value: Any) -> Any:
    flags = {"yes": True, "no": False}
    return flags.get(value, value) if isinstance(value, str) else value


Names = Annotated[tuple[str, ...], BeforeValidator(_listed)]
Scopes = Annotated[tuple[Scope, ...], BeforeValidator(_listed)]
Phases = Annotated[tuple[Phase, ...], BeforeValidator(_listed)]
Flag = Annotated[bool, BeforeValidator(_flag)]
Counts = dict[str, int | Literal["all"]]  # "all": as many as the engine has of the part
ALL_SCOPES: tuple[Scope, ...] = ("ring", "piston", "full", "open")


class Content(BaseModel):
    """What all parts of a sheet share: no unknown keys, no change after reading."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        alias_generator=lambda name: name.replace("_", " "),
        populate_by_name=True,
    )


class Brings(Content):
    """What a verdict beyond the limit, or a finding, brings."""

    renew: Names = Field((), description="parts that are renewed because of it")
    steps: Names = Field((), description="steps that are added")
    checks: Names = Field((), description="checks that must be made")
    stop: str = Field("", description="the sentence of a stop; empty when it stops nothing")
    blocks: Phases = Field(("start",), description="phases that wait while the stop stands")
    never_signed: Flag = Field(False, description="nobody can sign this stop away")
    needs_cause: Flag = Field(
        False, description="a damage: a named cause with its proof is needed before fitting"
    )
    orders_wait: Names = Field((), description="parts whose order waits while this stands")
    say: str = Field("", description="what to do now, in one sentence")
    say_low: str = Field(
        "", description="the same where it is below the lower limit, if it differs"
    )


class Part(Content):
    """A part or supply of the engine."""

    count: int = Field(1, ge=0, description="how many the engine has")
    also_called: Names = ()
    renew: Scopes = Field((), description="scopes in which it is always renewed")
    renew_with: Names = Field((), description="renewed whenever one of these parts is")
    in_kit: str = Field("", description="the kit that normally holds it, such as 'piston kit'")
    waits_for: Names = Field((), description="checks that decide which one to order")
    why: str = ""
    fitted_to: str = Field("", description="engine feature it belongs to")
    one_use: Flag = Field(False, description="never fitted twice")
    counted_by: str = Field("", description="the group of fasteners whose number it follows")
    counted: Flag = Field(False, description="small and losable: counted off and on, never assumed")
    when_found: Names = Field((), description="steps that are added once a missing one was found")


class Supply(Content):
    """A supply or tool to have before the strip."""

    why: str = ""
    scopes: Scopes = ALL_SCOPES
    instead: str = Field("", description="how to get by without, and what that cannot do")
    fitted_to: str = ""
    gauges: Names = Field((), description="kinds of gauge on the shelf that serve as this tool")


class Check(Content):
    """Something measured or judged against a limit, on a named part."""

    part: str
    words: str = Field("", description="what is measured, where, with what")
    unit: str = Field("length", description="kind of unit: length, pressure, count, feel ...")
    limit: Literal["upper", "lower", "both", "feel", "count", "reported"] = "upper"
    method: str = Field(
        "single",
        description="single, leaf, grid, four points, range, fall, percent of baseline, feel, count, "
        "or derived: largest, smallest, out-of-round, taper, spread, clearance",
    )
    of: Names = Field((), description="for a derived check: the checks it is worked out from")
    convention: Literal["", "range over heights", "top minus bottom"] = Field(
        "", description="for a taper: how it is taken; over all heights when empty"
    )
    face: Flag = Field(False, description="a flat face: it may be read at points too")
    judged_with: Names = Field(
        (), description="parts that must be new when it is judged: a worn one adds play of its own"
    )
    zone: Names = Field(
        (), description="for a clearance: the heights in which the skirt runs; all when empty"
    )
    profile: str = Field("", description="for a test: name of its profile under `tests`")
    phase: Phase = "inspect"
    scopes: Scopes = ALL_SCOPES
    taken: Literal["as found", "as fitted", "both"] = "as found"
    needed: Flag = Field(True, description="no: wanted only where something calls for it")
    places: Names = ()
    gauges: Names = Field((), description="kinds of gauge that serve, the best first")
    needs: Names = Field((), description="steps that must be done before")
    also_called: Names = ()
    fitted_to: str = ""
    beyond: Brings = Brings()
    why: str = ""
    mistake: str = ""
    caution: str = ""
    common_practice: str = Field("", description="a typical band, offered and marked, never ruling")
    cannot_tell: str = Field("", description="what this reading does not show")
    tells_instead: str = Field(
        "", description="for 'not sure' of a feel: the check that would tell"
    )


class Finding(Content):
    """Something seen or felt, from a named list."""

    part: str
    words: str = ""
    also_called: Names = ()
    likely: str = Field("", description="likely cause")
    check: str = Field("", description="what to look at next")
    brings: Brings = Brings()
    lifts: Names = Field((), description="findings whose stop this one resolves")
    fitted_to: str = ""


class Step(Content):
    """One piece of work."""

    phase: Phase
    words: str = ""
    needs: Names = Field((), description="steps that come before")
    off: Counts = Field({}, description="what comes off, and how many")
    on: Counts = Field({}, description="what goes on, and how many")
    goes_back: str = Field(
        "", description="the build step that puts it back; made by itself when empty"
    )
    orientation: str = ""
    piston: str = Field("", description="where the piston stands")
    tighten: str = Field("", description="the group of fasteners tightened here")
    checks: Names = Field((), description="checks that must have a reading first")
    photo: str = Field("", description="what the photo must show; empty when none is needed")
    photo_needed: Flag = False
    scopes: Scopes = ALL_SCOPES
    only_when_added: Flag = Field(False, description="off until a verdict or finding adds it")
    fitted_to: str = ""
    instead: str = Field("", description="another way, with its limits")
    why: str = ""
    mistake: str = ""
    caution: str = ""
    minutes: int = 0
    hold: Names = Field((), description="conditions of a hold point")
    never_signed: Flag = Field(False, description="nobody can sign this hold point away")
    lines: Names = ()


class FastenerGroup(Content):
    """One group of fasteners tightened together."""

    count: int = Field(ge=1)
    thread: str = ""
    torque: str = ""
    order: str = Field(
        "crosswise",
        description="crosswise, in turn, any order, or the maker's list: numbers of the places as "
        "`at` lists them, else counted clockwise from the exhaust",
    )
    at: str = Field(
        "",
        description="where each stands: degrees clockwise from the exhaust, seen from above, as in "
        "45 135 225 315; those of a second ring behind 'outer'; an even ring when empty",
        json_schema_extra={"pattern": PLACES_PATTERN},
    )
    seen_from: str = Field(
        "",
        description="the side a joint is looked at that does not lie about the bore, such as "
        "'the intake'; angles then run clockwise from its top",
    )
    stages: Annotated[tuple[int, ...], BeforeValidator(_listed)] = Field(
        (30, 65, 100), description="per cent of the final torque"
    )
    check_pass: Flag = Field(True, description="one more pass at the final torque")
    condition: str = Field("", description="dry, oiled, thread locker: a condition of the value")
    joint: str = Field("", description="settling gasket, O-ring, metal")
    by_feel: Flag = Field(False, description="small screws that may be tightened by feel")
    scopes: Scopes = ALL_SCOPES
    fitted_to: str = ""
    words: str = ""
    also_called: Names = ()


class Geometry(Content):
    """A figure of the engine that is no limit: stroke, rod length, squish band ..."""

    unit: str = "length"
    words: str = ""
    scopes: Scopes = ALL_SCOPES


class PhaseWords(Content):
    """A phase: its title, its cautions, and the hold points it opens after."""

    title: str
    opens_after: Names = Field((), description="hold points that must hold first")
    cautions: Names = ()


class Question(Content):
    """One figure that `sheet new` asks for, in the order a manual has them."""

    figure: str
    ask: str
    asks_limit: Flag = Field(
        False, description="the limit in service; otherwise the value when new"
    )
    scopes: Scopes = ALL_SCOPES
    plausible: str = Field("", description="typical band: outside it the unit is asked about")
    unit: str = Field("mm", description="unit meant by a bare number, offered and confirmed")


class Sheet(Content):
    """A whole sheet: engine sheet over common sheet, one variant laid on."""

    engine: str
    extends: str = ""
    years: str = ""
    manual: str = Field("", description="title and edition of the maker's manual")
    not_fitted: Names = Field((), description="features this engine does not have")
    features: Names = Field((), description="features this kind of engine may have")
    ignition_side: Literal["left", "right", "not said"] = Field(
        "not said", description="seen from above with the exhaust toward you"
    )
    phases: dict[Phase, PhaseWords] = {}
    questions: tuple[Question, ...] = ()
    geometry: dict[str, Geometry] = {}
    figures: dict[str, str] = {}
    checks: dict[str, Check] = {}
    parts: dict[str, Part] = {}
    kits: dict[str, str] = Field({}, description="kit name: in one line what it is")
    tools: dict[str, Supply] = {}
    supplies: dict[str, Supply] = {}
    findings: dict[str, Finding] = {}
    steps: dict[str, Step] = {}
    fasteners: dict[str, FastenerGroup] = {}
    piston_classes: dict[str, str] = {}
    base_gaskets: Names = ()
    fluids: dict[str, str] = {}
    tests: dict[str, str] = {}
    materials: dict[str, str] = {}
    hours: dict[str, str] = Field({}, description="maker's interval in hours, by part")
    read_back: dict[str, str] = Field({}, description="figure: who read it back against the manual")

    def has(self, feature: str) -> bool:
        """Say whether this engine has a feature; an empty name is always there."""
        return not feature or feature not in self.not_fitted


class Leaflet(Content):
    """A part sheet: the figures that come with a fitted part; for it they outrank the engine's."""

    part: str = Field(description="the part, then what it is: 'ring, other make'")
    for_: Names = Field((), alias="for", description="engines it is made for")
    figures: dict[str, str] = {}
    notes: Names = ()

    @property
    def name(self) -> str:
        """The part's name in the engine sheet."""
        return self.part.partition(",")[0].strip()
