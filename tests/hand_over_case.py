"""A boat trailer drawn by hand, its areas worked out on paper, with pictures that say where they were taken.

Side, 2000 × 500 mm, measured: `low` 2000 × 300 (surface ratio 1.1) and `high` 2000 × 200. Lid, 400 × 250 mm, schematic.
Kept on the side: 1000 × 100 mm, half of it in `low`, half in `high`.

    drawn: low 0.6 m², high 0.4 m², lid 0.1 m²; true: low 0.66 m², high 0.4 m², lid 0.1 m²
    kept, drawn: 0.05 m² and 0.05 m²; true: 0.055 m² and 0.05 m²; together 0.105 of 1.16 m² true, 9.0517 %
"""

from __future__ import annotations

import io

from PIL import Image, ImageDraw

from tests.folders import write_case

SIGNER, OWNER, OBSERVER = "Ottilie Krähwinkel", "Dr. Anselm Quittenbaum", "Fenna van der Zwiebel"
NAMES = (SIGNER, OWNER, OBSERVER)


def box(x0, y0, wide, high):
    x1, y1 = x0 + wide, y0 + high
    return {"type": "Polygon", "coordinates": [[[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]]]}


def photograph(wide=80, high=40, turned=1):
    """A JPEG with Exif data: position, owner, time, and how it is to be turned (1: as it is, 6: a quarter clockwise)."""
    picture = Image.new("RGB", (wide, high), "#8a9a76")
    ImageDraw.Draw(picture).rectangle((0, 0, wide // 2, high // 2), fill="#2f62a0")
    exif = Image.Exif()
    exif[0x0112] = turned
    exif[0x013B] = OBSERVER
    exif[0xA430] = OBSERVER
    exif.get_ifd(0x8769)[0x9003] = "2026:03:02 10:11:12"
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 12.0), 3: "E", 4: (7.0, 27.0, 45.0)})
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=exif, comment=OBSERVER.encode())
    return out.getvalue()


def trailer():
    """The files of the open folder."""
    return {
        "vehicle.csv": [{"vehicle_id": "trailer", "name": "Boat trailer", "owner": OWNER, "notes": "=1+1 as found"}],
        "drawings.csv": [
            {"drawing_id": "side", "name": "Side", "kind": "outside", "scale": "measured"},
            {"drawing_id": "lid", "name": "Lid", "kind": "hidden", "scale": "schematic"},
        ],
        "parts.csv": [
            {"part_id": "frame", "name": "Frame", "substrate": "steel", "removable": "no"},
            {"part_id": "lid", "name": "Lid", "substrate": "aluminium", "removable": "yes"},
        ],
        "zones.geojson": [
            {"zone_id": "low", "drawing_id": "side", "part_id": "frame", "face": "outer", "name": "Low",
             "intent": "as_built", "surface_ratio": 1.1, "geometry": box(0, 0, 2000, 300)},
            {"zone_id": "high", "drawing_id": "side", "part_id": "frame", "face": "flange", "name": "@High",
             "geometry": box(0, 300, 2000, 200)},
            {"zone_id": "lid", "drawing_id": "lid", "part_id": "lid", "face": "outer", "geometry": box(0, 0, 400, 250)},
        ],
        "coats.csv": [
            {"coat_id": "red", "name": "Red lead", "kind": "primer", "colour": "#a03020", "um_low": "30", "um_high": "50"},
            {"coat_id": "grey", "name": "Grey, old", "kind": "colour", "colour": "#808080", "um_low": "40", "um_high": "60"},
            {"coat_id": "new", "name": "Grey, new", "kind": "colour", "colour": "#858585", "film_um": "50",
             "volume_solids_pct": "50", "thinning_pct": "0", "pass_um": "25"},
        ],
        "stacks.csv": [
            {"stack_id": "s1", "zone_id": "low", "x": "100", "y": "100", "method": "window", "reaches_substrate": "yes",
             "by": OBSERVER, "date": "2026-03-02", "note": "+ seen with Quittenbaum beside"},
            {"stack_id": "s2", "zone_id": "high", "x": "100", "y": "400", "method": "chip", "reaches_substrate": "yes",
             "by": OBSERVER},
        ],
        "layers.csv": [
            {"stack_id": "s1", "position": "1", "coat_id": "red", "extent": "full"},
            {"stack_id": "s1", "position": "2", "coat_id": "grey", "extent": "full", "interface": "dirt"},
            {"stack_id": "s2", "position": "1", "coat_id": "red", "extent": "full"},
        ],
        "areas.geojson": [
            {"area_id": "K1", "drawing_id": "side", "purpose": "keep", "name": "Witness", "edge": "hard", "margin": 20,
             "reason": "-the only full stack", "origin": "original", "geometry": box(0, 250, 1000, 100)},
            {"area_id": "M1", "drawing_id": "side", "purpose": "mask", "name": "Stripe again", "origin": "recreated",
             "geometry": box(0, 0, 2000, 50)},
        ],
        "findings.geojson": [
            {"finding_id": "f1", "drawing_id": "side", "kind": "dent", "depth": 2.5, "severity": 2, "note": "@ the axle",
             "geometry": box(500, 100, 50, 50)},
        ],
        "lines.geojson": [
            {"line_id": "l1", "drawing_id": "side", "width": 4, "colour": "#ffffff",
             "geometry": {"type": "LineString", "coordinates": [[0, 450], [2000, 450]]}},
        ],
        "readings.csv": [
            {"reading_id": "r1", "zone_id": "low", "um": "90", "principle": "magnetic", "spot": "a", "by": OBSERVER},
            {"reading_id": "r2", "zone_id": "low", "um": "94", "principle": "magnetic", "spot": "a"},
            {"reading_id": "r3", "zone_id": "low", "um": "52", "principle": "magnetic", "phase": "new"},
            {"reading_id": "r4", "zone_id": "lid", "um": "40", "principle": "magnetic"},
        ],
        "sources.csv": [
            {"source_id": "q1", "kind": "photo", "title": "Side, <unwashed>", "by": OBSERVER, "file": "side.jpg",
             "about": "low"},
            {"source_id": "q2", "kind": "document", "title": "Letter", "by": OWNER, "file": "letter.txt", "about": "grey"},
            {"source_id": "q3", "kind": "photo", "title": "Not opened", "file": "raw.dng", "about": "high"},
        ],
        "goals.csv": [{"zone_id": "low", "position": "1", "coat_id": "new", "extent": "full"}],
        "steps.csv": [
            {"step": "1", "action": "strip", "target": "low", "method": "hand"},
            {"step": "2", "action": "coat", "target": "new", "note": "batch seen by Ottilie"},
        ],
        "signoffs.csv": [
            {"subject": "K1", "what": "keep", "by": SIGNER, "on": "2026-03-03", "note": "as Ottilie  Krähwinkel wished"},
            {"subject": "new", "what": "coat accepted", "by": SIGNER, "on": "2026-04-03"},
        ],
        "media/side.jpg": photograph(turned=6),
        "media/letter.txt": f"signed: {OWNER}".encode(),
        "media/raw.dng": b"II*\x00 no picture library opens this",
    }  # fmt: skip


def trailer_folder(tmp_path, **changed):
    """The folder, with some files changed; a file given as None is left out. `steps__csv`: steps.csv."""
    files = trailer() | {name.replace("__", "."): rows for name, rows in changed.items()}
    return write_case(tmp_path / "trailer", {name: rows for name, rows in files.items() if rows is not None})
