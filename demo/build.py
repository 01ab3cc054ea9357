"""Writes the demo vehicle as an open folder: `python -m demo.build [FOLDER]`. The same bytes every time."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path

import shapely
from shapely.geometry import GeometryCollection
from shapely.geometry.base import BaseGeometry

from demo import CAP_OFF_PLAN, VEHICLE_FOLDER, film, history, marks, parts, pictures, plan
from demo.drawing import front, hidden, rear, roof, side
from demo.drawing.sheet import Sheet
from demo.writing import write_csv, write_features

MEASURED = (
    "tape and plumb line from the sill seam and the middle line, 24 stations a side; checked on the wheelbase, 2702 mm"
)
FLAT = "faces measured off the van and laid flat, each at its true size; where they lie on the sheet means nothing"
DRAWINGS = (
    ("left", "Left side", "outside", MEASURED, ""),
    ("right", "Right side", "outside", MEASURED, "left"),
    ("front", "Front", "outside", MEASURED, ""),
    ("rear", "Rear", "outside", MEASURED, ""),
    ("roof", "Roof and bonnet from above", "outside", MEASURED, ""),
    ("hid_front", "Hidden faces: cab and front", "hidden", FLAT, ""),
    ("hid_doors", "Hidden faces: doors and posts", "hidden", FLAT, ""),
    ("hid_rail", "Hidden faces: rail under the cap, step", "hidden", FLAT, ""),
    ("hid_cap", "Hidden faces: underside of the cap", "hidden", FLAT, ""),
)
VEHICLE = {
    "vehicle_id": "moon-cart",
    "name": "Delivery van “Moon Cart”",
    "maker": "",
    "year": "1956",
    "serial": "1047",
    "owner": "private",
    "notes": "Invented. Lichen-green delivery van; a seed merchant's ochre lettering in 1962; from 1969 a travelling puppet "
    "theatre, silver, later glazed blue to glow under stage lamps. Right rear corner repaired in 1981. Wanted: the "
    "puppet-era blue, with the green evidence kept.",
}


def sheets() -> dict[str, Sheet]:
    """All drawings."""
    made = {row[0]: Sheet(row[0]) for row in DRAWINGS}
    side.draw(made["left"], side="L")
    side.draw(made["right"], side="R")
    front.draw(made["front"])
    rear.draw(made["rear"])
    roof.draw(made["roof"])
    hidden.cab_and_front(made["hid_front"])
    zones = {zone.zone_id: zone.shape for sheet in made.values() for zone in sheet.zones}
    hidden.doors_and_posts(made["hid_doors"], zones["doorL_skin"], zones["rdoorR_skin"])
    hidden.rail_under_cap(made["hid_rail"])
    hidden.cap_underside(made["hid_cap"])
    return made


def in_the_way(made: Mapping[str, Sheet]) -> dict[str, BaseGeometry]:
    """By zone, the trim and lamps on which no probe is set."""
    found: dict[str, BaseGeometry] = {}
    for sheet in made.values():
        trim = [
            o.shape
            for o in sheet.outlines
            if o.kind in ("trim", "lamp", "glass", "body_line") and "Polygon" in o.shape.geom_type
        ]
        blocked = shapely.union_all(trim) if trim else GeometryCollection()
        found |= {zone.zone_id: blocked for zone in sheet.zones}
    return found


def build(folder: Path) -> None:
    """Write every file of the demo vehicle into `folder`."""
    media = folder / "media"
    media.mkdir(parents=True, exist_ok=True)
    made = sheets()
    zones = {zone.zone_id: zone.shape for sheet in made.values() for zone in sheet.zones}
    _write_drawings(folder, made)
    ghosts = marks.ghosts()
    _write_history(folder, zones, ghosts)
    by_side = {s: shapely.union_all([shape for (at, _), shape in ghosts.items() if at == s]) for s in "LR"}
    names = ("reading_id", "zone_id", "x", "y", "um", "principle", "spot", "taken", "phase", "instrument", "by", "invalid")
    write_csv(folder / "readings.csv", names, film.readings(zones, in_the_way(made), by_side))
    write_features(folder / "areas.geojson", marks.areas(zones))
    write_features(folder / "findings.geojson", marks.findings(zones))
    write_features(folder / "lines.geojson", marks.lines())
    pictures.draw_all(media, made["left"], ghosts)
    names = ("source_id", "kind", "title", "date", "by", "file", "sha256", "rights", "about")
    write_csv(folder / "sources.csv", names, pictures.source_rows(media))
    write_csv(folder / "goals.csv", ("zone_id", "position", "coat_id", "extent"), plan.goal_rows())
    write_csv(folder / "steps.csv", plan.STEP_COLUMNS, plan.step_rows())
    write_csv(folder / "signoffs.csv", ("subject", "what", "by", "on", "note"), plan.signoff_rows())
    write_csv(folder / "settings.csv", ("key", "value", "basis", "source"), plan.setting_rows())


def build_cap_off_plan(path: Path) -> None:
    """Write the second plan, which is wrong on purpose, as a steps file by itself."""
    write_csv(path, plan.STEP_COLUMNS, plan.step_rows(plan.CAP_OFF_STEPS))


def _write_drawings(folder: Path, made: Mapping[str, Sheet]) -> None:
    write_csv(folder / "vehicle.csv", tuple(VEHICLE), [VEHICLE])
    names = ("drawing_id", "name", "kind", "scale", "scale_from", "mirror_of")
    rows = [
        dict(zip(names, (i, name, kind, "measured", basis, twin), strict=True)) for i, name, kind, basis, twin in DRAWINGS
    ]
    write_csv(folder / "drawings.csv", names, rows)
    outlines = [o for sheet in made.values() for o in sheet.outlines if not o.shape.is_empty]
    write_features(
        folder / "outline.geojson",
        [({"drawing_id": o.drawing_id, "kind": o.kind, "name": o.name}, o.shape) for o in outlines],
    )
    zones = [zone for sheet in made.values() for zone in sheet.zones]
    rows = [
        (
            {
                "zone_id": z.zone_id, "drawing_id": z.drawing_id, "part_id": z.part_id, "face": z.face, "name": z.name,
                "surface_ratio": z.ratio, "surface_ratio_from": z.ratio_from, "intent": z.intent,
            },
            z.shape,
        )
        for z in zones
    ]  # fmt: skip
    write_features(folder / "zones.geojson", rows)
    datums = [p for sheet in made.values() for p in sheet.datums]
    write_features(
        folder / "datums.geojson",
        [({"datum_id": p.datum_id, "drawing_id": p.drawing_id, "name": p.name}, p.shape) for p in datums],
    )


def _write_history(folder: Path, zones: Mapping[str, BaseGeometry], ghosts: Mapping[tuple[str, str], BaseGeometry]) -> None:
    write_csv(folder / "parts.csv", ("part_id", "name", "substrate", "removable", "first_coat", "marks"), parts.part_rows())
    write_csv(folder / "covers.csv", ("zone_id", "part_id", "gap"), parts.cover_rows())
    write_csv(folder / "coats.csv", (*history.COAT_COLUMNS, *history.PAINT_COLUMNS), history.coat_rows())
    names = ("stack_id", "zone_id", "x", "y", "method", "reaches_substrate", "by", "date", "confidence", "note")
    write_csv(folder / "stacks.csv", names, history.stack_rows(zones, ghosts))
    names = ("stack_id", "position", "coat_id", "extent", "interface", "cut_back", "um", "note")
    write_csv(folder / "layers.csv", names, history.layer_rows())


if __name__ == "__main__":
    build(Path(sys.argv[1]) if len(sys.argv) > 1 else VEHICLE_FOLDER)
    if len(sys.argv) == 1:
        build_cap_off_plan(CAP_OFF_PLAN)
