"""A small survey in which nothing stands against stripping the left side, and what tests change of it.

A cart 1000 × 600 with a tail board beside it. All lengths are mm.
"""

from __future__ import annotations

from bodymap.model import (
    Area,
    Coat,
    Drawing,
    Layer,
    Line,
    Part,
    Reading,
    Record,
    Signoff,
    Source,
    Stack,
    Step,
    Vehicle,
    Zone,
)
from bodymap.release.checks import release_of
from bodymap.settings import in_force

SETTINGS = in_force()


def rect(x0, y0, x1, y1):
    return {"type": "Polygon", "coordinates": [[[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]]]}


def signed(subject, what, by, on="2026-03-01", note=None):
    return Signoff(subject=subject, what=what, by=by, on=on, note=note)


def readings(zone="side", principle="magnetic", spots=5):
    return [
        Reading(reading_id=f"{zone}{n}", zone_id=zone, um=200, principle=principle, spot=f"{zone}{n}") for n in range(spots)
    ]


KEEP = Area(area_id="K", drawing_id="left", purpose="keep", edge="hard", margin=50, shape=rect(100, 100, 160, 300))
STRIP = Step(step=2, action="strip", target=("side",), method="chemical")
RELEASES = (signed("side", "release to strip", "Ann"), signed("side", "release to strip", "Ben", "2026-03-02"))


def cart(*more, without=()):
    """The whole record; `without`: ids (or `kind:id`, or what of a sign-off) of entries left out; `more` is added."""
    entries = [
        Vehicle(vehicle_id="cart", name="Cart"),
        Drawing(drawing_id="left", name="Left", kind="outside"),
        Drawing(drawing_id="hid", name="Hidden", kind="hidden"),
        Part(part_id="body", name="Body", substrate="steel", removable=False),
        Part(part_id="board", name="Tail board", substrate="grp", removable=True),
        Zone(zone_id="side", drawing_id="left", part_id="body", face="outer", shape=rect(0, 0, 1000, 600)),
        Zone(zone_id="flange", drawing_id="hid", part_id="body", face="flange", shape=rect(0, 0, 1000, 20)),
        Zone(zone_id="tail", drawing_id="left", part_id="board", face="outer", shape=rect(1010, 0, 1500, 600)),
        Coat(coat_id="red", name="Red", kind="colour"),
        Stack(stack_id="s1", zone_id="side", method="window", reaches_substrate=True, date="2026-02-01"),
        Layer(stack_id="s1", position=1, coat_id="red", extent="full", um=40),
        Stack(stack_id="s2", zone_id="flange", method="surface", reaches_substrate=False),
        KEEP,
        Line(line_id="L", drawing_id="left", width=4, shape={"type": "LineString", "coordinates": [[0, 500], [1600, 500]]}),
        *readings(),
        Source(source_id="photo", kind="photo", title="Left side", about=("body",), date="2026-01-10"),
        Source(source_id="offsets", kind="measurement", title="Line", about=("L",)),
        Step(step=1, action="mask", target=("K",)),
        STRIP,
        signed("vehicle", "hazards tested", "Ann"),
        signed("K", "keep", "Ann"),
        *RELEASES,
    ]
    kept = [entry for entry in entries if entry.ident not in without and getattr(entry, "what", "") not in without]
    return Record.of([*kept, *more])


def codes(record, zone="side"):
    """Codes of what stands against stripping a zone."""
    return [blocker.code for blocker in release_of(record, SETTINGS)[zone].blockers]


def blocker(record, code, zone="side"):
    """The one blocker with a code."""
    (found,) = [one for one in release_of(record, SETTINGS)[zone].blockers if one.code == code]
    return found
