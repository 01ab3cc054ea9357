"""A large record for measuring: the demo vehicle with its zones cut finer, surveyed many times over, with many pictures.

The shapes, the covers and the painting are the demo's, so that what is drawn and reckoned is as winding as in a real job.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import count, islice
from pathlib import Path

import numpy as np
import shapely
from PIL import Image, ImageDraw

from bodymap.exchange.open_folder import read_folder
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.model import Reading, Record, Source, Zone
from bodymap.model.record import group_by
from bodymap.store.record_file import Put, RecordFile, create

AT = "2026-03-01T10:15:00.000Z"
DEMO = Path(__file__).parents[2] / "demo" / "vehicle"


@dataclass(frozen=True)
class Size:
    """How much there is of each."""

    zones: int = 300
    readings: int = 5000
    stacks: int = 1000
    pictures: int = 500
    entries: int = 20_000


def large_file(path: Path, size: Size | None = None) -> RecordFile:
    """A record file of that size at `path`, its pictures beside it."""
    size = size or Size()
    content = read_folder(DEMO)
    record = _surveyed(_cut(content.record, size.zones), size)
    media = dict(content.media)
    create(path, record, by="Ann", why="first survey", at=AT, media=media)
    file = RecordFile(path)
    _add_pictures(file, record, size.pictures)
    left = size.entries - file.revision()
    readings = file.record().readings
    for begun in range(0, left, 2500):
        again = [readings[n % len(readings)] for n in range(begun, min(begun + 2500, left))]
        puts = [Put(one.model_copy(update={"um": round(one.um + 0.1 * (1 + begun // 2500), 1)})) for one in again]
        file.append(puts, by="Ben", why="taken again", at=AT, expect=None)
    return file


def _cut(record: Record, zones: int) -> Record:
    """The record with its largest zones cut across until there are so many; a piece has its zone's part, face and covers."""
    pieces = {zone.zone_id: [to_shapely(zone.shape)] for zone in record.zones}
    total = len(pieces)
    while total < zones:
        zone_id, largest = max(((z, max(p.area for p in ps)) for z, ps in pieces.items()), key=lambda found: found[1])
        whole = next(p for p in pieces[zone_id] if p.area == largest)
        pieces[zone_id].remove(whole)
        halves = _halves(whole)
        pieces[zone_id] += halves
        total += len(halves) - 1
    goals = group_by(record.goals, "zone_id")
    finer, cover_rows, goal_rows = [], list(record.covers), list(record.goals)
    for zone in record.zones:
        for number, piece in enumerate(pieces[zone.zone_id]):
            ident = zone.zone_id if number == 0 else f"{zone.zone_id}_{number + 1}"
            name = f"{zone.name or zone.zone_id}, piece {number + 1}" if len(pieces[zone.zone_id]) > 1 else zone.name
            finer.append(zone.model_copy(update={"zone_id": ident, "name": name, "shape": from_shapely(piece)}))
            if number:
                cover_rows += [one.model_copy(update={"zone_id": ident}) for one in record.covers_of.get(zone.zone_id, ())]
                goal_rows += [one.model_copy(update={"zone_id": ident}) for one in goals.get(zone.zone_id, ())]
    return replace(record, zones=tuple(finer), covers=tuple(cover_rows), goals=tuple(goal_rows))


def _halves(piece: shapely.Polygon) -> list[shapely.Polygon]:
    """A surface cut across its longer side, in the middle; crumbs go with nothing."""
    x0, y0, x1, y1 = piece.bounds
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    first, second = (
        ((x0, y0, middle[0], y1), (middle[0], y0, x1, y1))
        if x1 - x0 > y1 - y0
        else ((x0, y0, x1, middle[1]), (x0, middle[1], x1, y1))
    )
    parts = [part for box in (first, second) for part in shapely.get_parts(piece.intersection(shapely.box(*box)))]
    return [part for part in parts if isinstance(part, shapely.Polygon) and part.area > 1]


def _surveyed(record: Record, size: Size) -> Record:
    """The record with its stacks and readings repeated on other pieces until there are so many."""
    random = np.random.default_rng(7)
    places = {zone.zone_id: _places(zone, random) for zone in record.zones}
    family = _families(record)
    stacks, layers, numbers = list(record.stacks), list(record.layers), count(1)
    while len(stacks) < size.stacks:
        for one in record.stacks[: size.stacks - len(stacks)]:
            ident = f"L{next(numbers):04}"
            zone_id = _one_of(family[one.zone_id], len(stacks))
            x, y = next(places[zone_id])
            stacks.append(one.model_copy(update={"stack_id": ident, "zone_id": zone_id, "x": x, "y": y}))
            layers += [layer.model_copy(update={"stack_id": ident}) for layer in record.layers_of.get(one.stack_id, ())]
    return replace(
        record, stacks=tuple(stacks), layers=tuple(layers), readings=_readings(record, size, family, places, random)
    )


def _readings(
    record: Record,
    size: Size,
    family: Mapping[str, Sequence[str]],
    places: Mapping[str, Iterator[tuple[float, float]]],
    random: np.random.Generator,
) -> tuple[Reading, ...]:
    """The readings and more of their kind: a spot is read as often as it was, at another place of the same surface."""
    spots = group_by([one for one in record.readings if one.spot], "spot")
    readings, numbers = list(record.readings), count(1)
    while len(readings) < size.readings:
        for own in spots.values():
            number = next(numbers)
            zone_id = _one_of(family[own[0].zone_id], number)
            x, y = next(places[zone_id])
            for one in own[: size.readings - len(readings)]:
                said = {"reading_id": f"LR{len(readings):05}", "zone_id": zone_id, "x": x, "y": y, "spot": f"L{number:04}"}
                readings.append(one.model_copy(update=said | {"um": round(float(one.um + random.normal(0, 3)), 1)}))
    return tuple(readings)


def _families(record: Record) -> Mapping[str, Sequence[str]]:
    """Of each zone those that were cut from the same."""
    found: dict[str, list[str]] = {}
    known = {zone.zone_id for zone in record.zones}
    for zone in record.zones:
        stem, _, number = zone.zone_id.rpartition("_")
        found.setdefault(stem if number.isdigit() and stem in known else zone.zone_id, []).append(zone.zone_id)
    return found


def _one_of(zones: Sequence[str], number: int) -> str:
    return zones[number % len(zones)]


def _places(zone: Zone, random: np.random.Generator) -> Iterator[tuple[float, float]]:
    """Places in a zone, without end, in drawing mm."""
    shape = to_shapely(zone.shape)
    shapely.prepare(shape)
    x0, y0, x1, y1 = shape.bounds
    while True:
        found = np.column_stack([random.uniform(x0, x1, 64), random.uniform(y0, y1, 64)])
        inside = found[shapely.contains_xy(shape, *found.T)]
        yield from ((round(float(x), 1), round(float(y), 1)) for x, y in inside)


def _add_pictures(file: RecordFile, record: Record, pictures: int) -> None:
    """Photos of zones, each a picture of its own."""
    puts = []
    for number, zone in islice(zip(count(1), record.zones * pictures, strict=False), pictures):
        item = file.add_media(f"look_{number:03}.jpg", _picture(number))
        about = (zone.zone_id,)
        puts += [
            Put(item),
            Put(Source(source_id=f"LQ{number:03}", kind="photo", title=f"Look {number}", file=item.name, about=about)),
        ]
    file.append(puts, by="Ann", why="photos of every face", at=AT, expect=None)


def _picture(number: int) -> bytes:
    """A photo as a tablet takes it, in small: 1600 × 1200, about 300 KB."""
    random = np.random.default_rng(number)
    rough = random.integers(60, 200, (75, 100, 3), dtype=np.uint8)
    picture = Image.fromarray(rough).resize((1600, 1200), Image.Resampling.BICUBIC)
    ImageDraw.Draw(picture).text((40, 40), f"look {number}", fill="white")
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=88)
    return out.getvalue()
