"""The common sheet that ships: what it promises to every engine sheet that extends it."""

import re
from collections import Counter
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

import ringland
from ringland.bench.opening import gauge_kinds
from ringland.gas.causes_table import DAMAGES
from ringland.job.holds import CONDITIONS
from ringland.job.readings.values import METHODS
from ringland.job.steps import count_of
from ringland.quantity import parse_span
from ringland.sheet.figures import kind_of, not_given, read_leaflet, ruling
from ringland.sheet.load import Loaded, load_common, load_leaflet, load_sheet
from ringland.sheet.model import PHASES, SCOPES, Brings, Counts, Sheet

PACKAGE = Path(ringland.__file__).parent
COMMON_FILE = PACKAGE / "sheet" / "common" / "two-stroke-single.yaml"
DEMO = PACKAGE / "demo"
STORY_SHEETS = sorted((Path(__file__).parents[1] / "stories" / "sheets").glob("*.yaml"))

TEXT = COMMON_FILE.read_text(encoding="utf-8")
SHEET = load_common(TEXT, COMMON_FILE.name).sheet

DERIVED = {"largest", "smallest", "out-of-round", "taper", "spread", "clearance"}


def engine(path: Path, variant: str | None = None) -> Loaded:
    common = {COMMON_FILE.stem: TEXT}
    return load_sheet(path.read_text(encoding="utf-8"), path.name, common, variant=variant)


def brought() -> Iterator[tuple[str, Brings]]:
    yield from ((name, check.beyond) for name, check in SHEET.checks.items())
    yield from ((name, finding.brings) for name, finding in SHEET.findings.items())


def goes_back(name: str) -> str:
    """The build step that undoes a step: the named one, or one made up for it by the program."""
    step = SHEET.steps[name]
    return step.goes_back or (f"{name} again" if step.off and step.phase == "strip" else "")


def test_it_holds_at_least_thirty_checks_and_forty_findings() -> None:
    assert len(SHEET.checks) >= 30
    assert len(SHEET.findings) >= 40


def test_every_phase_has_a_title_its_cautions_and_work_to_do() -> None:
    assert set(SHEET.phases) == set(PHASES)
    for name in PHASES:
        assert SHEET.phases[name].title
        assert SHEET.phases[name].cautions, name
        assert any(step.phase == name for step in SHEET.steps.values()), name


@pytest.mark.parametrize(
    "section",
    ["figures", "tests", "piston_classes", "base_gaskets", "fluids", "materials", "hours", "years"],
)
def test_no_makers_number_stands_in_it(section: str) -> None:
    assert not getattr(SHEET, section)
    assert not any(group.torque or group.thread for group in SHEET.fasteners.values())


def test_a_typical_band_of_the_trade_stands_only_where_it_is_marked_as_one() -> None:
    length = re.compile(r"\d+[.,]\d+ ?(mm|bar|N·m)")
    for name, check in SHEET.checks.items():
        for said in (check.words, check.why, check.mistake, check.beyond.say, check.beyond.stop):
            assert not length.search(said), name


def test_a_typed_word_means_one_thing() -> None:
    bare = Counter(
        word
        for section in (SHEET.checks, SHEET.findings, SHEET.parts)
        for name, each in section.items()
        for word in {name, *each.also_called}
    )
    bare.update(SHEET.steps.keys())
    assert [word for word, times in bare.items() if times > 1] == []
    fasteners = Counter(
        w for name, group in SHEET.fasteners.items() for w in {name, *group.also_called}
    )
    assert [word for word, times in fasteners.items() if times > 1] == []


def test_names_are_short_plain_words() -> None:
    plain = re.compile(r"[a-z][a-z ,.'-]{1,31}")
    for section in ("checks", "findings", "steps", "parts", "fasteners", "geometry"):
        for name in getattr(SHEET, section):
            assert plain.fullmatch(name), name


def test_every_check_says_what_is_looked_at_and_with_what() -> None:
    for name, check in SHEET.checks.items():
        assert check.words, name
        assert check.method in METHODS, name
        assert bool(check.of) == (check.method in DERIVED), name
        assert check.gauges or check.of, name
        assert set(check.gauges) <= set(gauge_kinds()), name
        assert check.method != "feel" or (check.unit, check.limit) == ("feel", "feel"), name
    for name, tool in SHEET.tools.items():
        assert set(tool.gauges) <= set(gauge_kinds()), name


def test_every_measured_check_in_service_names_its_usual_mistake_or_what_is_typical() -> None:
    for name, check in SHEET.checks.items():
        if check.needed and check.method != "feel":
            assert check.mistake or check.common_practice, name


def test_names_that_the_loader_does_not_follow_exist_too() -> None:
    for name, check in SHEET.checks.items():
        assert not check.tells_instead or check.tells_instead in SHEET.checks, name
    for question in SHEET.questions:
        assert question.figure in (*SHEET.checks, *SHEET.geometry, *SHEET.fasteners)
    for section in (SHEET.parts, SHEET.tools, SHEET.supplies, SHEET.findings, SHEET.fasteners):
        for name, each in section.items():
            assert each.fitted_to in ("", *SHEET.features), name


def test_a_hold_point_asks_only_for_what_the_program_can_tell() -> None:
    holds = [step for step in SHEET.steps.values() if step.hold]
    assert {condition for step in holds for condition in step.hold} == set(CONDITIONS)
    for name, phase in SHEET.phases.items():
        # a record is opened by the first warm-up itself; every other phase by hold points
        assert all(SHEET.steps[each].hold for each in phase.opens_after) or name == "record"


def test_a_hold_point_needs_only_steps_that_a_person_ticks() -> None:
    for name, step in SHEET.steps.items():
        for need in step.needs if step.hold else ():
            before = SHEET.steps[need]
            assert not before.hold, (name, need)
            assert not before.tighten, (name, need)


@pytest.mark.parametrize(
    ("phase", "hold"),
    [
        ("fit", "causes named"),
        ("build", "ready to build"),
        ("start", "ready to start"),
        ("start", "all tight"),
        ("start", "rag counted out"),
    ],
)
def test_a_phase_opens_after_its_hold_point(phase: str, hold: str) -> None:
    assert hold in SHEET.phases[phase].opens_after  # type: ignore[index]  # named in the table above


def test_only_the_rag_count_and_the_torque_are_hold_points_that_nobody_signs() -> None:
    holds = {name for name, step in SHEET.steps.items() if step.never_signed}
    assert holds == {"rag counted out", "all tight"}


def test_the_stops_that_nobody_signs_are_those_of_the_design() -> None:
    lost_steel = {"lost steel", "needle missing", "ring broken", "clip gone", "dowel missing"}
    assert {name for name, brings in brought() if brings.never_signed} == lost_steel | {
        "clip not seated", "clip gap sideways", "rag lost", "metal specks",
        "power valve binds", "power valve travel", "power valve sweep",
    }  # fmt: skip


def test_a_stop_says_so_in_a_sentence_and_blocks_the_start() -> None:
    for name, brings in brought():
        assert not brings.never_signed or brings.stop, name
        assert not brings.orders_wait or brings.stop or brings.steps, name
        if brings.stop:
            assert "start" in brings.blocks, name
            assert brings.stop.endswith("."), name


def test_every_finding_that_nobody_signs_away_is_lifted_by_another() -> None:
    lifted = {name for finding in SHEET.findings.values() for name in finding.lifts}
    never = {name for name, finding in SHEET.findings.items() if finding.brings.never_signed}
    assert never <= lifted


def test_every_damage_of_the_causes_table_is_a_finding_that_needs_its_cause() -> None:
    words = {w: f for name, f in SHEET.findings.items() for w in {name, *f.also_called}}
    for damage in DAMAGES:
        assert words[damage].brings.needs_cause, damage


def numbers(counts: Counts) -> dict[str, int]:
    return {part: SHEET.parts[part].count if n == "all" else n for part, n in counts.items()}


def test_every_part_that_comes_off_goes_on_again() -> None:
    off, on, back = Counter[str](), Counter[str](), Counter[str]()
    for step in SHEET.steps.values():
        off.update(numbers(step.off))
        on.update(numbers(step.on))
        if step.off and not step.goes_back and step.phase == "strip":
            back.update(numbers(step.off))  # the program makes the step that puts these back
    assert off == on + back


def test_a_step_goes_back_by_a_later_one_that_puts_its_parts_on() -> None:
    for name, step in SHEET.steps.items():
        if step.goes_back:
            later = SHEET.steps[step.goes_back]
            assert PHASES.index(later.phase) > PHASES.index(step.phase), name
            assert set(step.off) & set(later.on) or later.tighten, name


@pytest.mark.parametrize(
    "part", ["clip", "ring", "piston", "valve seal", "link pin", "power valve", "barrel", "head"]
)
def test_the_critical_parts_have_a_build_step_of_their_own(part: str) -> None:
    building = [step for step in SHEET.steps.values() if step.phase == "build" and part in step.on]
    assert building
    for step in building:
        assert step.orientation or step.why
        assert step.mistake or step.caution or step.why


def test_no_step_waits_for_itself_also_when_strip_order_is_turned_round_for_the_build() -> None:
    needs = {name: set(step.needs) for name, step in SHEET.steps.items()}
    for name, step in SHEET.steps.items():
        for before in step.needs:
            first, then = goes_back(name), goes_back(before)
            if step.phase == "strip" and first and then and first != then:
                needs.setdefault(then, set()).add(first)
    order = list(TopologicalSorter(needs).static_order())
    for earlier, later in [
        ("ring on", "piston on"), ("first clip in", "second clip in"), ("barrel tight", "head on"),
        ("clips and arrow", "barrel on"), ("rag out", "barrel on"), ("power valve on", "barrel on"),
        ("barrel tight", "pipe off again"), ("head on", "hoses off again"),
        ("plug in", "tank off again"), ("tank off again", "seat off again"),
    ]:  # fmt: skip
        assert order.index(earlier) < order.index(later), (earlier, later)


def test_a_step_never_needs_one_of_a_later_phase() -> None:
    for name, step in SHEET.steps.items():
        for before in step.needs:
            assert PHASES.index(SHEET.steps[before].phase) <= PHASES.index(step.phase), name


def test_every_group_of_fasteners_is_tightened_by_one_step() -> None:
    tightened = Counter(step.tighten for step in SHEET.steps.values() if step.tighten)
    assert tightened == Counter(SHEET.fasteners.keys())


def test_what_findings_and_verdicts_add_is_off_until_then_or_always_there() -> None:
    added = {name for _, brings in brought() for name in brings.steps}
    assert added <= set(SHEET.steps)
    waiting = {name for name, step in SHEET.steps.items() if step.only_when_added}
    assert waiting <= added, "nothing ever adds these"


def test_each_scope_asks_about_a_dozen_figures_in_a_plausible_band() -> None:
    for scope in SCOPES:
        asked = [q for q in SHEET.questions if scope in q.scopes]
        assert 10 <= len(asked) <= 16, scope
        assert len({(q.figure, q.asks_limit) for q in asked}) == len(asked)
    for question in SHEET.questions:
        kind = "torque" if question.unit == "N·m" else kind_of(SHEET, question.figure)
        band = parse_span(question.plausible, kind)
        assert band.low is not None
        assert band.high is not None
        assert band.low.si < band.high.si


def test_the_demo_engine_gives_every_figure_that_any_scope_wants() -> None:
    loaded = engine(DEMO / "tarrow-124.yaml")
    assert list(not_given(loaded.sheet, loaded.figures)) == []
    assert len(loaded.variants) == 2
    for variant in loaded.variants:
        assert engine(DEMO / "tarrow-124.yaml", variant).sheet.years != loaded.sheet.years
    assert set(loaded.figures.torques) == set(loaded.sheet.fasteners)
    assert set(loaded.figures.tests) == {c.profile for c in SHEET.checks.values() if c.profile}


def test_a_rings_leaflet_outranks_the_demo_engines_gap() -> None:
    tarrow = engine(DEMO / "tarrow-124.yaml")
    text = (DEMO / "ring-leaflet.yaml").read_text(encoding="utf-8")
    _, leaflet = load_leaflet(text, "ring-leaflet.yaml", tarrow.sheet)
    figures, _ = read_leaflet(leaflet, tarrow.sheet)
    rules = ruling(tarrow.figures, "ring end gap", {leaflet.part: figures})
    assert rules is not None
    assert rules.figure.new is not None
    assert rules.figure.new.low is not None
    assert rules.outranked is not None
    # 0.004 of a bore of 53.2 mm, by hand
    assert rules.figure.new.low.si == pytest.approx(0.2128e-3, rel=1e-12)
    assert str(rules.outranked.new) == "0.30-0.38 mm"


@pytest.mark.parametrize(
    "path", [*sorted(DEMO.glob("*.yaml")), *STORY_SHEETS], ids=lambda path: path.stem
)
def test_each_invented_sheet_loads_and_says_that_it_is_invented(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert "invented" in text.splitlines()[0]
    if "\npart: " in text:
        assert load_leaflet(text, path.name, engine(DEMO / "tarrow-124.yaml").sheet)[1].figures
        return
    sheet: Sheet = engine(path).sheet
    assert count_of(sheet, "head washer") == sheet.fasteners["head nuts"].count
