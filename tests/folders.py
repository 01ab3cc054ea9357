"""Builds small open folders for tests, with a writer of its own: nothing here goes through the code that is tested.

    folder = write_case(tmp_path / "tank", tank())
    folder = write_case(tmp_path / "tank", tank() | {"coats.csv": [{"coat_id": "c1", "name": "red", "kind": "primer"}]})

A file is given as a list of rows or features (dicts), or as text or bytes to be written as they are. A feature is a
dict of its properties, with the geometry under "geometry".
"""

from __future__ import annotations

import copy
import csv
import io
import json
from pathlib import Path


def write_case(path, files):
    """Write a folder; `files`: name (also `media/x.jpg`) to rows, features, text or bytes. Returns the folder."""
    path = Path(path)
    path.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        file = path / name
        file.parent.mkdir(exist_ok=True)
        if isinstance(content, str):
            content = content.encode()
        elif isinstance(content, (list, tuple)):
            content = (geojson(content) if name.endswith(".geojson") else rows(content)).encode()
        file.write_bytes(content)
    return path


def rows(dicts):
    """CSV text of rows, with the union of their keys as header."""
    header = list(dict.fromkeys(key for row in dicts for key in row))
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, header, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(dicts)
    return text.getvalue()


def geojson(features):
    """GeoJSON text of features given as flat dicts."""
    return json.dumps(
        {
            "type": "FeatureCollection",
            "features": [
                {
                    "type": "Feature",
                    "properties": {key: value for key, value in feature.items() if key != "geometry"},
                    "geometry": feature.get("geometry"),
                }
                for feature in features
            ],
        }
    )


def box(x, y, width, height):
    """A rectangle as a GeoJSON Polygon, counter-clockwise, its lower left corner at x, y; in mm."""
    ring = [[x, y], [x + width, y], [x + width, y + height], [x, y + height], [x, y]]
    return {"type": "Polygon", "coordinates": [ring]}


def tank():
    """A water tank on a hand cart: a small valid vehicle with one entry or two in every file, as `write_case` takes it."""
    return copy.deepcopy(TANK)


TANK = {
    "vehicle.csv": [{"vehicle_id": "tank", "name": "Water tank on a hand cart", "year": "about 1950"}],
    "drawings.csv": [
        {"drawing_id": "left", "name": "Left side", "kind": "outside", "scale": "measured"},
        {"drawing_id": "right", "name": "Right side", "kind": "outside", "mirror_of": "left"},
    ],
    "outline.geojson": [
        {"drawing_id": "left", "kind": "body", "geometry": box(0, 0, 1200, 600)},
        {
            "drawing_id": "left",
            "kind": "shut_line",
            "name": "lid joint",
            "geometry": {"type": "LineString", "coordinates": [[0, 500], [1200, 500]]},
        },
    ],
    "parts.csv": [
        {"part_id": "shell", "name": "Shell", "substrate": "steel", "removable": "no"},
        {"part_id": "lid", "name": "Lid", "substrate": "aluminium", "removable": "yes", "first_coat": "grey"},
    ],
    "zones.geojson": [
        {
            "zone_id": "shell_left",
            "drawing_id": "left",
            "part_id": "shell",
            "face": "outer",
            "surface_ratio": 1.1,
            "surface_ratio_from": "two girths",
            "intent": "as_built",
            "geometry": box(0, 0, 1200, 500),
        },
        {"zone_id": "rim", "drawing_id": "left", "part_id": "shell", "face": "flange", "geometry": box(0, 500, 1200, 40)},
        {"zone_id": "lid_top", "drawing_id": "left", "part_id": "lid", "face": "outer", "geometry": box(0, 540, 1200, 60)},
        {
            "zone_id": "shell_right",
            "drawing_id": "right",
            "part_id": "shell",
            "face": "outer",
            "geometry": box(0, 0, 1200, 500),
        },
    ],
    "covers.csv": [{"zone_id": "rim", "part_id": "lid", "gap": "yes"}],
    "datums.geojson": [
        {
            "datum_id": "base",
            "drawing_id": "left",
            "name": "Lower edge",
            "geometry": {"type": "LineString", "coordinates": [[0, 0], [1200, 0]]},
        },
    ],
    "coats.csv": [
        {"coat_id": "red", "name": "Red oxide", "kind": "primer", "colour": "#7a2e1f", "um_low": "15", "um_high": "25"},
        {
            "coat_id": "grey",
            "name": "Grey",
            "kind": "colour",
            "colour": "#808a8f",
            "um_low": "30",
            "um_high": "45.5",
            "era": "1950",
        },
    ],
    "stacks.csv": [
        {
            "stack_id": "s1",
            "zone_id": "shell_left",
            "x": "300",
            "y": "250.5",
            "method": "window",
            "reaches_substrate": "yes",
            "by": "R. Weld",
            "date": "2026-03-01",
            "confidence": "high",
        },
        {"stack_id": "s2", "zone_id": "rim", "x": "10", "y": "520", "method": "chip", "reaches_substrate": "no"},
    ],
    "layers.csv": [
        {"stack_id": "s1", "position": "1", "coat_id": "red", "extent": "full", "um": "20"},
        {"stack_id": "s1", "position": "2", "coat_id": "grey", "extent": "full", "interface": "dirt;scratch"},
        {"stack_id": "s2", "position": "1", "coat_id": "grey", "extent": "mist", "cut_back": "no"},
    ],
    "areas.geojson": [
        {
            "area_id": "witness",
            "drawing_id": "left",
            "purpose": "keep",
            "edge": "hard",
            "margin": 40,
            "origin": "original",
            "geometry": box(100, 100, 60, 200),
        },
        {
            "area_id": "lettering",
            "drawing_id": "left",
            "purpose": "mask",
            "edge": "soft",
            "geometry": box(500, 200, 300, 80),
        },
    ],
    "findings.geojson": [
        {
            "finding_id": "f1",
            "drawing_id": "left",
            "kind": "dent",
            "depth": 2.5,
            "severity": 2,
            "geometry": {"type": "Point", "coordinates": [900, 300]},
        },
        {"finding_id": "f2", "drawing_id": "left", "kind": "other", "note": "noise when knocked, place not found yet"},
    ],
    "lines.geojson": [
        {
            "line_id": "l1",
            "drawing_id": "left",
            "width": 4,
            "colour": "#fffff0",
            "hand": "brush",
            "geometry": {"type": "LineString", "coordinates": [[0, 450], [600, 452], [1200, 450]]},
        },
    ],
    "readings.csv": [
        {
            "reading_id": "r1",
            "zone_id": "shell_left",
            "x": "300",
            "y": "250",
            "um": "61.5",
            "principle": "magnetic",
            "taken": "2026-03-01T10:15:00Z",
            "phase": "as found",
            "spot": "1",
        },
        {"reading_id": "r2", "zone_id": "lid_top", "um": "44", "principle": "eddy", "phase": "grey"},
    ],
    "sources.csv": [
        {"source_id": "q1", "kind": "photo", "title": "Left side, unwashed", "file": "left.jpg", "about": "shell_left;tank"},
    ],
    "goals.csv": [
        {"zone_id": "shell_left", "position": "1", "coat_id": "red", "extent": "full"},
        {"zone_id": "shell_left", "position": "2", "coat_id": "grey", "extent": "full"},
    ],
    "steps.csv": [
        {"step": "1", "action": "remove", "target": "lid"},
        {"step": "2", "action": "mask", "target": "lettering"},
        {"step": "3", "action": "strip", "target": "shell_left;rim"},
        {"step": "4", "action": "coat", "target": "grey", "parts": "only;lid"},
        {"step": "5", "action": "coat", "target": "grey", "parts": "lid"},
        {"step": "6", "action": "unmask", "target": "lettering"},
        {"step": "7", "action": "fit", "target": "lid"},
    ],
    "signoffs.csv": [
        {"subject": "vehicle", "what": "survey complete", "by": "R. Weld", "on": "2026-03-02"},
        {"subject": "witness", "what": "keep", "by": "R. Weld", "on": "2026-03-02", "note": "the only full stack"},
    ],
    "settings.csv": [{"key": "corner_deg", "value": "25", "basis": "own trial", "source": "tried on the lid"}],
    "media/left.jpg": b"\xff\xd8not a real picture\xff\xd9",
}

# The least that is a record: a vehicle and nothing seen yet.
BARE = {"vehicle.csv": [{"vehicle_id": "tank", "name": "Water tank"}]}
