"""The pen of the cutaway: y up in, y down out; line types as presentation attributes."""

from dataclasses import dataclass, field
from html import escape
from math import copysign
from typing import Protocol

REFERENCE = 53.2  # bore for which the castings are written [mm]
PLUG = 12.0  # half width round the axis that no bore changes [mm]


@dataclass
class Pen:
    """Collects SVG elements; y up in, y down out.

    Castings are written once, for the reference bore. ``shift`` moves them out for another bore: rigid
    outside the bore wall (walls keep their thickness), stretched between plug and wall, untouched at the plug.
    """

    out: list[str] = field(default_factory=list)
    shift: float = 0.0

    def at(self, x: float) -> float:
        a = abs(x)
        grow = 0.0 if a <= PLUG else self.shift * min(1.0, (a - PLUG) / (REFERENCE / 2 - PLUG))
        return copysign(a + grow, x)

    def path(self, pts: str, cls: str, **more: object) -> None:
        self.out.append(f'<path class="{cls}" d="{self.flip(pts)}"{attrs(cls, more)}/>')

    def line(self, x1: float, y1: float, x2: float, y2: float, cls: str, **more: object) -> None:
        self.path(f"M{x1:.2f},{y1:.2f} L{x2:.2f},{y2:.2f}", cls, **more)

    def circle(self, x: float, y: float, r: float, cls: str, **more: object) -> None:
        self.out.append(
            f'<circle class="{cls}" cx="{self.at(x):.2f}" cy="{-y:.2f}" r="{r:.2f}"{attrs(cls, more)}/>'
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: float,
        anchor: str = "middle",
        cls: str = "t",
        **more: object,
    ) -> None:
        self.out.append(
            f'<text class="{cls}" x="{self.at(x):.2f}" y="{-y:.2f}" font-size="{size}" '
            f'text-anchor="{anchor}" fill="currentColor"{attrs("", more)}>{escape(words)}</text>'
        )

    def open(self, **attrs: object) -> None:
        self.out.append(
            "<g"
            + "".join(f' {k.rstrip("_").replace("_", "-")}="{v}"' for k, v in attrs.items())
            + ">"
        )

    def close(self, tag: str = "g") -> None:
        self.out.append(f"</{tag}>")

    def raw(self, markup: str) -> None:
        self.out.append(markup)

    def flip(self, pts: str) -> str:
        """'M1,2 L3,4 Q5,6 7,8 A r,r 0 0 1 x,y' with y up, into y down (arc sweep turned too)."""
        made, words, i = [], pts.replace("Z", " Z").split(), 0
        while i < len(words):
            w = words[i]
            head = w[0] if w[0].isalpha() else ""
            body = w[1:] if head else w
            if head == "Z":
                made.append("Z")
            elif head == "A":  # A rx,ry rot large sweep x,y as separate words
                rot, large, sweep, end = words[i + 1 : i + 5]
                x, y = end.split(",")
                made.append(
                    f"A{body} {rot} {large} {1 - int(sweep)} {self.at(float(x)):.2f},{-float(y):.2f}"
                )
                i += 4
            else:
                x, y = body.split(",")
                made.append(f"{head}{self.at(float(x)):.2f},{-float(y):.2f}")
            i += 1
        return " ".join(made)


WEIGHT = {
    "wide": 2.4,
    "mid": 1.6,
    "thin": 1.0,
    "hid": 1.0,
    "axis": 0.9,
    "ghost": 1.0,
    "solid": 0.6,
    "edge": 1.4,
}
DASH = {"hid": "5 3", "axis": "14 3 2 3", "ghost": "12 3 2 3 2 3"}


def attrs(cls: str, more: dict[str, object]) -> str:
    """Presentation attributes by line type: the print version; the page's CSS recolours by class."""
    a: dict[str, object] = {}
    for kind in cls.split():
        if kind in WEIGHT:
            a |= {
                "stroke": "currentColor",
                "stroke-width": WEIGHT[kind],
                "fill": "none",
                "vector-effect": "non-scaling-stroke",
                "stroke-linejoin": "round",
            }
            if kind in DASH:
                a["stroke-dasharray"] = DASH[kind]
        if kind == "solid":
            a["fill"] = "currentColor"
        if kind == "paper":
            a["fill"] = "#ffffff"
        if kind == "case":
            a["fill"] = "#e4ebe8"
    a |= {k.rstrip("_").replace("_", "-"): v for k, v in more.items()}
    return "".join(f' {k}="{v}"' for k, v in a.items())


WEIGHT = {
    "wide": 2.4,
    "mid": 1.6,
    "thin": 1.0,
    "hid": 1.0,
    "axis": 0.9,
    "ghost": 1.0,
    "solid": 0.6,
    "edge": 1.4,
}
DASH = {"hid": "5 3", "axis": "14 3 2 3", "ghost": "12 3 2 3 2 3"}


def hatches(p: str) -> str:
    """Hatch patterns: direction and pitch tell parts apart, dashes tell 'not measured yet'."""

    def one(
        name: str,
        angle: int,
        pitch: float,
        weight: float = 0.34,
        dash: str = "",
        cross: bool = False,
    ) -> str:
        d = f' stroke-dasharray="{dash}"' if dash else ""
        both = (
            f'<path d="M0,{pitch / 2} H{pitch}" stroke="currentColor" stroke-width="{weight}"/>'
            if cross
            else ""
        )
        return (
            f'<pattern id="{p}{name}" width="{pitch}" height="{12 if dash else pitch}" '
            f'patternUnits="userSpaceOnUse" patternTransform="rotate({angle})">'
            f'<path d="M{pitch / 2},0 V{12 if dash else pitch}" stroke="currentColor" '
            f'stroke-width="{weight}"{d}/>{both}</pattern>'
        )

    return (
        one("a", 45, 2.5)
        + one("b", -45, 2.5)
        + one("c", 45, 1.7)
        + one("d", -45, 1.7)
        + one("ap", 45, 3.4, 0.3, "3.2 2.8")
        + one("bp", -45, 3.4, 0.3, "3.2 2.8")
        + one("cp", 45, 2.4, 0.3, "3.2 2.8")
        + one("x", 45, 2.3, 0.42, cross=True)
        + f'<pattern id="{p}w" width="7" height="4.4" patternUnits="userSpaceOnUse">'
        '<path d="M0.6,1.1 H4.0 M4.1,3.3 H7" stroke="currentColor" stroke-width="0.26"/></pattern>'
    )


class Cut(Protocol):
    """Draws one cut part in its state: name, outline, lean of its hatching, kind of line."""

    @property
    def prefix(self) -> str:
        """What makes the ids of this drawing unique."""
        ...

    def __call__(self, name: str, shape: str, lean: str, line: str = "wide") -> None: ...
