"""Ready-made starting shapes: a vehicle of no make to begin with, split into zones, to be calibrated or drawn over.

They are drawn for this project and imitate no make. Every drawing of one is `schematic`: its areas are estimates until
two points of known distance are set on it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bodymap.errors import BodymapError
from bodymap.geometry.starting_shapes import motorcycle, three_box, tourer, two_box, van
from bodymap.geometry.starting_shapes.making import SCHEMATIC, StartingShape, drawing
from bodymap.geometry.starting_shapes.size import Frame, Usual, frame_for
from bodymap.model.part import Substrate

__all__ = ["SCHEMATIC", "SHAPES", "STANDARD_DRAWINGS", "StartingShape", "drawing", "starting_shape", "usual_size"]

STANDARD_DRAWINGS = ("left", "right", "front", "rear", "roof")
SHAPES: Mapping[str, tuple[Usual, Callable[[Frame, Substrate], StartingShape]]] = {
    "two_box": (two_box.USUAL, two_box.made),
    "three_box": (three_box.USUAL, three_box.made),
    "van": (van.USUAL, van.made),
    "open_tourer": (tourer.USUAL, tourer.made),
    "motorcycle_tank": (motorcycle.USUAL, motorcycle.made),
}


def starting_shape(
    shape: str,
    *,
    length_mm: float | None = None,
    height_mm: float | None = None,
    wheelbase_mm: float | None = None,
    width_mm: float | None = None,
    substrate: Substrate = "other",
) -> StartingShape:
    """A starting shape at a size; a measure left out follows the others in the proportions of the shape.

    Args:
        shape: its name in SHAPES.
        length_mm: over all.
        height_mm: from the ground.
        wheelbase_mm: between the axles.
        width_mm: over the body.
        substrate: what the parts are of; `other` where it has not been stated.

    Raises:
        BodymapError: no such shape.
        Faults: a measure that the shape cannot be brought to.
    """
    if shape not in SHAPES:
        raise BodymapError(f"starting shape: found {shape!r}; allowed: {', '.join(SHAPES)}")
    usual, made = SHAPES[shape]
    frame = frame_for(shape, usual, length_mm=length_mm, height_mm=height_mm, wheelbase_mm=wheelbase_mm, width_mm=width_mm)
    return made(frame, substrate)


def usual_size(shape: str) -> Usual:
    """The size at which a shape is drawn. Raises KeyError on a name that is none."""
    return SHAPES[shape][0]
