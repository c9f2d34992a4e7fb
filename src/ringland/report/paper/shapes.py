"""Plots of shape: the barrel's profile, what was read at the sides of a joint, a face from above."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from ringland.job.log.entries import Condition
from ringland.job.verdicts.verdict import Verdict
from ringland.quantity import Estimate, show_number
from ringland.report.paper.blocks import Picture
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.pictures import PLOT_SIZE, half_width, plot_picture
from ringland.report.words import value_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ringland.charts.style import Theme

Points = tuple[tuple[float, float, float], ...]
SIDES = {"EX": (-1.0, 0.0), "IN": (1.0, 0.0), "IGN": (0.0, 1.0), "CL": (0.0, -1.0)}


def profile(file: JobFile) -> Iterator[Picture]:
    """The bore by height and axis, against nominal and limit."""
    verdict = file.case.verdicts.get(("bore", "as found"))
    read = _places(verdict)
    heights = sorted({place.partition("-")[0] for place in read if "-" in place})
    if verdict is None or len(heights) < 2:
        return
    from ringland.charts.style import Words, render

    figure = file.case.book.figures.own("bore")
    nominal = None if figure is None or figure.new is None else figure.new.low
    limit = verdict.limits.upper if verdict.limits else None
    said = ", ".join(f"{place} {show_number(e.value * 1e3, 3)}" for place, e in read.items())
    words = Words(
        "Barrel profile, as found",
        f"Bore in millimetres: {said}."
        + (f" Nominal {nominal}." if nominal else "")
        + (f" Limit {show_number(limit * 1e3, 3)} mm." if limit else ""),
        "bore, millimetres",
        "height in the barrel",
    )

    def paint(axes: "Axes", theme: "Theme") -> None:
        for axis, mark, dash in (("X", "o", "solid"), ("Y", "s", (0, (8, 3)))):
            rows = [(heights.index(p.partition("-")[0]), e) for p, e in read.items()
                    if p.endswith(f"-{axis}")]  # fmt: skip
            _axis(axes, theme, f"axis {axis}", rows, mark, dash)
        axes.set_yticks(range(len(heights)), heights)
        axes.set_ylim(len(heights) - 0.5, -0.6)
        if nominal is not None:
            _upright(axes, theme, float(nominal.si) * 1e3, "nominal", wall=False)
        if limit is not None:
            _upright(axes, theme, limit * 1e3, "limit", wall=True)
        axes.margins(x=0.12)
        axes.locator_params(axis="x", nbins=4)
        axes.ticklabel_format(axis="x", useOffset=False)

    yield plot_picture(
        "profile",
        render(words, paint, size=PLOT_SIZE),
        "Barrel profile; across, the bore is drawn far larger than along.",
    )


def _axis(
    axes: "Axes", theme: "Theme", name: str, rows: list[tuple[int, Estimate]], mark: str, dash: Any
) -> None:
    if not rows:
        return
    rows = sorted(rows, key=lambda row: row[0])
    across = [estimate.value * 1e3 for _, estimate in rows]
    half = [half_width(estimate) * 1e3 for _, estimate in rows]
    shift = -0.06 if mark == "o" else 0.06  # two axes at one height stay apart
    down = [height + shift for height, _ in rows]
    axes.errorbar(across, down, xerr=half, fmt=mark, color=theme.ink, markersize=7,
                  markerfacecolor=theme.sheet, elinewidth=1.0, capsize=3)  # fmt: skip
    whole = [(x, y) for x, y, n in zip(across, down, range(len(rows)), strict=True)
             if n == 0 or rows[n][0] - rows[n - 1][0] == 1]  # fmt: skip
    if len(whole) == len(rows):  # a span with a gap is not joined
        axes.plot(across, down, color=theme.ink, linewidth=1.6, linestyle=dash)
    axes.annotate(name, (across[-1] + half[-1], down[-1]), xytext=(6, 5 if mark == "o" else -5),
                  textcoords="offset points", va="center", color=theme.ink)  # fmt: skip


def _upright(axes: "Axes", theme: "Theme", at: float, name: str, *, wall: bool) -> None:
    axes.axvline(at, color=theme.mark if wall else theme.ink, linewidth=2.4 if wall else 1.0,
                 linestyle="solid" if wall else (0, (14, 3, 2, 3)))  # fmt: skip
    if wall:
        low, high = axes.get_xlim()
        axes.axvspan(at, at + 0.04 * (high - low), facecolor="none", edgecolor=theme.mark,
                     hatch="///", linewidth=0)  # fmt: skip
    axes.annotate(name, (at, 1.0), xycoords=("data", "axes fraction"), xytext=(0, 4),
                  textcoords="offset points", ha="center", color=theme.ink)  # fmt: skip


def maps(file: JobFile) -> Iterator[Picture]:
    """What was read of a joint or face, from above: at its sides, or at points."""
    for name, condition in file.case.verdicts:
        found = map_of(file, name, condition)
        if found is not None:
            yield found


def map_of(file: JobFile, name: str, condition: Condition) -> Picture | None:
    """Return the map of a check, or None where too little was read at places."""
    verdict = file.case.verdicts.get((name, condition))
    if verdict is None or verdict.value is None:
        return None
    read = {place: each for place, each in _places(verdict).items() if place in SIDES}
    if len(read) > 2 and verdict.value.unit is not None:
        return _map(name, condition, verdict, read)
    face = verdict.value.form.face if verdict.value.form else ()
    return _face(f"{name}, {condition}", value_words(verdict.value), face) if face else None


def _face(name: str, flatness: str, points: Points) -> Picture:
    """A face from above, each point with its height, as `calc flatness` draws it."""
    import numpy as np

    from ringland.charts.face import face_chart
    from ringland.charts.style import Words
    from ringland.measure.flatness import minimum_zone

    zone = minimum_zone(points)
    x, y, z = np.asarray(points).T
    at, along, across = zone.low_plane
    over = (z - at - along * x - across * y) * 1e6
    said = ", ".join(f"{number} {each:.0f}" for number, each in enumerate(over, 1))
    flat = f"{name}: {flatness} over {len(points)} points"
    words = Words(
        flat,
        f"Heights over the lower plane in µm, by point: {said}. Triangles hold the zone.",
        "x, millimetres",
        "y, millimetres",
    )
    svg = face_chart(words, x * 1e3, y * 1e3, over, high=zone.high, low=zone.low, size=PLOT_SIZE)
    caption = f"{flat}; heights over the lower plane in µm, triangles hold the zone."
    return plot_picture(f"face-{name}", svg, caption)


def _map(name: str, condition: str, verdict: Verdict, read: dict[str, Estimate]) -> Picture:
    from ringland.charts.style import Words, render

    assert verdict.value is not None
    unit = verdict.value.unit
    assert unit is not None
    shown = {p: show_number(unit.from_si(each.value), 2) for p, each in read.items()}
    said = ", ".join(f"{place} {value}" for place, value in shown.items())
    least = min(read.values(), key=lambda each: each.value)
    words = Words(
        f"{name[0].upper()}{name[1:]} at {len(read)} points, {condition}",
        f"From above, in {unit.name}: {said}.",
        "exhaust side left, intake side right",
        "clutch side below, ignition side above",
    )

    def paint(axes: "Axes", theme: "Theme") -> None:
        from matplotlib.patches import Circle

        for radius, width in ((1.0, 2.4), (0.72, 1.0)):
            axes.add_patch(Circle((0, 0), radius, fill=False, edgecolor=theme.ink, linewidth=width))
        for place, (x, y) in SIDES.items():
            if place in read:
                step = 14 + 30 * (read[place].value - least.value) / max(least.value, 1e-6)
                axes.plot(0.86 * x, 0.86 * y, "o", color=theme.ink, markersize=min(step, 26))
            axes.annotate(f"{place}\n{shown.get(place, 'no reading')}", (1.42 * x, 1.32 * y),
                          ha="center", va="center", color=theme.ink)  # fmt: skip
        axes.set_xlim(-2.6, 2.6)
        axes.set_ylim(-1.6, 1.6)
        axes.set_aspect("equal")
        axes.set_xticks([])
        axes.set_yticks([])

    return plot_picture(
        f"map-{name}{condition}",
        render(words, paint, size=PLOT_SIZE),
        f"{words.title}, {unit.name}; a larger dot is a larger value.",
    )


def _places(verdict: Verdict | None) -> dict[str, Estimate]:
    value = verdict.value if verdict else None
    if value is None:
        return {}
    return {
        place: each.estimate for place, each in value.places.items() if each.estimate is not None
    }
