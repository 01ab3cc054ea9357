"""The parts as they are handled: tag and marks, where each lies now, its partner on the other side, its faces and areas.

Where a part lies has no column of its own: it is said by a statement, a source of kind `statement` whose title begins with
`Where it lies:`, about that part alone, with who and when. Each move is a new statement and the old ones stay; the last
one in the record counts.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Literal

from bodymap.film.twins import zone_pairs
from bodymap.geometry.areas import AreasReport
from bodymap.model import Part, Record, Source
from bodymap.model.part import Substrate
from bodymap.model.source import LIES
from bodymap.settings import Settings
from bodymap.views.zone_card import FACE_WORDS

ON_THE_VEHICLE = "on the vehicle"


@dataclass(frozen=True)
class PartFace:
    """A zone of a part, with its true area [mm²]."""

    zone_id: str
    title: str
    face_words: str
    surface_mm2: float


@dataclass(frozen=True)
class Hidden:
    """A zone that a part hides; `gap` None: not stated."""

    zone_id: str
    title: str
    gap: bool | None


@dataclass(frozen=True)
class PartCard:
    """One part.

    Attributes:
        side: left or right, told by its partner; empty: it has none. sides: names of the outside drawings it is seen on.
        first_coat: name of the first coat applied after it came; empty: there from the start.
        partner_id, partner_name: the same part on the other side; empty: none is known.
        lies: where it lies now, empty: not stated; lies_by, lies_on: who said it, and when.
        drawn_mm2, surface_mm2: drawn and true area of its zones.
    """

    part_id: str
    name: str
    substrate: Substrate
    removable: bool
    marks: str
    first_coat: str
    side: Literal["", "left", "right"]
    sides: tuple[str, ...]
    partner_id: str
    partner_name: str
    lies: str
    lies_by: str
    lies_on: str
    faces: tuple[PartFace, ...]
    hides: tuple[Hidden, ...]
    drawn_mm2: float
    surface_mm2: float


def part_cards(record: Record, areas: AreasReport, settings: Settings) -> tuple[PartCard, ...]:
    """Every part, in the order of the record. `areas`: of this record."""
    pairs = part_pairs(record, settings)
    partners = dict(pairs) | {right: left for left, right in pairs}
    sides: dict[str, Literal["", "left", "right"]] = {right: "right" for _, right in pairs}
    sides |= {left: "left" for left, _ in pairs}
    return tuple(
        _card(record, areas, part, record.part.get(partners.get(part.part_id, "")), sides.get(part.part_id, ""))
        for part in record.parts
    )


def part_pairs(record: Record, settings: Settings) -> tuple[tuple[str, str], ...]:
    """Left and right parts: each the one that most zones of the other have their twin on."""
    lefts: dict[str, Counter[str]] = {}
    rights: dict[str, Counter[str]] = {}
    for pair in zone_pairs(record, settings):
        left, right = (record.zone[zone].part_id for zone in (pair.left, pair.right))
        if left != right:
            lefts.setdefault(left, Counter())[right] += 1
            rights.setdefault(right, Counter())[left] += 1
    best = {right: counted.most_common(1)[0][0] for right, counted in rights.items()}
    mutual = ((left, counted.most_common(1)[0][0]) for left, counted in lefts.items())
    return tuple((left, right) for left, right in mutual if best[right] == left)


def statements_of_place(record: Record, part_id: str) -> tuple[Source, ...]:
    """Every statement of where a part lay, the first first; the last one counts."""
    return tuple(
        source
        for source in record.sources
        if source.kind == "statement" and source.about == (part_id,) and source.title.startswith(LIES)
    )


def place_in(source: Source) -> str:
    """The place that a statement names."""
    return source.title.removeprefix(LIES).strip()


def _card(
    record: Record, areas: AreasReport, part: Part, partner: Part | None, side: Literal["", "left", "right"]
) -> PartCard:
    zones = record.zones_of_part.get(part.part_id, ())
    said = statements_of_place(record, part.part_id)
    last = said[-1] if said else None
    coat = record.coat.get(part.first_coat or "")
    drawings = dict.fromkeys(zone.drawing_id for zone in zones)
    return PartCard(
        part_id=part.part_id,
        name=part.name,
        substrate=part.substrate,
        removable=part.removable,
        marks=part.marks or "",
        first_coat=f"{coat.coat_id} {coat.name}" if coat else "",
        side=side,
        sides=tuple(record.drawing[one].name for one in drawings if record.drawing[one].kind == "outside"),
        partner_id=partner.part_id if partner else "",
        partner_name=partner.name if partner else "",
        lies=place_in(last) if last else "",
        lies_by=(last.by or "") if last else "",
        lies_on=(last.date or "") if last else "",
        faces=tuple(
            PartFace(zone.zone_id, zone.title, FACE_WORDS[zone.face], areas.zones[zone.zone_id].surface_mm2)
            for zone in zones
        ),
        hides=tuple(
            Hidden(cover.zone_id, record.zone[cover.zone_id].title, cover.gap)
            for cover in record.covers
            if cover.part_id == part.part_id
        ),
        drawn_mm2=sum(areas.zones[zone.zone_id].drawn_mm2 for zone in zones),
        surface_mm2=sum(areas.zones[zone.zone_id].surface_mm2 for zone in zones),
    )
