"""A starting shape as a small picture (SVG), to be chosen by."""

from __future__ import annotations

from bodymap.views.board import Board, BoardShape
from bodymap.views.palette import Theme, paint_of

_FILLS = {"body": "body", "wheel": "wheel_0", "glass": "glass", "lamp": "lamp", "trim": "trim", "zone": "zone"}
_WIDTH_PX, _HEIGHT_PX = 240, 110


def shape_picture(board: Board, theme: Theme) -> str:
    """The board as an SVG picture of one fixed size, its zones parted by fine lines."""
    x0, y0, x1, y1 = board.bounds
    scale = min(_WIDTH_PX / (x1 - x0), _HEIGHT_PX / (y1 - y0))
    left, low = (_WIDTH_PX - scale * (x1 - x0)) / 2, (_HEIGHT_PX - scale * (y1 - y0)) / 2
    place = f"matrix({scale:.6f} 0 0 {-scale:.6f} {left - scale * x0:.2f} {_HEIGHT_PX - low + scale * y0:.2f})"
    drawn = "".join(_drawn(shape, theme, 1 / scale) for shape in board.shapes)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_WIDTH_PX}" height="{_HEIGHT_PX}" '
        f'viewBox="0 0 {_WIDTH_PX} {_HEIGHT_PX}"><g transform="{place}">{drawn}</g></svg>'
    )


def _drawn(shape: BoardShape, theme: Theme, width: float) -> str:
    paths = [*(f"{_line(ring)}Z" for ring in shape.rings), *(_line(line) for line in shape.lines)]
    fill = paint_of(_FILLS[shape.style], theme) if shape.rings and shape.style in _FILLS else "none"
    stroke = paint_of("outline", theme)
    return f'<path d="{"".join(paths)}" fill="{fill}" fill-rule="evenodd" stroke="{stroke}" stroke-width="{width:.2f}"/>'


def _line(points: tuple[tuple[float, float], ...]) -> str:
    return "M" + "L".join(f"{x:.0f} {y:.0f}" for x, y in points)
