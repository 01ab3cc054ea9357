"""What is drawn on the skin: kept and masked areas, findings, ghosts of the lettering, coachlines.

What is said of each area stands in `areas.csv` beside this module; its shape is drawn here.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Mapping
from pathlib import Path

import shapely
from shapely.geometry import LineString, MultiLineString, MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from demo.drawing import dims as d
from demo.drawing.curves import box, joined, mirror, rounded, smooth
from demo.drawing.hidden import BULKHEAD
from demo.drawing.letters import centre_lines, lettering

Zones = Mapping[str, BaseGeometry]
Feature = tuple[dict[str, object], BaseGeometry]

# text, from and to along the side (mm from its front end of the drawing, left), foot, height
TEXT = (
    ("high1", "GREENLOW", 2400, 4320, 1502, 206),
    ("high2", "SEED MERCHANTS", 2420, 4300, 1326, 112),
    ("low", "CORN GRASS FLOWER", 2372, 4292, 878, 106),
)
WELD_R = d.LENGTH - (d.BODY_REAR - 2.5 - d.REPAIR_LONG)  # x of the weld on the right side's drawing


def ghosts() -> dict[tuple[str, str], BaseGeometry]:
    """The letters that stand up under the paint, by side and line; on the right the lowest line stops at the weld."""
    found: dict[tuple[str, str], BaseGeometry] = {}
    for name, text, x0, x1, y, high in TEXT:
        found["L", name] = lettering(text, x0, x1, y, high)
        right = lettering(text, d.LENGTH - x1, d.LENGTH - x0, y, high)
        found["R", name] = right.intersection(box(WELD_R + 1, 0, 4620, 2200)) if name == "low" else right
    return found


def areas(zones: Zones) -> list[Feature]:
    """Kept areas K1 to K5, and the masks of the repaint plan."""
    m = d.MIDDLE
    x, y = BULKHEAD
    flange = _multi(zones["scrf_L"], zones["scrf_R"])
    cues = _ring(
        [
            (120, 760),
            (500, 712),
            (960, 730),
            (1380, 716),
            (1464, 880),
            (1400, 1050),
            (900, 1046),
            (420, 1052),
            (130, 1000),
            (84, 880),
        ],
        x,
        y,
    )
    witness = box(2240, 830, 2300, 1030)
    seats = _multi(zones["hse_L"], zones["hse_R"])
    jambs = joined(_parts(zones[f"jamb{s}_{p}"] for s in "LR" for p in ("front", "sill", "rear")))
    shapes = {
        "K1": flange,
        "K2": cues,
        "K3": box(m - 420, 325, m + 420, 390),
        "K4": witness,
        "K5": seats,
        "M1": witness,
        "M2": joined([zones["bulk_up"], zones["bulk_low"]]),
        "M3": zones["bon_chan"],
        "M4": zones["sillL_face"],
        "M5": zones["sillR_face"],
        "M6": jambs,
        "M7": joined(_parts(zones[f"rlu_{p}"] for p in ("L", "R", "front", "rear"))),
        "M8": zones["step_seat"],
        "M9": zones["bolt_L"],
    }
    with (Path(__file__).parent / "areas.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return [({**row, "margin": int(row["margin"]) if row["margin"] else None}, shapes[row["area_id"]]) for row in rows]


def _ring(points: list[tuple[float, float]], x: float, y: float) -> Polygon:
    """A smooth closed line through points told from (x, y)."""
    around = [(x + px, y + py) for px, py in points]
    line = smooth([*around[-3:], *around, *around[:3]])
    first, last = line.index(around[0]), len(line) - 1 - line[::-1].index(around[0])
    return Polygon(line[first:last])


def _parts(shapes: Iterable[BaseGeometry]) -> list[Polygon]:
    return [part for shape in shapes for part in shapely.get_parts(shape)]


def _multi(*shapes: BaseGeometry) -> MultiPolygon:
    return MultiPolygon(_parts(shapes))


def _oval(x: float, y: float, a: float, b: float, turn: float = 0) -> Polygon:
    points = []
    for k in range(40):
        t = 2 * math.pi * k / 40
        wave = 1 + 0.07 * math.sin(3 * t + x)
        u, v = a * wave * math.cos(t), b * wave * math.sin(t)
        points.append((x + u * math.cos(turn) - v * math.sin(turn), y + u * math.sin(turn) + v * math.cos(turn)))
    return Polygon(points)


def _crazing(x: float, y: float, wide: float, high: float) -> MultiLineString:
    """A net of short cracks."""
    lines = []
    for k in range(14):
        px, py = x + wide * ((k * 0.7549) % 1), y + high * ((k * 0.5698 + 0.1) % 1)
        lines.append(LineString([(px + 26 * j, py + 13 * math.sin(2.1 * j + k)) for j in range(4)]))
    return MultiLineString(lines)


def findings(zones: Zones) -> list[Feature]:
    """Everything found that has a place."""
    rows: list[Feature] = []

    def put(
        finding_id: str,
        sheet: str,
        kind: str,
        shape: BaseGeometry,
        note: str,
        severity: int | None = None,
        depth: float | None = None,
    ) -> None:
        row = {
            "finding_id": finding_id,
            "drawing_id": sheet,
            "kind": kind,
            "depth": depth,
            "severity": severity,
            "note": note,
        }
        rows.append((row, shape))

    words = {"high1": "upper line", "high2": "second line", "low": "lowest line"}
    for (side, name), shape in ghosts().items():
        text = next(row[1] for row in TEXT if row[0] == name)
        note = f"Raised letters under the paint, {words[name]}: {text}. Seen in raking light; about 30 µm."
        if (side, name) == ("R", "low"):
            note = (
                "Raised letters, lowest line, stops dead at the weld 410 mm ahead of the rear edge. "
                "The left side gives the lost position; the text is set again, not mirrored."
            )
        put(f"G_{side}_{name}", "left" if side == "L" else "right", "ghost", shape, note, depth=-0.03)
    put("F01", "left", "dent", _oval(1850, 610, 92, 40, 0.3), "Shallow dent in the door, paint not broken.", 2, 2.5)
    put("F02", "left", "dent", _oval(3960, 1135, 60, 20), "Crease over the swage.", 2, 1.5)
    put(
        "F03",
        "right",
        "dent",
        _oval(3820, 890, 70, 36, -0.5),
        "Dent in the right wing above the arch; old, painted over.",
        2,
        3,
    )
    put(
        "F04",
        "right",
        "filler",
        zones["sideR_skin"].buffer(-6),
        "Filler over the whole let-in skin, 0.9 to 1.9 mm. Deeper than advised: metalwork.",
        4,
        1.4,
    )
    put(
        "F05",
        "right",
        "repair",
        LineString([(WELD_R, d.CARGO_BOTTOM + 3), (WELD_R, d.CARGO_BOTTOM + d.REPAIR_HIGH)]),
        "Vertical weld, gas, dressed. 410 mm ahead of the rear edge.",
        2,
    )
    put(
        "F06",
        "right",
        "corrosion",
        _oval(250, 648, 96, 22),
        "Rust coming through along the lower edge of the let-in skin.",
        4,
    )
    put(
        "F07",
        "roof",
        "checking",
        _crazing(600, 980, 380, 260),
        "Checking in clear and blue, pitch 20 to 30 mm, along the bonnet. Does not reach the silver.",
        3,
    )
    put(
        "F08",
        "roof",
        "crack",
        LineString(smooth([(3980, 1270), (4080, 1296), (4170, 1290), (4262, 1322)])),
        "Hairline in the gelcoat from the rear corner of the crown.",
        3,
    )
    put(
        "F09",
        "rear",
        "corrosion",
        _oval(1500, 440, 110, 16),
        "Lower member of the rear frame: rust under the paint, to be blasted.",
        4,
    )
    put(
        "F10",
        "rear",
        "blister",
        _oval(1180, 560, 54, 38),
        "White blisters, right rear door: aluminium corroding at the old bolt holes.",
        3,
    )
    put(
        "F11",
        "front",
        "chip",
        MultiLineString(
            [[(x, y), (x + 7, y + 4)] for x, y in ((420, 620), (520, 580), (700, 534), (980, 542), (1120, 590), (1290, 574))]
        ),
        "Stone chips, most to the buff.",
        1,
    )
    put("F12", "hid_rail", "corrosion", _oval(66, 700, 15, 150), "Rust along the front rail, under the cap.", 3)
    x, y = BULKHEAD
    put(
        "F13",
        "hid_front",
        "rub",
        MultiPolygon(
            [
                rounded(
                    [(x + 150 + k, y + 770), (x + 178 + k, y + 766), (x + 196 + k, y + 1016), (x + 168 + k, y + 1020)], 9
                )
                for k in (0, 74, 148)
            ]
            + [
                rounded(
                    [(x + 1230 + k, y + 760), (x + 1256 + k, y + 762), (x + 1244 + k, y + 1010), (x + 1218 + k, y + 1008)], 9
                )
                for k in (0, 90)
            ]
        ),
        "Rub marks of the flats: green polished, not worn through.",
    )
    put(
        "F14",
        "hid_front",
        "other",
        MultiLineString(
            [*centre_lines("CUE 3 MOON UP", x + 420, y + 920, 84), *centre_lines("CUE 4 BLUE", x + 470, y + 790, 84)]
        ),
        "Stage cues in white chalk. Not fixed: do not wipe, do not tape.",
    )
    put(
        "F15",
        "rear",
        "rub",
        MultiPolygon(
            [
                rounded([(d.MIDDLE + k, 328), (d.MIDDLE + k + 150, 328), (d.MIDDLE + k + 150, 387), (d.MIDDLE + k, 387)], 20)
                for k in (-390, 210)
            ]
        ),
        "Two bands worn by feet.",
    )
    put("F16", "right", "chip", Point(3250, 745), "Striker side of the door edge: bare metal, 6 mm.", 1)
    return rows


def lines() -> list[Feature]:
    """The ivory coachlines: left by hand, right by tape."""

    def wave(x: float) -> float:
        return 1210 + 0.9 * math.sin(x / 173) + 0.6 * math.sin(x / 61 + 1) + 0.25 * math.sin(x / 23)

    runs = ((1236, 2196), (2222, 4496))
    left = [[(x, wave(x)) for x in _stations(a, b, 24)] for a, b in runs]

    def taped(x: float) -> float:
        drop = min(max((x - (4496 - 900)) / 34, 0), 1)
        return 1210 - 7 * drop * drop * (3 - 2 * drop)

    right = [[(x, taped(x)) for x in _stations(a, b, 12 if b > 3000 else 120)] for a, b in runs]
    return [
        ({"line_id": "L_left", "drawing_id": "left", "width": 5, "colour": "#efe6cb", "hand": "brush",
          "note": "5.0 ± 0.6 mm, swells and thins; brush lift at each end. Leave the wobble in."}, MultiLineString(left)),
        ({"line_id": "L_right", "drawing_id": "right", "width": 4, "colour": "#efe6cb", "hand": "tape",
          "note": "4.0 mm throughout, edges sharp both sides: tape, a later hand. Last 900 mm runs 7 mm low."},
         mirror(MultiLineString(right), d.LENGTH)),
    ]  # fmt: skip


def _stations(start: float, end: float, step: float) -> list[float]:
    n = math.ceil((end - start) / step)
    return [start + (end - start) * k / n for k in range(n + 1)]
