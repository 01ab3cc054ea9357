"""Scale, turn and offset of a drawing or picture from two points whose distance on the vehicle is known.

A picture or a file has its own units (pixels, or millimetres that are not sure) and often y down; a drawing has mm and y
up. The map between them is a similarity: nothing is stretched one way and not the other, so a picture taken aslant
stays aslant, and no calibration mends that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from bodymap.errors import BodymapError
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.curves import Point
from bodymap.geometry.ratio import tape_error_mm
from bodymap.model.shapes import Shape
from bodymap.settings import Settings

Floats = NDArray[np.float64]
# A factor beyond these is a slip in the distance or in the points: a vehicle of 10 m drawn in 0.01 units, or the other way.
SCALE_LEAST, SCALE_MOST = 1e-4, 1e6


@dataclass(frozen=True)
class Calibration:
    """From the units of a source to drawing mm: y turned up where it runs down, then turned, scaled, moved.

    Attributes:
        scale: mm for one unit of the source.
        turn_deg: counter-clockwise, as seen on the drawing.
        offset: where the origin of the source comes to lie [mm].
        flipped: y runs down in the source.
        words: how it was fixed, for `scale_from`.
    """

    scale: float = 1.0
    turn_deg: float = 0.0
    offset: Point = (0.0, 0.0)
    flipped: bool = False
    words: str = ""

    def points(self, points: Floats) -> Floats:
        """Positions of the source, shape (n, 2), in drawing mm."""
        up = points * np.array((1.0, -1.0 if self.flipped else 1.0))
        moved: Floats = _turned(up, self) + np.array(self.offset)
        return moved

    def point(self, x: float, y: float) -> Point:
        """One position of the source in drawing mm."""
        ((x, y),) = self.points(np.array([[x, y]], dtype=float)).tolist()
        return x, y

    def shape(self, shape: Shape) -> Shape:
        """A shape of the source in drawing mm."""
        return from_shapely(shapely.transform(to_shapely(shape), self.points))


def from_two_points(
    first: Point,
    second: Point,
    distance_mm: float,
    *,
    direction_deg: float | None = None,
    first_to: Point | None = None,
    flipped: bool = False,
) -> Calibration:
    """The calibration under which two points of the source lie a known distance apart.

    Args:
        first: one point, in units of the source.
        second: the other one.
        distance_mm: between them on the vehicle, along the plane of the drawing.
        direction_deg: which way the second then lies from the first, counter-clockwise from the right; None: no turn.
        first_to: where the first comes to lie [mm]; None: the origin of the source becomes that of the drawing.
        flipped: y runs down in the source.

    Raises:
        BodymapError: figures that are none, points that are one, or a scale that no vehicle has.

    >>> from_two_points((10, 20), (110, 20), 2400, flipped=True).scale
    24.0
    """
    _check(first, second, distance_mm, direction_deg, first_to)
    apart = math.dist(first, second)
    scale = distance_mm / apart
    if not SCALE_LEAST <= scale <= SCALE_MOST:
        raise BodymapError(
            f"calibration: found {distance_mm:g} mm over {apart:g} units of the drawing; "
            f"allowed: from {SCALE_LEAST:g} to {SCALE_MOST:g} mm for a unit"
        )
    up = -1.0 if flipped else 1.0
    heading = math.degrees(math.atan2(up * (second[1] - first[1]), second[0] - first[0]))
    turn = 0.0 if direction_deg is None else (direction_deg - heading + 180) % 360 - 180
    words = f"two points set on the drawing, {distance_mm:g} mm apart on the vehicle"
    bare = Calibration(scale, turn, (0.0, 0.0), flipped, words)
    if first_to is None:
        return bare
    x, y = bare.point(*first)
    return Calibration(scale, turn, (first_to[0] - x, first_to[1] - y), flipped, words)


def scale_error_pct(distance_mm: float, settings: Settings, pick_mm: float = 0.0) -> float:
    """Greatest error of the scale [%]: both points set by hand, and the tape, over the distance; all taken to add up.

    Args:
        distance_mm: between the points on the vehicle.
        settings: for `pick_error_mm` and the tape's class.
        pick_mm: how finely a point could be set, at the size of the vehicle, where that is coarser than `pick_error_mm`.

    Raises:
        BodymapError: a distance that is not greater than 0.
    """
    if not distance_mm > 0 or not math.isfinite(distance_mm):
        raise BodymapError(f"distance: found {distance_mm:g} mm; allowed: greater than 0")
    pick = max(settings.value("pick_error_mm"), pick_mm)
    return 100 * (2 * pick + tape_error_mm(distance_mm, settings)) / distance_mm


def _turned(points: Floats, calibration: Calibration) -> Floats:
    angle = math.radians(calibration.turn_deg)
    cos, sin = math.cos(angle) * calibration.scale, math.sin(angle) * calibration.scale
    turned: Floats = points @ np.array([[cos, sin], [-sin, cos]])
    return turned


def _check(first: Point, second: Point, distance_mm: float, direction_deg: float | None, first_to: Point | None) -> None:
    told = [*first, *second, distance_mm, direction_deg or 0.0, *(first_to or ())]
    if not all(math.isfinite(value) for value in told):
        raise BodymapError("calibration: found a figure that is no finite number; allowed: positions and a distance in mm")
    if distance_mm <= 0:
        raise BodymapError(f"calibration: found a distance of {distance_mm:g} mm; allowed: greater than 0")
    if math.dist(first, second) == 0:
        raise BodymapError(f"calibration: found one point twice, {first}; allowed: two points, as far apart as can be")
