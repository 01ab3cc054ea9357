"""The coats of the van, and the places where its layers were looked at.

The places stand in `spots.csv` beside this module: one row a place. Its column `layers` is coat[:extent][<interface][@µm][!]
from metal outward (`!`: the face was cut back); `at` is `x y`, or a letter of the ghosts as side:line:number, or empty
for a point well inside the zone.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from pathlib import Path

import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

# coat_id, name, kind, colour, um_low, um_high, era, looks_like. The order of the rows is the order in time where no
# stack tells it.
COATS = (
    ("c1", "Red-oxide dip primer", "primer", "#7d3a2b", 12, 18, "1956, works", ""),
    ("c2", "Grey primer", "primer", "#8d9190", 25, 35, "1956, works", ""),
    ("c3", "Lichen green enamel", "colour", "#8a9a76", 34, 46, "1956, works", "c3b"),
    ("c4", "Ochre lettering", "colour", "#c6902f", 25, 35, "1962, signwriter", ""),
    ("t1", "Black transit primer, replacement wing", "primer", "#2d2e30", 16, 24, "before 1969", ""),
    ("e1", "Wash primer, aluminium rear doors", "etch", "#a9a56a", 6, 10, "1969", ""),
    ("c5", "Buff surfacer", "surfacer", "#cdb489", 52, 68, "1969", ""),
    ("c6", "Silver lacquer, body", "colour", "#b9bec1", 20, 30, "1969", "c6b"),
    ("g1", "Gelcoat of the roof cap", "other", "#dcd8c8", None, None, "1971, cap maker", ""),
    ("c6b", "Silver lacquer, cap alone", "colour", "#b6bcc1", 20, 30, "1971", "c6"),
    ("c7b", "Translucent blue, cap alone, 2 passes", "tinted", "#3f6fa3", 14, 18, "1971", "c7"),
    ("c7", "Translucent blue, whole van, 5 passes", "tinted", "#2f62a0", 36, 44, "1971 or later", "c7b"),
    ("c8", "Clear lacquer", "clear", "#e9e6d4", 40, 50, "1971 or later", "c13"),
    ("c9", "Ivory coachlines", "line", "#efe6cb", 18, 30, "after the clear", ""),
    ("c3b", "Green touch-up, brushed", "colour", "#879874", 20, 60, "not dated", "c3"),
    ("c10", "Polyester filler", "filler", "#c9a9a0", 0, 2500, "1981, repair", ""),
    ("c11", "Red-brown primer", "primer", "#6e4034", 40, 60, "1981, repair", ""),
    ("c12", "Opaque blue", "colour", "#2b5c97", 28, 42, "1981, repair", ""),
    ("c13", "Clear lacquer over the repair", "clear", "#e7e5d8", 34, 46, "1981, repair", "c8"),
    ("n1", "Epoxy primer", "primer", "#9a9f8c", 45, 60, "planned repaint", ""),
    ("n2", "Buff surfacer, new", "surfacer", "#cbb38a", 50, 70, "planned repaint", ""),
    ("n3", "Silver base, new", "colour", "#babfc2", 18, 28, "planned repaint", ""),
    ("n4b", "Translucent blue, new, cap alone, 2 passes", "tinted", "#4071a5", 14, 18, "planned repaint", ""),
    ("n4", "Translucent blue, new, whole van, 5 passes", "tinted", "#3064a2", 36, 44, "planned repaint", ""),
    ("n5", "Clear lacquer, new", "clear", "#ebe8d8", 40, 50, "planned repaint", ""),
)

# Of the planned coats: volume solids and thinning by their data sheets, film wanted and film of a pass by the shop.
# The data sheet of the silver base is not there yet.
PAINT = {
    "n1": (48, 10, 55, 28),
    "n2": (52, 5, 60, 30),
    "n3": (None, None, 24, 8),
    "n4b": (12, 50, 16, 8),
    "n4": (12, 50, 40, 8),
    "n5": (36, 10, 45, 23),
}
COAT_COLUMNS = ("coat_id", "name", "kind", "colour", "um_low", "um_high", "era", "looks_like")
PAINT_COLUMNS = ("volume_solids_pct", "thinning_pct", "film_um", "pass_um")


def _spots() -> tuple[dict[str, str], ...]:
    with (Path(__file__).parent / "spots.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


SPOTS = _spots()
_LAYER = re.compile(r"(?P<coat>\w+)(:(?P<extent>mist|none))?(<(?P<interface>[a-z_]+))?(@(?P<um>\d+))?(?P<cut>!)?")


def coat_rows() -> list[dict[str, object]]:
    blank = (None,) * len(PAINT_COLUMNS)
    names = (*COAT_COLUMNS, *PAINT_COLUMNS)
    return [dict(zip(names, (*coat, *PAINT.get(str(coat[0]), blank)), strict=True)) for coat in COATS]


def layer_rows() -> list[dict[str, object]]:
    return [row for spot in SPOTS for row in _layers(spot["stack_id"], spot["layers"])]


def _layers(stack_id: str, text: str) -> list[dict[str, object]]:
    rows: list[dict[str, object]] = []
    for position, layer in enumerate(text.split(), start=1):
        found = _LAYER.fullmatch(layer)
        if found is None:
            raise ValueError(f"{stack_id}: layer {layer!r} cannot be read")
        rows.append(
            {
                "stack_id": stack_id,
                "position": position,
                "coat_id": found["coat"],
                "extent": found["extent"] or "full",
                "interface": found["interface"],
                "cut_back": True if found["cut"] else None,
                "um": found["um"],
            }
        )
    return rows


def _place(at: str, zone: BaseGeometry, ghosts: Mapping[tuple[str, str], BaseGeometry]) -> Point:
    if not at:
        return zone.representative_point()
    if ":" in at:
        side, line, number = at.split(":")
        return shapely.get_parts(ghosts[side, line].buffer(-7))[int(number)].representative_point()
    x, y = map(float, at.split())
    return Point(x, y)


def stack_rows(zones: Mapping[str, BaseGeometry], ghosts: Mapping[tuple[str, str], BaseGeometry]) -> list[dict[str, object]]:
    """The stacks, each at its own point, or at a point well inside its zone."""
    rows: list[dict[str, object]] = []
    for spot in SPOTS:
        point = _place(spot["at"], zones[spot["zone_id"]], ghosts)
        if not zones[spot["zone_id"]].contains(point):
            raise ValueError(f"{spot['stack_id']} lies outside {spot['zone_id']}")
        told = {name: value for name, value in spot.items() if name not in ("layers", "at")}
        rows.append({**told, "x": point.x, "y": point.y})
    return rows
