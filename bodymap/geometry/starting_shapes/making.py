"""A starting shape made whole: its drawings, its parts, and every view on its drawing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely

from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.starting_shapes.sheet import Sheet
from bodymap.geometry.starting_shapes.size import Frame
from bodymap.model import Datum, Drawing, Entry, OutlineShape, Part, Shape, Zone
from bodymap.model.drawing import READY_MADE
from bodymap.model.part import Substrate

SCHEMATIC = f"{READY_MADE}: its shapes are signs only until it is calibrated"
_OTHER_SIDE = {"L": "R", "R": "L", "Left": "Right", "left": "right"}


@dataclass(frozen=True)
class StartingShape:
    """A vehicle to begin with: entries that nobody has saved."""

    drawings: tuple[Drawing, ...]
    outline: tuple[OutlineShape, ...]
    parts: tuple[Part, ...]
    zones: tuple[Zone, ...]
    datums: tuple[Datum, ...]

    def entries(self) -> tuple[Entry, ...]:
        """All of it, in the order of a record."""
        return (*self.drawings, *self.outline, *self.parts, *self.zones, *self.datums)


NAMES = {
    "left": "Left side",
    "right": "Right side",
    "front": "Front",
    "rear": "Rear",
    "roof": "From above",
}


def drawing(drawing_id: str) -> Drawing:
    """An outside drawing, schematic until somebody calibrates it."""
    return Drawing(
        drawing_id=drawing_id,
        name=NAMES[drawing_id],
        kind="outside",
        scale="schematic",
        scale_from=SCHEMATIC,
        mirror_of="left" if drawing_id == "right" else None,
    )


def whole(
    frame: Frame,
    views: dict[str, Callable[[Sheet, Frame], None]],
    parts: dict[str, tuple[str, bool]],
    substrate: Substrate,
) -> StartingShape:
    """Draw all views; the right side is the left one turned round.

    Args:
        frame: the size.
        views: what draws each drawing, by drawing_id; `right` is made from `left`.
        parts: name and whether it comes off, by part_id. Parts without a zone are left out.
        substrate: what the parts are of, as the user says.
    """
    sheets: dict[str, Sheet] = {}
    for drawing_id in (name for name in NAMES if name in views or (name == "right" and "left" in views)):
        sheet = sheets[drawing_id] = Sheet(drawing_id)
        if drawing_id in views:
            views[drawing_id](sheet, frame)
        else:
            _turned(sheets["left"], sheet, frame.length)
    zones = tuple(zone for sheet in sheets.values() for zone in sheet.zones)
    used = {zone.part_id for zone in zones}
    made = [
        Part(part_id=part_id, name=name, substrate=substrate, removable=removable)
        for part_id, (name, removable) in parts.items()
        if part_id in used
    ]
    return StartingShape(
        tuple(drawing(drawing_id) for drawing_id in sheets),
        tuple(shape for sheet in sheets.values() for shape in sheet.outline),
        tuple(made),
        zones,
        tuple(datum for sheet in sheets.values() for datum in sheet.datums),
    )


def sided(parts: dict[str, tuple[str, bool]]) -> dict[str, tuple[str, bool]]:
    """Parts of both sides from those of one: `wing_L` and `wing_R` for `wing_*`, in words `Left …` and `Right …`."""
    both: dict[str, tuple[str, bool]] = {}
    for part_id, (name, removable) in parts.items():
        if part_id.endswith("_*"):
            for letter, word in (("L", "Left"), ("R", "Right")):
                both[part_id[:-1] + letter] = (f"{word} {name}", removable)
        else:
            both[part_id] = (name, removable)
    return both


def _turned(left: Sheet, right: Sheet, length: float) -> None:
    def turned(shape: Shape) -> Shape:
        return from_shapely(shapely.transform(to_shapely(shape), lambda xy: np.column_stack((length - xy[:, 0], xy[:, 1]))))

    for zone in left.zones:
        right.zones.append(
            zone.model_copy(
                update={
                    "zone_id": zone.zone_id.replace("left_", "right_", 1),
                    "drawing_id": "right",
                    "part_id": zone.part_id[:-2] + "_R" if zone.part_id.endswith("_L") else zone.part_id,
                    "name": _other(zone.name),
                    "shape": turned(zone.shape),
                }
            )
        )
    for mark in left.outline:
        right.outline.append(mark.model_copy(update={"drawing_id": "right", "shape": turned(mark.shape)}))
    for datum in left.datums:
        ident = datum.datum_id.replace("_left_", "_right_", 1)
        update = {"datum_id": ident, "drawing_id": "right", "name": _other(datum.name), "shape": turned(datum.shape)}
        right.datums.append(datum.model_copy(update=update))


def _other(name: str | None) -> str | None:
    return " ".join(_swapped(word) for word in name.split(" ")) if name else name


def _swapped(word: str) -> str:
    bare = word.rstrip(",")
    return _OTHER_SIDE.get(bare, bare) + word[len(bare) :]
