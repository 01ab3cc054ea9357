"""The curves the van is drawn with: those of the library."""

from __future__ import annotations

from bodymap.geometry.curves import (
    Corner,
    Pen,
    Point,
    arc,
    box,
    circle,
    cubic,
    cut,
    joined,
    mirror,
    rounded,
    shift,
    smooth,
    tile,
)

__all__ = [
    "Corner",
    "Pen",
    "Point",
    "arc",
    "box",
    "circle",
    "cubic",
    "cut",
    "joined",
    "mirror",
    "rounded",
    "shift",
    "smooth",
    "tile",
]
