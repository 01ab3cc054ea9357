"""A side of the vehicle turned into its left-right twin: shapes, zones, datums and areas; evidence is not.

What was seen on one side was not seen on the other. So lines and findings are handed back as positions to look at, not
as entries; and lettering is never turned round: a position mirrors, text does not (it is asked about).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np
import shapely

from bodymap.errors import BodymapError, Fault, Faults
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.proposal import Proposal
from bodymap.model import Area, Datum, Drawing, Entry, OutlineShape, Part, Record, Shape, Zone

_SIDES = {"L": "R", "R": "L", "left": "right", "right": "left", "nearside": "offside", "offside": "nearside"}
_SIDE_WORDS = re.compile(r"\b(left|right|nearside|offside)\b|\b(near|off)(?=[ -]side\b)", re.IGNORECASE)
_LETTERING = re.compile(
    r"\bletter|\btext\b|sign.?writ|\bscript\b|\bnumbers?\b|\bnumerals?\b|inscription|\bbadge|\bemblem|\btransfers?\b|"
    r"\bdecals?\b|\blogo|(number|name|registration|maker'?s) ?plate|plaque",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Position:
    """Where on the twin to look for what was found on this side: no entry, and nothing seen there yet."""

    kind: str
    ident: str
    shape: Shape
    words: str


@dataclass(frozen=True)
class TwinSide:
    """A proposal for the twin, and positions to look at on it."""

    proposal: Proposal
    positions: tuple[Position, ...] = ()


@dataclass
class _Making:
    record: Record
    turn: Callable[[Shape], Shape]
    to_id: str
    ids: dict[str, str]
    parts: dict[str, str] = field(default_factory=dict)
    questions: list[str] = field(default_factory=list)


def twin_side(record: Record, drawing_id: str, to_id: str, *, name: str = "", axis_x: float | None = None,
              twin_of: Mapping[str, str] | None = None) -> TwinSide:  # fmt: skip
    """The twin of an outside drawing.

    Args:
        record: the record.
        drawing_id: the side that is drawn.
        to_id: its twin; a drawing that is there already must be empty but for what has no shape there yet.
        name: of the twin, where it is new; blank: that of the side with the words for left and right changed.
        axis_x: x of the vertical line to turn about [mm]; None: the middle of all that is drawn, so that the twin takes the
            same place on its sheet.
        twin_of: ids on the twin by ids on this side (parts, zones, datums, areas), where the words for left and right in
            an id do not tell.

    Raises:
        BodymapError: no such drawing, one of hidden faces, or a drawing that would be its own twin.
        Faults: each id that would be on the twin and is there already.
    """
    side = _drawing(record, drawing_id, to_id)
    axis = _middle(record, drawing_id) if axis_x is None else axis_x
    making = _Making(record, _turning(axis), to_id, dict(twin_of or {}))
    drawing = _twin_drawing(record, side, to_id, name)
    made = [
        *_outline(making, drawing_id),
        *_zones(making, drawing_id),
        *_datums(making, drawing_id),
        *_areas(making, drawing_id),
    ]
    _refuse_taken(record, made)
    parts = [_part(record.part[old], new) for old, new in making.parts.items() if new not in record.part]
    positions = tuple(_positions(making, drawing_id))
    return TwinSide(Proposal((drawing, *parts, *made), questions=tuple(making.questions)), positions)


def other_side(ident: str) -> str | None:
    """An id with its word for left and right changed; None: it has none.

    >>> other_side("doorL_skin"), other_side("wing_R"), other_side("left_roof"), other_side("bonnet")
    ('doorR_skin', 'wing_L', 'right_roof', None)
    """
    tokens = re.findall(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+|[^A-Za-z]+", ident)
    swapped = [_SIDES[token] if token in ("L", "R") else _like(token, _SIDES.get(token.lower(), token)) for token in tokens]
    return "".join(swapped) if swapped != tokens else None


def speaks_of_lettering(*words: str | None) -> bool:
    """Whether names or notes speak of something written: its place may mirror, it never does.

    >>> speaks_of_lettering(None, "Sign-writing, lower line"), speaks_of_lettering("Sill")
    (True, False)
    """
    return _LETTERING.search(" ".join(word for word in words if word)) is not None


def _drawing(record: Record, drawing_id: str, to_id: str) -> Drawing:
    if drawing_id not in record.drawing:
        raise BodymapError(f"twin: found no drawing {drawing_id!r}; allowed: {', '.join(record.drawing)}")
    side = record.drawing[drawing_id]
    if side.kind != "outside" or to_id == drawing_id:
        found = "a drawing of hidden faces" if side.kind != "outside" else "one drawing as its own twin"
        raise BodymapError(f"twin: found {found}; allowed: an outside drawing, and another to be its twin")
    return side


def _middle(record: Record, drawing_id: str) -> float:
    shapes = [*(z.shape for z in record.zones_on.get(drawing_id, ())),
              *(o.shape for o in record.outline if o.drawing_id == drawing_id)]  # fmt: skip
    if not shapes:
        raise BodymapError(f"twin: found nothing drawn on {drawing_id}; allowed: a side with zones or an outline")
    low, _, high, _ = shapely.total_bounds([to_shapely(shape) for shape in shapes])
    return float(low + high) / 2


def _turning(axis_x: float) -> Callable[[Shape], Shape]:
    def turn(shape: Shape) -> Shape:
        turned = shapely.transform(to_shapely(shape), lambda xy: np.column_stack((2 * axis_x - xy[:, 0], xy[:, 1])))
        return from_shapely(turned)

    return turn


def _twin_drawing(record: Record, side: Drawing, to_id: str, name: str) -> Drawing:
    known = record.drawing.get(to_id)
    title = name or (known.name if known else _swapped(side.name) or f"{side.name}, the other side")
    basis = f"turned from {side.name}" + (f": {side.scale_from}" if side.scale_from else "")
    update = {"drawing_id": to_id, "name": title, "mirror_of": side.drawing_id, "scale_from": basis}
    return side.model_copy(update=update | ({"more": known.more} if known else {}))


def _outline(making: _Making, drawing_id: str) -> Iterator[OutlineShape]:
    for shape in making.record.outline:
        if shape.drawing_id != drawing_id:
            continue
        if shape.name and _LETTERING.search(shape.name):
            making.questions.append(
                f"outline {shape.name}: what is written is never turned round; is it on the other side as well?"
            )
            continue
        name = _swapped(shape.name) or shape.name
        yield shape.model_copy(update={"drawing_id": making.to_id, "name": name, "shape": making.turn(shape.shape)})


def _zones(making: _Making, drawing_id: str) -> Iterator[Zone]:
    for zone in making.record.zones_on.get(drawing_id, ()):
        if zone.part_id not in making.parts:
            making.parts[zone.part_id] = _id_of(making, zone.part_id, same=True)
        if _LETTERING.search(f"{zone.name or ''} {zone.zone_id}"):
            making.questions.append(
                f"zone {zone.title}: its place is mirrored, what is written on it is not; is it there as well?"
            )
        basis = f"taken over from {zone.title}" + (f": {zone.surface_ratio_from}" if zone.surface_ratio_from else "")
        yield zone.model_copy(
            update={
                "zone_id": _id_of(making, zone.zone_id),
                "drawing_id": making.to_id,
                "part_id": making.parts[zone.part_id],
                "name": _swapped(zone.name) or zone.name,
                "shape": making.turn(zone.shape),
                "surface_ratio_from": basis if zone.surface_ratio is not None else None,
                "intent": None,  # what is wanted there is decided there
            }
        )


def _datums(making: _Making, drawing_id: str) -> Iterator[Datum]:
    for datum in making.record.datums:
        if datum.drawing_id == drawing_id:
            update = {"datum_id": _id_of(making, datum.datum_id), "drawing_id": making.to_id,
                      "name": _swapped(datum.name) or datum.name, "shape": making.turn(datum.shape)}  # fmt: skip
            yield datum.model_copy(update=update)


def _areas(making: _Making, drawing_id: str) -> Iterator[Area]:
    ghosts = [f for f in making.record.findings if f.drawing_id == drawing_id and f.kind == "ghost" and f.shape is not None]
    marks = shapely.union_all([to_shapely(ghost.shape) for ghost in ghosts if ghost.shape is not None])
    for area in making.record.areas:
        if area.drawing_id != drawing_id:
            continue
        written = _LETTERING.search(f"{area.name or ''} {area.reason or ''} {area.area_id}")
        if written or to_shapely(area.shape).intersects(marks):
            making.questions.append(
                f"area {area.title}: it holds lettering or a ghost mark, which never mirrors; draw it where it is"
            )
            continue
        if area.purpose == "keep":
            making.questions.append(f"area {area.title}: is there anything to be kept at this place on the other side?")
        update = {"area_id": _id_of(making, area.area_id), "drawing_id": making.to_id, "origin": None, "reason": None,
                  "name": _swapped(area.name) or area.name, "shape": making.turn(area.shape)}  # fmt: skip
        yield area.model_copy(update=update)


def _positions(making: _Making, drawing_id: str) -> Iterator[Position]:
    for line in making.record.lines:
        if line.drawing_id == drawing_id:
            yield Position(
                line.KIND, line.line_id, making.turn(line.shape), "a line on the other side: measure it where it is"
            )
    for finding in making.record.findings:
        if finding.drawing_id != drawing_id or finding.shape is None:
            continue
        if finding.kind == "ghost" or _LETTERING.search(finding.note or ""):
            making.questions.append(
                f"finding {finding.finding_id} ({finding.kind}): lettering is never turned round; "
                "the place is given, what stood there has to be read on this side"
            )
        words = f"{finding.kind} on the other side: look whether there is one here"
        yield Position(finding.KIND, finding.finding_id, making.turn(finding.shape), words)


def _id_of(making: _Making, ident: str, *, same: bool = False) -> str:
    """The id on the twin: as told, by its word for the side, or (a part that both sides share) the same."""
    found = making.ids.get(ident) or other_side(ident)
    return found or (ident if same else f"{ident[:59]}_twin")


def _part(part: Part, ident: str) -> Part:
    """The part of the other side: what it is of is taken over, what is stamped into it and when it came is not."""
    name = _swapped(part.name) or f"{part.name}, the other side"
    return part.model_copy(update={"part_id": ident, "name": name, "first_coat": None, "marks": None, "more": {}})


def _refuse_taken(record: Record, made: list[Entry]) -> None:
    taken = {(entry.KIND, entry.ident) for entry in record.entries() if entry.KEY}
    faults = [
        Fault(entry.FILE, column=entry.KEY[0], found=f"{entry.ident!r}, which is there already", subject=entry.ident,
              allowed="an id that nothing on the twin has yet: withdraw it first, or name another")
        for entry in made
        if entry.KEY and (entry.KIND, entry.ident) in taken
    ]  # fmt: skip
    if faults:
        raise Faults("twin side", faults)


def _swapped(words: str | None) -> str | None:
    """Words with left and right changed; None: there are none to change."""
    if not words:
        return None

    def other(found: re.Match[str]) -> str:
        return _like(found[0], {**_SIDES, "near": "off", "off": "near"}[found[0].lower()])

    changed = _SIDE_WORDS.sub(other, words)
    return changed if changed != words else None


def _like(model: str, word: str) -> str:
    """A word in the case of another."""
    return word.upper() if model.isupper() and len(model) > 1 else word.capitalize() if model[:1].isupper() else word
