"""A large drawing over many sheets of one size: which sheet shows what, and where neighbours meet.

Sheets lie in rows and columns. Each shows a window; neighbouring windows overlap, and the joint runs along the middle of
the overlap. What lies between its joints is a sheet's core: the cores cover the drawing once. Rows are lettered from the
top, columns numbered from the left, as one reads.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bodymap.errors import BodymapError

Bounds = tuple[float, float, float, float]
_LEAST_CORE_MM = 20.0
_SLACK = 1e-9


@dataclass(frozen=True)
class Tile:
    """One sheet: `row` and `column` from 0; `window` is what it shows, `core` what lies between its joints [drawing mm]."""

    row: int
    column: int
    window: Bounds
    core: Bounds

    @property
    def name(self) -> str:
        """Row letter and column number.

        >>> Tile(1, 2, (0, 0, 1, 1), (0, 0, 1, 1)).name
        'B3'
        """
        return f"{row_letters(self.row)}{self.column + 1}"

    @property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """The corners of the core [drawing mm], for the crosses: lower left, lower right, upper right, upper left."""
        x0, y0, x1, y1 = self.core
        return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def row_letters(row: int) -> str:
    """Letters of a row, counted from 0.

    >>> row_letters(0), row_letters(25), row_letters(26)
    ('A', 'Z', 'AA')
    """
    letters = ""
    row += 1
    while row:
        row, rest = divmod(row - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def tiled(bounds: Bounds, width_mm: float, height_mm: float, overlap_mm: float) -> tuple[Tile, ...]:
    """The sheets over a drawing, row by row from the top, the drawing in their middle.

    Args:
        bounds: of all that is to be shown [mm].
        width_mm: of what one sheet shows.
        height_mm: likewise.
        overlap_mm: of neighbouring windows.

    Raises:
        BodymapError: an overlap that leaves no sheet a core of 20 mm.

    >>> [tile.name for tile in tiled((0, 0, 300, 100), 190, 270, 10)]
    ['A1', 'A2']
    """
    wide, high = width_mm - overlap_mm, height_mm - overlap_mm
    if overlap_mm < 0 or min(wide, high) - overlap_mm < _LEAST_CORE_MM:
        most = max((min(width_mm, height_mm) - _LEAST_CORE_MM) / 2, 0)
        raise BodymapError(f"overlap of the sheets: found {overlap_mm:g} mm; allowed: 0 to {most:.0f} mm on this paper")
    x0, y0, x1, y1 = bounds
    columns, rows = (max(1, math.ceil(length / step - _SLACK)) for length, step in ((x1 - x0, wide), (y1 - y0, high)))
    left = (x0 + x1 - columns * wide) / 2
    top = (y0 + y1 + rows * high) / 2
    half = overlap_mm / 2
    tiles = []
    for row in range(rows):
        for column in range(columns):
            core = (left + column * wide, top - (row + 1) * high, left + (column + 1) * wide, top - row * high)
            window = (core[0] - half, core[1] - half, core[2] + half, core[3] + half)
            tiles.append(Tile(row, column, window, core))
    return tuple(tiles)
