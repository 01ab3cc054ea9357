"""Not yet seen: faces that lack a look, a look down to the metal, a photo or a usable reading, the most telling first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bodymap.film.summary import zone_film
from bodymap.geometry.areas import AreasReport
from bodymap.history.look_next import Look
from bodymap.model import Record, Zone
from bodymap.model.drawing import DrawingKind
from bodymap.views.zone_card import FACE_WORDS, sources_of

Lack = Literal["look", "substrate", "photo", "reading"]
LACKS: dict[Lack, str] = {
    "look": "never looked at",
    "substrate": "not down to the substrate",
    "photo": "no photo",
    "reading": "no usable reading",
}


@dataclass(frozen=True)
class UnseenFace:
    """A face and what it lacks.

    Attributes:
        settles: facts of the history, short of proven, which looks at this face would settle; 0: none, or the stacks run in
            a circle.
        surface_mm2: true area.
    """

    zone_id: str
    title: str
    part_name: str
    face_words: str
    drawing_id: str
    sheet: DrawingKind
    lacks: tuple[Lack, ...]
    settles: int
    surface_mm2: float

    @property
    def hidden(self) -> bool:
        """Whether it is seen only when something is off or open."""
        return self.sheet == "hidden"


def unseen_faces(record: Record, areas: AreasReport, looks: Sequence[Look]) -> tuple[UnseenFace, ...]:
    """Faces that lack anything: those that settle most first, of those the hidden ones, of those the greatest.

    `areas` and `looks` (where to look next, `read_history(record).looks`) are of this record.
    """
    settled: dict[str, set[str]] = {}
    for look in looks:
        settled.setdefault(look.zone, set()).update(look.settles)
    faces = [
        UnseenFace(
            zone_id=zone.zone_id,
            title=zone.title,
            part_name=record.part[zone.part_id].name,
            face_words=FACE_WORDS[zone.face],
            drawing_id=zone.drawing_id,
            sheet=record.drawing[zone.drawing_id].kind,
            lacks=lacks,
            settles=len(settled.get(zone.zone_id, ())),
            surface_mm2=areas.zones[zone.zone_id].surface_mm2,
        )
        for zone in record.zones
        if (lacks := _lacks(record, zone))
    ]
    return tuple(sorted(faces, key=lambda face: (-face.settles, not face.hidden, -face.surface_mm2)))


def _lacks(record: Record, zone: Zone) -> tuple[Lack, ...]:
    lacks: list[Lack] = []
    stacks = record.stacks_of.get(zone.zone_id, ())
    if not stacks:
        lacks.append("look")
    elif not any(stack.reaches_substrate for stack in stacks):
        lacks.append("substrate")
    if not any(source.kind == "photo" for source in sources_of(record, zone)):
        lacks.append("photo")
    if not zone_film(record, zone.zone_id).n:
        lacks.append("reading")
    return tuple(lacks)
