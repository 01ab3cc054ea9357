"""What a person says of the paths of a sketch, made into a proposal: drawing, new parts, zones and outline together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from bodymap.errors import Fault, Faults
from bodymap.exchange.sketch import Choice, Sketch
from bodymap.exchange.sketch_roles import Role
from bodymap.geometry.proposal import Proposal
from bodymap.geometry.starting_shapes.beginning import ident_of
from bodymap.model import Drawing, Entry, Part, Record
from bodymap.model.part import Substrate

_ID_MOST = 56


@dataclass(frozen=True)
class Wish:
    """What a path is to become.

    Attributes:
        role: one of the roles.
        name: what it is called.
        part_id: for a zone, the part it is on; blank: a new part.
        new_part: for a zone, the name of the new part; blank: the name of the zone.
        substrate: what a new part is of.
        removable: whether a new part comes off.
        face: for a zone, the face.
        close: an open line is closed straight.
    """

    role: Role
    name: str = ""
    part_id: str = ""
    new_part: str = ""
    substrate: Substrate | None = None
    removable: bool | None = None
    face: str = "outer"
    close: bool = False

    @property
    def part_name(self) -> str:
        """The name of the new part."""
        return self.new_part.strip() or self.name.strip()


def taken_in(
    record: Record, sketch: Sketch, wishes: Mapping[str, Wish], drawing: Drawing, used: Iterable[str] = ()
) -> Proposal:
    """Drawing, new parts, outline and zones of a sketch.

    Args:
        record: the record.
        sketch: the paths, at the scale at which they are to be drawn.
        wishes: what paths are to become, by their ident; a path without one is left out.
        drawing: what they are drawn on, there already or new.
        used: ids that stood for something before, beside those of the record.

    Raises:
        Faults: everything that keeps a wish from being carried out.
    """
    named = {path.ident: path.name for path in sketch.shapes}
    wishes = {ident: _named(wish, named.get(ident, "")) for ident, wish in wishes.items()}
    faults = list(_wrong(record, wishes, sketch.source))
    taken = {*record.ids, *used}
    parts = _new_parts(wishes.values(), taken)
    choices = {
        ident: Choice(
            wish.role,
            wish.name,
            _zone_ident(wish, taken) if wish.role == "zone" else "",
            (wish.part_id or _id_of_part(parts, wish)) if wish.role == "zone" else "",
            wish.face if wish.role == "zone" else "",
            wish.close,
        )
        for ident, wish in wishes.items()
    }
    entries: tuple[Entry, ...] = ()
    try:
        entries = sketch.to_entries(drawing.drawing_id, choices)
    except Faults as error:
        faults += [fault for fault in error.faults if fault.column != "part_id"]
    if faults:
        raise Faults(f"outline from {sketch.source}", faults)
    scaled, notes = _scaled(record, drawing, sketch)
    return Proposal((scaled, *parts.values(), *entries), notes=notes)


def free_ident(wish: str, taken: set[str], otherwise: str) -> str:
    """An id made of a name that is not taken; it is taken from then on.

    >>> free_ident("Left door", {"left-door"}, "zone")
    'left-door-2'
    """
    stem = ident_of(wish, otherwise)[:_ID_MOST]
    ident, number = stem, 2
    while ident in taken:
        ident, number = f"{stem}-{number}", number + 1
    taken.add(ident)
    return ident


def _zone_ident(wish: Wish, taken: set[str]) -> str:
    """An id of its name; where that is taken (its part may have the same name), of name and face."""
    named = ident_of(wish.name, "zone")[:_ID_MOST]
    return free_ident(f"{named} {wish.face}" if named in taken else named, taken, "zone")


def _named(wish: Wish, own: str) -> Wish:
    name = wish.name.strip() or own
    return Wish(
        wish.role, name, wish.part_id, wish.new_part, wish.substrate, wish.removable, wish.face, wish.close
    )  # fmt: skip


def _wrong(record: Record, wishes: Mapping[str, Wish], source: str) -> Iterable[Fault]:
    if not wishes:
        yield Fault(source, column="path", found="none that is to become anything", allowed="at least one")
    for ident, wish in wishes.items():
        if wish.role != "zone":
            continue
        if not wish.name:
            yield Fault(source, column="name", found="a zone without a name", allowed="what it is called", subject=ident)
        if wish.part_id:
            if wish.part_id not in record.part:
                yield Fault(source, column="part_id", found=repr(wish.part_id), allowed="a part of this record",
                            subject=ident)  # fmt: skip
        elif not wish.part_name:
            yield Fault(source, column="part", found="a new part without a name", allowed="what it is called", subject=ident)
        if not wish.part_id and wish.substrate is None:
            yield Fault(source, column="substrate", found=f"{wish.part_name or 'a new part'}, of what is not stated",
                        allowed="steel, aluminium, grp or other", subject=ident)  # fmt: skip
        if not wish.part_id and wish.removable is None:
            found = f"{wish.part_name or 'a new part'}, of which it is not stated whether it comes off"
            yield Fault(source, column="removable", found=found, allowed="yes or no", subject=ident)


def _new_parts(wishes: Iterable[Wish], taken: set[str]) -> dict[str, Part]:
    """New parts by name: zones that name the same new part share it."""
    parts: dict[str, Part] = {}
    for wish in wishes:
        name = wish.part_name
        if wish.role == "zone" and not wish.part_id and name and name not in parts and wish.substrate:
            ident = free_ident(name, taken, "part")
            parts[name] = Part(part_id=ident, name=name, substrate=wish.substrate, removable=bool(wish.removable))
    return parts


def _id_of_part(parts: Mapping[str, Part], wish: Wish) -> str:
    return parts[wish.part_name].part_id if wish.part_name in parts else ""


def _scaled(record: Record, drawing: Drawing, sketch: Sketch) -> tuple[Drawing, tuple[str, ...]]:
    """The drawing with the scale it then has, and what is to be known of it."""
    drawn = [*record.zones_on.get(drawing.drawing_id, ()), *_outline_on(record, drawing.drawing_id)]
    measured = not sketch.needs_calibration
    if not drawn:
        words = sketch.scale_from or "a drawing whose scale nobody has set: areas are estimates"
        note = (
            ()
            if measured
            else ("no scale is set: the drawing stays schematic, its areas estimates, until it is calibrated",)
        )
        return drawing.model_copy(update={"scale": "measured" if measured else "schematic", "scale_from": words}), note
    if drawing.schematic and measured:
        return drawing, ("what was on the drawing before is schematic, so it stays schematic until it is calibrated",)
    if not drawing.schematic and not measured:
        return drawing.model_copy(update={"scale": "schematic"}), (
            "what comes in has no scale, so the whole drawing counts as schematic until it is calibrated",
        )
    return drawing, ()


def _outline_on(record: Record, drawing_id: str) -> Sequence[object]:
    return [shape for shape in record.outline if shape.drawing_id == drawing_id]
