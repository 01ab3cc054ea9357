"""A picture as the templates draw it."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from bodymap.views.paper import Picture


def drawn(picture: Picture, digits: int = 3) -> dict[str, Any]:
    """What a template needs to draw a picture [mm on paper]; `digits`: after the point of each coordinate."""
    strokes = [
        {
            "style": one.style,
            "closed": one.closed,
            "lines": [[[round(x, digits), round(y, digits)] for x, y in line] for line in one.lines],
        }
        for one in picture.strokes
    ]
    return {
        "width_mm": picture.width_mm,
        "height_mm": picture.height_mm,
        "strokes": strokes,
        "labels": [asdict(label) for label in picture.labels],
        "bar": asdict(picture.bar),
    }
