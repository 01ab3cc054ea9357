"""The coats of the van, and the places where its layers were looked at."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

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


@dataclass(frozen=True)
class Spot:
    """One place looked at. `layers`: coat[:extent][<interface][@um][!], inner to outer; `!` is cut back."""

    stack_id: str
    zone_id: str
    method: str
    reaches: bool
    layers: str
    confidence: str
    note: str
    at: tuple[float, float] | str | None = None  # a point, or a letter of the ghosts: side:line:number
    by: str = "restorer"
    day: str = "2025-10-08"


_BODY = "c1@15 c2@30 c3@40 c5<scratch@60 c6@25 c7<dirt@40 c8@45"
SPOTS = (
    Spot("S01", "sideL_low", "section", True, _BODY, "high", "Plain side. A dark line of dirt lies between silver and blue: the silver was in use before it was glazed blue.", (2272, 1045)),
    Spot("S02", "sideL_let_high", "section", True, "c1@15 c2@30 c3@40 c4@30 c5<scratch@60 c6@25 c7<dirt@40 c8@45", "high", "On the stem of a letter, upper line.", "L:high1:3"),
    Spot("S03", "scrf_L", "window", True, "c1 c2 c3 c5:none c6:none c7:none", "high", "Under the seal, opened 20 mm at the upper rear corner. Buff starts 2 mm outside the lip.", day="2025-10-09"),
    Spot("S04", "rlu_L", "edge", True, "c1 c2 c3 c6 c7:none<dirt", "high", "Rail under the cap flange, cap lifted. Silver in full, road dirt on top of it, no blue at all.", day="2025-10-09"),
    Spot("S05", "cfl_L", "edge", True, "g1 c6b@25 c7b@16 c8:none", "high", "Underside of the cap flange. Silver clean, no dirt on it. Blue 16 µm in a section: two passes. No clear.", day="2025-10-09"),
    Spot("S06", "jambL_rear", "window", True, "c1 c2 c3 c6 c7:mist", "high", "Silver in full depth of the jamb; blue only as dry mist, heavier toward the gap."),
    Spot("S07", "hse_L", "edge", True, "c1 c2 c3", "high", "Hinge seats, leaves taken off. Print of the leaf in the green.", day="2025-10-09"),
    Spot("S07R", "hse_R", "edge", True, "c1 c2 c3", "high", "As the left.", by="assistant", day="2025-10-09"),
    Spot("S08", "rle_L", "edge", True, "e1 c5 c6 c7<dirt c8", "high", "Back of the hinge leaves: the whole system, on the face that lies on the pillar.", day="2025-10-09"),
    Spot("S09", "rse_L", "window", True, "c1 c2 c3 c5 c6 c7<dirt c8", "high", "Pillar under the hinge leaf: the whole system.", day="2025-10-09"),
    Spot("S10", "wfl_L", "edge", True, "t1@20 c5 c6 c7:none c8:none", "high", "Left wing, bolting flange. Begins with black transit primer; no dip primer, no green.", day="2025-10-09"),
    Spot("S10s", "wse_L", "edge", True, "c1 c2 c3 c5:none c6:none", "high", "Seat of the left wing: works green, nothing after.", day="2025-10-09"),
    Spot("S10R", "wfl_R", "edge", True, "c1 c2 c3 c5:none c6:none", "high", "Right wing, bolting flange, one bolt drawn.", by="assistant", day="2025-10-09"),
    Spot("S10Rs", "wse_R", "edge", True, "c1 c2 c3 c5:none c6:none", "high", "Seat of the right wing.", by="assistant", day="2025-10-09"),
    Spot("S11", "sideR_skin", "section", True, "c10<scratch c11@50 c12@35 c13@40", "high", "Bare, sanded steel under the filler. None of the older coats."),
    Spot("S12", "jambR_rear", "chip", False, "c6 c3", "low", "Chip at the striker, looked at with a lens from above. Logged silver, then green over it.", by="assistant"),
    Spot("S13", "sideL_waist", "surface", False, "c8 c9", "fair", "Coachline lies on the clear."),
    Spot("S14", "sideR_blend", "edge", False, "c8 c12<scratch!", "fair", "Feathered edge of the repair: opaque blue over clear flatted away toward the weld."),
    Spot("S15", "bead", "section", True, "c7@40 c8@45", "high", "Sliver of the bead. Five passes of blue on the sealant, then clear."),
    Spot("S16", "bolt_L", "chip", True, "c6 c7 c8", "high", "Bolt heads of the left wing: silver, blue, clear on bright zinc.", day="2025-10-09"),
    Spot("S16s", "wsh_L", "edge", False, "c5 c6 c7:none", "fair", "Washer shadow, left wing: buff and silver under the washer, no blue.", day="2025-10-09"),
    # Ordinary places, so that most faces are seen
    Spot("S17", "jambR_front", "surface", False, "c6 c7:mist", "fair", "Silver with dry blue mist, as on the left.", by="assistant"),
    Spot("S18", "jambL_sill", "surface", False, "c6 c7:mist", "fair", "Worn through by boots in the middle; looked at near the rear post.", by="assistant"),
    Spot("S20", "bon_chan", "window", True, "c1 c2 c3 c5:none c6:none c7:mist", "fair", "Rain channel: green, a little blue mist at the front."),
    Spot("S21", "bhs_L", "edge", True, "c1 c2 c3", "fair", "Under the bonnet hinge, one screw drawn.", by="assistant"),
    Spot("S22", "lseat_L", "edge", True, "c1 c2 c3", "fair", "Under the headlamp rim.", by="assistant"),
    Spot("S23", "bulk_up", "window", True, "c1 c2 c3", "high", "Green only, polished by rubbing; chalk on top."),
    Spot("S24", "hle_R", "edge", True, "c1 c2 c3", "fair", "Leaf backs, right door.", by="assistant", day="2025-10-09"),
    Spot("S25", "rse_R", "chip", False, "c5 c6 c7<dirt c8", "fair", "Chip stopped at the buff.", by="assistant", day="2025-10-09"),
    Spot("S26", "rja_L", "surface", False, "c6 c7 c8", "fair", "Opening jamb, left: clear in full on blue.", by="assistant"),
    Spot("S28", "doorL_skin", "chip", False, "c5 c6 c7<dirt c8", "fair", "Chip stopped at the buff.", (1700, 720)),
    Spot("S29", "doorR_skin", "chip", False, "c5 c6 c7<dirt c8", "fair", "Chip stopped at the buff.", (2920, 700), by="assistant"),
    Spot("S30", "rlu_R", "surface", False, "c6 c7:none<dirt", "fair", "Silver with dirt on it, as on the left; not opened further.", by="assistant", day="2025-10-09"),
    Spot("S31", "cfl_R", "edge", False, "c6b c7b c8:none", "fair", "As the left; not opened to the gelcoat.", by="assistant", day="2025-10-09"),
    Spot("S32", "step_face", "window", True, "c1 c2 c3", "fair", "Green left between the worn bands."),
    Spot("S33", "rls_L", "edge", True, "c1 c2 c3", "fair", "Under the lamp body.", by="assistant"),
    Spot("S34", "sideL_high", "chip", False, "c5 c6 c7<dirt c8", "fair", "Chip stopped at the buff.", (2270, 1500)),
    Spot("S35", "sideL_let_low", "chip", False, "c4 c5 c6 c7<dirt c8", "fair", "On a letter of the lowest line; stopped in the ochre.", "L:low:4"),
    Spot("S36", "sideR_high", "chip", False, "c5 c6 c7<dirt c8", "fair", "Chip stopped at the buff.", (2350, 1480), by="assistant"),
    Spot("S37", "sideR_let_high", "chip", False, "c4 c5 c6 c7<dirt c8", "fair", "On a letter, upper line; stopped in the ochre.", "R:high1:4", by="assistant"),
    Spot("S38", "sideR_low", "chip", False, "c5 c6 c7<dirt c8", "fair", "Chip stopped at the buff.", (2200, 760), by="assistant"),
    Spot("S39", "sideR_waist", "surface", False, "c8 c9", "fair", "Coachline on the clear. Edge of the line is sharp both sides.", by="assistant"),
    Spot("S40", "wingL_side", "window", True, "t1@20 c5@60 c6 c7<dirt@40 c8@45", "fair", "Window to bare steel. The silver looks thick; a section should say whether it is two coats.", (1120, 760)),
    Spot("S41", "wingR_side", "chip", False, "c5 c6 c7<dirt c8", "fair", "Chip stopped at the buff.", (3500, 760), by="assistant"),
    Spot("S42", "nose_front", "chip", False, "c5 c6 c7<dirt c8", "fair", "Chip stopped at the buff.", (875, 1090)),
    Spot("S43", "bonnet_top", "chip", False, "c5 c6 c7<dirt c8", "fair", "Chip stopped at the buff.", (1020, 700)),
    Spot("S45", "rdoorL_skin", "section", True, "e1@8 c5@60 c6@25 c7<dirt@40 c8@45", "high", "No green: these doors came with the 1969 paint.", (430, 900)),
    Spot("S46", "rdoorR_skin", "window", True, "e1 c5 c6 c7<dirt c8", "fair", "As the left door.", (1330, 900), by="assistant"),
    Spot("S47", "cap_top", "section", True, "g1 c6b@25 c7b@16 c7@40 c8@45", "high", "Crown of the cap. 126 µm over the gelcoat; a dust line in the blue after the second pass."),
    Spot("S49", "frame_L", "chip", False, "c5 c6 c7<dirt c8", "fair", "Chip stopped at the buff.", (105, 980)),
    Spot("S50", "scr_lip", "chip", False, "c5 c6 c7<dirt c8", "fair", "The buff begins here, 2 mm outside the lip.", (1235, 2018), day="2025-10-09"),
)

_LAYER = re.compile(r"(?P<coat>\w+)(:(?P<extent>mist|none))?(<(?P<interface>[a-z_]+))?(@(?P<um>\d+))?(?P<cut>!)?")


def coat_rows() -> list[dict[str, object]]:
    names = ("coat_id", "name", "kind", "colour", "um_low", "um_high", "era", "looks_like")
    return [dict(zip(names, coat, strict=True)) for coat in COATS]


def layer_rows() -> list[dict[str, object]]:
    rows = []
    for spot in SPOTS:
        for position, text in enumerate(spot.layers.split(), start=1):
            found = _LAYER.fullmatch(text)
            if found is None:
                raise ValueError(f"{spot.stack_id}: layer {text!r} cannot be read")
            rows.append(
                {
                    "stack_id": spot.stack_id,
                    "position": position,
                    "coat_id": found["coat"],
                    "extent": found["extent"] or "full",
                    "interface": found["interface"],
                    "cut_back": True if found["cut"] else None,
                    "um": found["um"],
                }
            )
    return rows


def _place(spot: Spot, zone: BaseGeometry, ghosts: Mapping[tuple[str, str], BaseGeometry]) -> Point:
    if isinstance(spot.at, str):
        side, line, number = spot.at.split(":")
        return shapely.get_parts(ghosts[side, line].buffer(-7))[int(number)].representative_point()
    return Point(spot.at) if spot.at else zone.representative_point()


def stack_rows(zones: Mapping[str, BaseGeometry], ghosts: Mapping[tuple[str, str], BaseGeometry]) -> list[dict[str, object]]:
    """The stacks, each at its own point, or at a point well inside its zone."""
    rows = []
    for spot in SPOTS:
        zone = zones[spot.zone_id]
        point = _place(spot, zone, ghosts)
        if not zone.contains(point):
            raise ValueError(f"{spot.stack_id} lies outside {spot.zone_id}")
        rows.append(
            {
                "stack_id": spot.stack_id,
                "zone_id": spot.zone_id,
                "x": point.x,
                "y": point.y,
                "method": spot.method,
                "reaches_substrate": spot.reaches,
                "by": spot.by,
                "date": spot.day,
                "confidence": spot.confidence,
                "note": spot.note,
            }
        )
    return rows
