"""A small record by hand, in which every kind stands once at least, and what tests of the record file share."""

from __future__ import annotations

import hashlib
import sqlite3
from contextlib import closing
from pathlib import Path

from bodymap.model import (
    Area,
    Coat,
    Cover,
    Datum,
    Drawing,
    Finding,
    Goal,
    Layer,
    Line,
    MediaFile,
    OutlineShape,
    Part,
    Reading,
    Record,
    Setting,
    Signoff,
    Source,
    Stack,
    Step,
    Vehicle,
    Zone,
)
from bodymap.store.record_file import RecordFile, create

ROOT = Path(__file__).parents[2]
AT = "2026-03-01T10:15:00.000Z"
LATER = "2026-03-02T08:00:00.000Z"
PHOTO = b"\xff\xd8 not really a picture \xff\xd9"


def square(x, y, side, *holes):
    ring = [[x, y], [x + side, y], [x + side, y + side], [x, y + side], [x, y]]
    return {"type": "Polygon", "coordinates": [ring, *holes]}


def line(*positions):
    return {"type": "LineString", "coordinates": [list(position) for position in positions]}


HOLE = [[2.5, 2.5], [2.5, 7.5], [7.5, 7.5], [7.5, 2.5], [2.5, 2.5]]


def entries():
    """Every kind; a hole, two polygons in one shape, a finding without geometry, blanks, and a third of a millimetre."""
    yield Vehicle(vehicle_id="tricycle", name="Delivery tricycle", notes="")
    yield Drawing(drawing_id="left", name="Left", kind="outside", scale="measured")
    yield OutlineShape(drawing_id="left", kind="wheel", shape={"type": "Point", "coordinates": [1 / 3, -0.0]})
    yield OutlineShape(drawing_id="left", kind="body", name="box", shape=line((0, 0), (100, 0.1)))
    yield Part(part_id="box", name="Box", substrate="steel", removable=False)
    yield Part(part_id="lid", name="Lid", substrate="aluminium", removable=True, more={"old_number": "0012"})
    yield Zone(
        zone_id="side",
        drawing_id="left",
        part_id="box",
        face="outer",
        surface_ratio=1.25,
        shape=square(0, 0, 10, HOLE),
        more={"seen": True, "depth": 2, "depth_mm": 2.0, "list": [1, None, "µ"]},
    )
    yield Zone(
        zone_id="top",
        drawing_id="left",
        part_id="lid",
        face="outer",
        shape={"type": "MultiPolygon", "coordinates": [square(20, 0, 5)["coordinates"], square(30, 0, 5)["coordinates"]]},
    )
    yield Cover(zone_id="side", part_id="lid", gap=False)
    yield Datum(datum_id="edge", drawing_id="left", name="Lower edge", shape=line((0, 0), (40, 0)))
    yield Coat(coat_id="primer", name="Primer", kind="primer", um_low=15.0, um_high=25.0)
    yield Coat(coat_id="green", name="Green", kind="colour", colour="#336633", looks_like=("primer",))
    yield Stack(stack_id="s1", zone_id="side", method="window", reaches_substrate=True, x=1.5, y=2.25, date="1969-07")
    yield Layer(stack_id="s1", position=1, coat_id="primer", extent="full", interface=("dirt", "scratch"), um=20.0)
    yield Layer(stack_id="s1", position=2, coat_id="green", extent="mist")
    yield Area(area_id="keep", drawing_id="left", purpose="keep", margin=2.0, shape=square(1, 1, 1))
    yield Finding(finding_id="dent", drawing_id="left", kind="dent", severity=3)
    yield Finding(
        finding_id="chip",
        drawing_id="left",
        kind="chip",
        shape={"type": "GeometryCollection", "geometries": [{"type": "Point", "coordinates": [1, 1]}, line((1, 1), (2, 2))]},
    )
    yield Line(line_id="coachline", drawing_id="left", width=3.0, shape=line((0, 5), (10, 5), (10, 6)))
    yield Reading(reading_id="r1", zone_id="side", um=42.0, principle="magnetic", by="Ann")
    yield Reading(reading_id="r2", zone_id="side", um=0.1 + 0.2, principle="magnetic")
    yield Source(source_id="photo", kind="photo", title="Yard, 1969", file="yard.JPG", about=("side", "lid"))
    yield Goal(zone_id="side", position=1, coat_id="primer", extent="full")
    yield Step(step=1, action="coat", target=("primer",), parts=("only", "lid"))
    yield Signoff(subject="side", what="keep", by="Ann", on="2026-03-01")
    yield Signoff(subject="vehicle", what="survey complete", by="Ann", on="2026-03-01")
    yield Setting(key="corner_deg", value="25", basis="own trial")
    yield MediaFile(name="yard.JPG", sha256=hashlib.sha256(PHOTO).hexdigest(), size_bytes=len(PHOTO))


def specimen() -> Record:
    return Record.of(entries(), {"zones.geojson": {"plane": {"unit": "mm"}, "one": 1, "one_point_nought": 1.0}})


def made(folder: Path, record: Record | None = None, name="tricycle.gpkg", **said) -> RecordFile:
    """A record file of the specimen, or of another record without media."""
    folder.mkdir(exist_ok=True)
    media = {}
    if record is None:
        photo = folder / "photo-from-elsewhere.jpg"
        photo.write_bytes(PHOTO)
        media = {"yard.JPG": photo}
    create(folder / name, record or specimen(), **{"by": "Ann", "why": "first survey", "at": AT, "media": media} | said)
    return RecordFile(folder / name)


def forge(path: Path, *statements: str) -> None:
    """Changes a record file as a person with an SQL tool could: triggers off, no foreign keys; triggers put back."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("BEGIN")
        triggers = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            connection.execute(statement)
        for _, sql in triggers:
            connection.execute(sql)
        connection.commit()
