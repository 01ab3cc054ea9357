"""Hidden faces from a form: what is no part of any outside view, laid flat on a hidden drawing at its true size.

Where such a face lies on its sheet means nothing; it is put where there is room.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import shapely

from bodymap.errors import BodymapError, Fault, Faults
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.curves import box
from bodymap.geometry.proposal import Proposal
from bodymap.model import Cover, Drawing, Record, Zone
from bodymap.model.zone import Face
from bodymap.settings import Settings

Form = Literal["flange", "jamb", "seat", "channel"]
# A seat is what a flange is bolted to; the faces a record knows have no word of its own for it.
FORMS: Mapping[str, Face] = {"flange": "flange", "jamb": "jamb", "seat": "flange", "channel": "channel"}
BASIS = "faces measured with a tape and laid flat, each at its true size; where they lie on the sheet means nothing"
_LONGEST_MM = 20_000.0
_SHEET_MM = 4_000.0


@dataclass(frozen=True)
class HiddenFace:
    """What the form asks.

    Attributes:
        form: what it is.
        part_id: the part it is on.
        length_mm: along it.
        width_mm: across it; of a channel, over its walls and floor together.
        covered_by: the parts that hide it when they are on the vehicle.
        gap: mist can drift in past them; None: not stated.
        zone_id: blank: made from part and form.
        name: blank: made from part and form.
    """

    form: Form
    part_id: str
    length_mm: float
    width_mm: float
    covered_by: tuple[str, ...] = ()
    gap: bool | None = None
    zone_id: str = ""
    name: str = ""


def hidden_face(record: Record, face: HiddenFace, settings: Settings, drawing_id: str | None = None) -> Proposal:
    """The zone of a hidden face, what hides it, and its drawing where there is none yet.

    Args:
        record: the record.
        face: what the form says.
        settings: for `hidden_space_mm`, the free space round it.
        drawing_id: the hidden drawing; None: the first there is, else a new one, `hidden`.

    Raises:
        Faults: everything that is wrong with the form.
        BodymapError: the drawing is not one of hidden faces.
    """
    faults = list(_wrong(record, face))
    if faults:
        raise Faults("hidden face", faults)
    drawing, new = _drawing(record, drawing_id)
    taken = [to_shapely(zone.shape).bounds for zone in record.zones_on.get(drawing.drawing_id, ())]
    taken += [to_shapely(shape.shape).bounds for shape in record.outline if shape.drawing_id == drawing.drawing_id]
    x, y = free_place(taken, face.length_mm, face.width_mm, settings.value("hidden_space_mm"))
    part = record.part[face.part_id]
    zone = Zone(
        zone_id=face.zone_id or _free_id(record, f"{face.part_id[:52]}_{face.form}"),
        drawing_id=drawing.drawing_id,
        part_id=face.part_id,
        face=FORMS[face.form],
        name=face.name or f"{part.name}, {face.form}",
        shape=from_shapely(box(x, y, x + face.length_mm, y + face.width_mm)),
    )
    covers = tuple(Cover(zone_id=zone.zone_id, part_id=part_id, gap=face.gap) for part_id in face.covered_by)
    questions = () if covers else (f"{zone.title}: what hides it has not been stated",)
    return Proposal((*((drawing,) if new else ()), zone, *covers), questions=questions)


def free_place(
    taken: Sequence[tuple[float, float, float, float]], length_mm: float, width_mm: float, space_mm: float
) -> tuple[float, float]:
    """Lower left corner [mm] of free room for a rectangle: the highest there is on the sheet, then the one farthest left.

    Args:
        taken: what lies there, as (least x, least y, greatest x, greatest y).
        length_mm: along x.
        width_mm: along y.
        space_mm: to be left free on all sides.

    >>> free_place([(0, 0, 100, 50)], 40, 10, 5)
    (105.0, 40.0)
    """
    if not taken:
        return 0.0, 0.0
    low_x, _, high_x, high_y = shapely.total_bounds([shapely.box(*bounds) for bounds in taken]).tolist()
    right = max(high_x, low_x + _SHEET_MM)
    columns = sorted({low_x, *(bounds[2] + space_mm for bounds in taken)})
    rows = sorted({high_y - width_mm, *(bounds[1] - space_mm - width_mm for bounds in taken)}, reverse=True)
    for y in rows:
        for x in columns:
            fits = x == low_x or x + length_mm <= right
            if fits and not any(_meets((x, y, x + length_mm, y + width_mm), bounds, space_mm) for bounds in taken):
                return float(x), float(y)
    raise AssertionError("below everything there is always room")  # pragma: no cover


def _meets(one: tuple[float, ...], other: tuple[float, ...], space_mm: float) -> bool:
    near = space_mm - 1e-6
    across = one[0] < other[2] + near and other[0] < one[2] + near
    return across and one[1] < other[3] + near and other[1] < one[3] + near


def _wrong(record: Record, face: HiddenFace) -> list[Fault]:
    faults = []

    def fault(column: str, found: str, allowed: str) -> None:
        faults.append(Fault("hidden face", column=column, found=found, allowed=allowed))

    if face.form not in FORMS:
        fault("form", repr(face.form), " or ".join(FORMS))
    for column, value in (("length_mm", face.length_mm), ("width_mm", face.width_mm)):
        if not math.isfinite(value) or not 0 < value <= _LONGEST_MM:
            fault(column, f"{value:g} mm", f"above 0 and up to {_LONGEST_MM:g} mm")
    for part_id in (face.part_id, *face.covered_by):
        if part_id not in record.part:
            fault("part_id" if part_id == face.part_id else "covered_by", repr(part_id), "a part of this record")
    if face.part_id in face.covered_by:
        fault("covered_by", f"{face.part_id!r}, the part it is on", "other parts")
    if len(set(face.covered_by)) != len(face.covered_by):
        fault("covered_by", "a part twice", "each part once")
    if face.zone_id and face.zone_id in record.ids:
        fault("zone_id", repr(face.zone_id), "an id that nothing in this record has")
    return faults


def _drawing(record: Record, drawing_id: str | None) -> tuple[Drawing, bool]:
    if drawing_id is not None:
        drawing = record.drawing.get(drawing_id)
        if drawing is None or drawing.kind != "hidden":
            raise BodymapError(f"hidden face: found the drawing {drawing_id!r}; allowed: a drawing of hidden faces")
        return drawing, False
    for drawing in record.drawings:
        if drawing.kind == "hidden":
            return drawing, False
    ident = _free_id(record, "hidden")
    return Drawing(drawing_id=ident, name="Hidden faces", kind="hidden", scale="measured", scale_from=BASIS), True


def _free_id(record: Record, wish: str) -> str:
    ident, number = wish, 2
    while ident in record.ids:
        ident = f"{wish}_{number}"
        number += 1
    return ident
