"""What a sheet is made of, as plain records in sheet mm (x right, y up): surfaces, strokes, marks, labels, legend.

A `paint` is a role of `views.palette` or a colour `#rrggbb`; a stroke's `style` is a word for its meaning. Whoever draws
the sheet, on screen or on paper, gives styles their width and dash. Words for hovering are tuples of lines of plain text,
never markup: they may quote the record.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Point = tuple[float, float]
Path = tuple[Point, ...]
Words = tuple[str, ...]

# Textures tell states apart without colour. `solid` is no texture at all.
Texture = Literal["solid", "mist", "absent", "unseen", "cut_back", "not_made", "partly", "open"]
Sign = Literal[
    "dent", "crack", "corrosion", "filler", "checking", "blister", "chip", "ghost", "rub", "repair", "other",
    "spot", "reading", "refused", "to_read", "datum", "no_photo", "no_reading",
]  # fmt: skip


@dataclass(frozen=True)
class Surface:
    """A filled surface: rings closed, outer ones counter-clockwise, holes clockwise."""

    paint: str
    rings: tuple[Path, ...]


@dataclass(frozen=True)
class Stroke:
    """Lines of one meaning; `paint` is empty where the style tells it."""

    style: str
    paths: tuple[Path, ...]
    paint: str = ""


@dataclass(frozen=True)
class Label:
    """A text at a place. Its middle is moved by (`right_em`, `up_em`) of its own letter height from (x, y).

    `leader`: a fine line from the text back to (x, y). `ground`: the text has paper behind it. `strong`: it is
    set bold. `anchor`: which side of the
    text lies at its place.
    """

    text: str
    x: float
    y: float
    paint: str
    right_em: float = 0.0
    up_em: float = 0.0
    anchor: Literal["left", "middle", "right"] = "middle"
    size: Literal["caption", "text", "small"] = "text"
    leader: bool = False
    ground: bool = False
    strong: bool = False
    words: Words = ()
    zone_id: str = ""


@dataclass(frozen=True)
class ZoneView:
    """A zone as tinted.

    Attributes:
        texture: tells the state without colour.
        state: the state in a few words, as in the legend.
        words: what hovering says, first line the title.
        picks: places of the zone at which a touch or a pointer finds it, near each edge and through the middle.
        spots: at each pick, more words of what is marked just there (same length as `picks`).
    """

    zone_id: str
    title: str
    drawing_id: str
    rings: tuple[Path, ...]
    paint: str
    texture: Texture
    state: str
    words: Words
    picks: tuple[Point, ...]
    spots: tuple[Words, ...]


@dataclass(frozen=True)
class AreaMark:
    """A kept area or a mask: its surface with hatch lines, and the margin round a kept area as a band.

    `middle`: the point farthest from its edge.
    """

    area_id: str
    purpose: Literal["keep", "mask"]
    recreated: bool
    rings: tuple[Path, ...]
    hatch: tuple[Path, ...]
    margin: tuple[Path, ...]
    middle: Point
    words: Words


@dataclass(frozen=True)
class FindingMark:
    """A finding: outlines of its surfaces, its lines, its texture, and where its sign stands (None: no place stated).

    `lit` and `shaded`: the same outline moved a little, which makes a ghost stand up in relief.
    """

    finding_id: str
    kind: Sign
    rings: tuple[Path, ...]
    paths: tuple[Path, ...]
    texture: tuple[Path, ...]
    lit: tuple[Path, ...]
    shaded: tuple[Path, ...]
    sign: Point
    words: Words
    zone_id: str


@dataclass(frozen=True)
class PointMark:
    """A sign at one place: a stack, a reading, a datum, what lacks on a zone. `name`: what is written beside it."""

    sign: Sign
    x: float
    y: float
    paint: str
    words: Words
    zone_id: str = ""
    name: str = ""


@dataclass(frozen=True)
class LineMark:
    """A painted line in its true colour. `width_mm`: as measured, None where not stated."""

    line_id: str
    paths: tuple[Path, ...]
    colour: str | None
    width_mm: float | None
    words: Words


@dataclass(frozen=True)
class LegendItem:
    """One line of the legend: a swatch (paint and texture), a stroke style, or a sign, and its words."""

    words: str
    paint: str = ""
    texture: Texture = "solid"
    texture_paint: str = ""
    style: str = ""
    sign: Sign | None = None


@dataclass(frozen=True)
class Ramp:
    """A colour ramp: knots with their colours, evenly spaced along it."""

    title: str
    unit: str
    knots: tuple[float, ...]
    colours: tuple[str, ...]


@dataclass(frozen=True)
class ScaleBar:
    """A bar `length_mm` long on the vehicle from (x, y) to the right, with a tick in its middle and its words."""

    x: float
    y: float
    length_mm: float
    words: str
