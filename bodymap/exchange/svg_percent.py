"""Percentages of an SVG file as plain numbers (SVG 1.1 section 7.10).

Of the width across, of the height up and down, and of √((width² + height²) / 2) for a radius; width and height are those
of the viewBox of the nearest <svg> outside, or where it has none, its own.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from xml.etree.ElementTree import Element  # a tree that is there already

# Width and height in user units; None: cannot be told from the file.
Frame = tuple[float, float] | None

_PX = {"": 1.0, "px": 1.0, "in": 96.0, "pt": 96 / 72, "pc": 16.0, "cm": 96 / 2.54, "mm": 96 / 25.4, "Q": 96 / 101.6}
_LENGTH = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)(px|in|pt|pc|cm|mm|Q|%)?\s*")
_ACROSS, _UP, _ROUND = ("x", "x1", "x2", "cx", "width", "rx"), ("y", "y1", "y2", "cy", "height", "ry"), ("r",)


def frame_of(svg: Element, outer: Frame) -> Frame:
    """Width and height that percentages inside an <svg> are of."""
    box = svg.get("viewBox", "").replace(",", " ").split()
    if len(box) == 4:
        try:
            return float(box[2]), float(box[3])
        except ValueError:
            return None
    width, height = _px(svg.get("width", "100%"), outer, 0), _px(svg.get("height", "100%"), outer, 1)
    return None if width is None or height is None else (width, height)


def resolve(element: Element, frame: Frame) -> Iterator[str]:
    """Set the percentages of an element as plain numbers; what cannot be told is noted and taken as 0."""
    for name, value in list(element.attrib.items()):
        if name not in (*_ACROSS, *_UP, *_ROUND) or not value.strip().endswith("%"):
            continue
        found = _LENGTH.fullmatch(value)
        if frame is None or found is None:
            element.set(name, "0")
            yield "lengths in % of a size that the file does not tell: they were taken as 0"
            continue
        across, up = frame
        whole = across if name in _ACROSS else up if name in _UP else math.sqrt((across**2 + up**2) / 2)
        element.set(name, repr(float(found[1]) / 100 * whole))


def _px(text: str, outer: Frame, side: int) -> float | None:
    found = _LENGTH.fullmatch(text)
    if found is None:
        return None
    if found[2] == "%":
        return None if outer is None else float(found[1]) / 100 * outer[side]
    return float(found[1]) * _PX[found[2] or ""]
