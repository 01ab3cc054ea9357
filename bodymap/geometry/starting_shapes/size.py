"""How large a starting shape is to be, and how what is drawn at its usual size is brought to that.

Lengths run through the map x → x′, which keeps the nose, both axles and the tail where they belong and is smooth in
between, so that a curve stays a curve; heights and widths are scaled evenly. Wheels stay round: what hangs on an axle is
moved with it and grows with the wheel.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bodymap.errors import Fault, Faults
from bodymap.geometry.curves import Point

Floats = NDArray[np.float64]
# How far a shape may be drawn out or pressed together before it is no more the shape it was.
LEAST, MOST = 0.55, 1.8
_WHEEL_LEAST, _WHEEL_MOST = 0.8, 1.2
# Where the wheels are the ends, how far they may be smaller or larger than usual.
_ENDS = (0.7, 1.35)


@dataclass(frozen=True)
class Usual:
    """The size at which a starting shape is drawn [mm]; `front_axle`: from the nose; `wheel`: radius of a tyre.

    `wings`: `body`, the wheels are within it; `free`, wings of their own have to fit the overhangs; `ends`, they are
    what is foremost and rearmost. `over_wheel`: how far a mudguard that turns with the wheel stands over its tyre.
    """

    length: float
    height: float
    wheelbase: float
    width: float
    front_axle: float
    wheel: float
    wings: Literal["body", "free", "ends"] = "body"
    over_wheel: float = 0.0

    @property
    def rear_axle(self) -> float:
        """Its distance from the nose [mm]."""
        return self.front_axle + self.wheelbase


@dataclass(frozen=True)
class Frame:
    """A wanted size [mm], and the maps from the usual one to it."""

    usual: Usual
    length: float
    height: float
    wheelbase: float
    width: float

    @property
    def wheel(self) -> float:
        """Radius of a tyre [mm]: with the height, within bounds; as the overhangs have it where wings fill them."""
        with_height = min(max(self.height / self.usual.height, _WHEEL_LEAST), _WHEEL_MOST)
        with_ends = (self.length - self.wheelbase) / (self.usual.length - self.usual.wheelbase)
        share = {"body": with_height, "free": min(with_height, with_ends), "ends": with_ends}[self.usual.wings]
        return self.usual.wheel * share

    @property
    def axles(self) -> tuple[Point, Point]:
        """Centres of the front and the rear wheel in the left side view; the overhangs keep their share."""
        front = self.usual.front_axle / (self.usual.length - self.usual.wheelbase) * (self.length - self.wheelbase)
        return (front, self.wheel), (front + self.wheelbase, self.wheel)

    def side(self, shape: BaseGeometry) -> BaseGeometry:
        """What is drawn on the body from the side, nose to the left."""
        return shapely.transform(shape, lambda xy: np.column_stack((self._along(xy[:, 0]), xy[:, 1] * self.up)))

    def plan(self, shape: BaseGeometry) -> BaseGeometry:
        """What is drawn from above, nose to the left."""
        return shapely.transform(shape, lambda xy: np.column_stack((self._along(xy[:, 0]), xy[:, 1] * self.across)))

    def end(self, shape: BaseGeometry) -> BaseGeometry:
        """What is drawn from the front or the rear."""
        return shapely.transform(shape, lambda xy: xy * np.array((self.across, self.up)))

    def axle(self, shape: BaseGeometry, which: int) -> BaseGeometry:
        """What hangs on the front (0) or rear (1) axle, seen from the side."""
        usual = np.array(((self.usual.front_axle, self.usual.rear_axle)[which], self.usual.wheel))
        return shapely.transform(
            shape, lambda xy: (xy - usual) * (self.wheel / self.usual.wheel) + np.array(self.axles[which])
        )

    @property
    def up(self) -> float:
        """Height as a ratio to the usual height."""
        return self.height / self.usual.height

    @property
    def across(self) -> float:
        """Width as a ratio to the usual width."""
        return self.width / self.usual.width

    def _along(self, x: Floats) -> Floats:
        usual = (0.0, self.usual.front_axle, self.usual.rear_axle, self.usual.length)
        wanted = (0.0, self.axles[0][0], self.axles[1][0], self.length)
        return smooth_map(x, usual, wanted)


def frame_for(
    shape: str,
    usual: Usual,
    *,
    length_mm: float | None = None,
    height_mm: float | None = None,
    wheelbase_mm: float | None = None,
    width_mm: float | None = None,
) -> Frame:
    """The frame of a size; what is left out is taken from the rest, in the proportions of the shape.

    Raises:
        Faults: each measure that the shape cannot be brought to.
    """
    longer = (length_mm or usual.length) / usual.length if length_mm or not wheelbase_mm else wheelbase_mm / usual.wheelbase
    told = {"length_mm": length_mm, "height_mm": height_mm, "wheelbase_mm": wheelbase_mm, "width_mm": width_mm}
    whole = {
        "length_mm": usual.length * longer,
        "height_mm": usual.height,
        "wheelbase_mm": usual.wheelbase * longer,
        "width_mm": usual.width,
    }
    size = {name: whole[name] if value is None else value for name, value in told.items()}
    usually = {name: float(vars(usual)[name.removesuffix("_mm")]) for name in size}
    faults = [
        Fault(f"starting shape {shape}", column=name, found=f"{value:g} mm",
              allowed=f"{LEAST * usually[name]:.0f} to {MOST * usually[name]:.0f} mm")
        for name, value in size.items()
        if not LEAST * usually[name] <= value <= MOST * usually[name]
    ]  # fmt: skip
    if not faults:
        faults += _overhang_faults(shape, usual, size["length_mm"], size["wheelbase_mm"])
        faults += _wheel_faults(shape, usual, size)
    if faults:
        raise Faults(f"starting shape {shape}", faults)
    return Frame(usual, size["length_mm"], size["height_mm"], size["wheelbase_mm"], size["width_mm"])


def _wheel_faults(shape: str, usual: Usual, size: Mapping[str, float]) -> list[Fault]:
    """Wheels as large as the overhangs have them must not stand over the whole."""
    if usual.wings != "ends":
        return []
    share = (size["length_mm"] - size["wheelbase_mm"]) / (usual.length - usual.wheelbase)
    top = (2 * usual.wheel + usual.over_wheel) * share
    if top <= size["height_mm"]:
        return []
    allowed = f"at least {math.ceil(top)} mm, the wheels being as large as length and wheelbase leave them"
    return [Fault(f"starting shape {shape}", column="height_mm", found=f"{size['height_mm']:g} mm", allowed=allowed)]


def _overhang_faults(shape: str, usual: Usual, length: float, wheelbase: float) -> list[Fault]:
    """What is wrong with what is left of a length before and behind the axles."""
    least, most = _ENDS if usual.wings == "ends" else (LEAST, math.inf)
    over = usual.length - usual.wheelbase
    if least * over <= length - wheelbase <= most * over:
        return []
    allowed = f"at most {length - least * over:.0f} mm"
    if math.isfinite(most):
        allowed = f"{length - most * over:.0f} to {length - least * over:.0f} mm"
    found = f"{wheelbase:g} mm"
    return [
        Fault(
            f"starting shape {shape}", column="wheelbase_mm", found=found, allowed=f"{allowed} at a length of {length:g} mm"
        )
    ]


def smooth_map(x: Floats, usual: Sequence[float], wanted: Sequence[float]) -> Floats:
    """A smooth rising map of places [mm] that takes each usual one to the wanted one; straight on beyond both ends.

    Cubic Hermite pieces with slopes as the harmonic mean of the secants on both sides, which cannot overshoot
    (F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5, 1984; from memory, not seen).

    >>> smooth_map(np.array([0.0, 1.0, 3.0]), (0, 1, 3), (0, 2, 6)).tolist()
    [0.0, 2.0, 6.0]
    """
    a, b = np.array(usual, dtype=float), np.array(wanted, dtype=float)
    step = np.diff(a)
    secant = np.diff(b) / step
    slope = np.concatenate([secant[:1], 2 * secant[:-1] * secant[1:] / (secant[:-1] + secant[1:]), secant[-1:]])
    piece = np.clip(np.searchsorted(a, x, side="right") - 1, 0, len(step) - 1)
    h, t = step[piece], (x - a[piece]) / step[piece]
    inside = (
        (1 + 2 * t) * (1 - t) ** 2 * b[piece]
        + t * (1 - t) ** 2 * h * slope[piece]
        + t**2 * (3 - 2 * t) * b[piece + 1]
        + t**2 * (t - 1) * h * slope[piece + 1]
    )
    below, above = b[0] + (x - a[0]) * slope[0], b[-1] + (x - a[-1]) * slope[-1]
    mapped: Floats = np.where(x < a[0], below, np.where(x > a[-1], above, inside))
    return mapped
