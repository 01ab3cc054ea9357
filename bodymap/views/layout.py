"""How the drawings of one kind are laid out on a sheet, at one scale, as a drawing office lays out a vehicle.

The sheet is in mm of the vehicle: x to the right, y up, its lower left corner at (0, 0). A drawing is moved by whole
millimetres, never turned or scaled, so that a place on the sheet is a place on the drawing exactly. A side comes first,
front and rear beside it, then the other side and the plan; where that does not suit the shape of the sheet, the rows are
broken elsewhere. Drawings of one row stand on one ground line.

Which drawing is a side is told by what is drawn: elevations stand on wheels or are each other's mirror image, sides are the
long ones among them. Drawings without either keep their order.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import shapely

from bodymap.geometry.convert import to_shapely
from bodymap.model import Drawing, Record
from bodymap.model.drawing import DrawingKind

Bounds = tuple[float, float, float, float]
Row = tuple[str, ...]

WIDE = 16 / 9
# A drawing on which nothing is drawn yet still gets its place and its name.
_EMPTY: Bounds = (0.0, 0.0, 1000.0, 500.0)
# Room round drawings as a share of the side of a square of all their area.
_GAP_SHARE, _CAPTION_SHARE = 0.045, 0.055
# A sheet that is less than this much smaller is not worth a less usual arrangement.
_WORTH = 1.03
_LONG = 1.25


@dataclass(frozen=True)
class Placed:
    """One drawing on the sheet.

    Attributes:
        dx, dy: sheet position less drawing position [mm], whole numbers.
        extent: bounds of what is drawn, on the sheet [mm].
        bounds: the same with its caption and scale bar below it [mm].
        caption: name of the drawing.
    """

    drawing_id: str
    caption: str
    schematic: bool
    dx: float
    dy: float
    extent: Bounds
    bounds: Bounds


@dataclass(frozen=True)
class SheetLayout:
    """All drawings of one kind on one sheet; `bounds` is (0, 0, width, height) [mm]."""

    kind: DrawingKind
    placed: tuple[Placed, ...]
    bounds: Bounds
    gap_mm: float

    @property
    def cells(self) -> tuple[Bounds, ...]:
        """For each drawing its bounds with half of the room round it."""
        half = self.gap_mm / 2
        return tuple((x0 - half, y0 - half, x1 + half, y1 + half) for x0, y0, x1, y1 in (p.bounds for p in self.placed))

    @property
    def drawing_ids(self) -> tuple[str, ...]:
        """The drawings of this sheet."""
        return tuple(place.drawing_id for place in self.placed)

    def has(self, drawing_id: str) -> bool:
        """Whether a drawing is on this sheet."""
        return any(place.drawing_id == drawing_id for place in self.placed)

    def place_of(self, drawing_id: str) -> Placed:
        """Where a drawing lies. Raises KeyError where it is not on this sheet."""
        for place in self.placed:
            if place.drawing_id == drawing_id:
                return place
        raise KeyError(drawing_id)

    def bounds_of(self, drawing_id: str) -> Bounds:
        """Bounds of a drawing with its caption [sheet mm]. Raises KeyError where it is not on this sheet."""
        return self.place_of(drawing_id).bounds

    def to_sheet(self, drawing_id: str, x: float, y: float) -> tuple[float, float]:
        """A place on a drawing, on the sheet [mm]. Raises KeyError where the drawing is not on this sheet."""
        place = self.place_of(drawing_id)
        return x + place.dx, y + place.dy

    def to_drawing(self, x: float, y: float) -> tuple[str, float, float] | None:
        """The drawing under a place on the sheet and the place on that drawing [mm]; None beside every drawing.

        A little beside a drawing still counts as on it, so that a hand-drawn line may run past its edge.
        """
        reach = self.gap_mm / 2
        for place in self.placed:
            x0, y0, x1, y1 = place.extent
            if x0 - reach <= x <= x1 + reach and y0 - reach <= y <= y1 + reach:
                return place.drawing_id, x - place.dx, y - place.dy
        return None


def lay_out(record: Record, kind: DrawingKind, aspect: float = WIDE) -> SheetLayout:
    """Lays out the drawings of one kind on a sheet about `aspect` times as wide as it is high.

    A drawing on which nothing is drawn yet waits until there is; where that is true of all, they are all shown.
    """
    all_of_kind = [drawing for drawing in record.drawings if drawing.kind == kind]
    begun = _begun(record)
    drawings = [drawing for drawing in all_of_kind if drawing.drawing_id in begun] or all_of_kind
    extents = {drawing.drawing_id: _extent(record, drawing.drawing_id) for drawing in drawings}
    if not extents:
        return SheetLayout(kind, (), _EMPTY, 0.0)
    side = math.sqrt(sum((x1 - x0) * (y1 - y0) for x0, y0, x1, y1 in extents.values()))
    # Whole and even, so that half a gap moves every drawing of a row alike.
    gap, caption = (max(2.0, 2.0 * round(share * side / 2)) for share in (_GAP_SHARE, _CAPTION_SHARE))
    sizes = {ident: (x1 - x0 + gap, y1 - y0 + gap + caption) for ident, (x0, y0, x1, y1) in extents.items()}
    rows = _best_rows(_sequences(record, drawings, extents), sizes, aspect)
    return _placed(kind, rows, extents, {drawing.drawing_id: drawing for drawing in drawings}, gap, caption)


def _begun(record: Record) -> frozenset[str]:
    """The drawings with anything on them."""
    drawn = (record.zones, record.outline, record.datums, record.areas, record.lines, record.findings)
    return frozenset(entry.drawing_id for entries in drawn for entry in entries if entry.drawing_id)


def _extent(record: Record, drawing_id: str) -> Bounds:
    shapes = [zone.shape for zone in record.zones_on.get(drawing_id, ())]
    shapes += [shape.shape for shape in record.outline if shape.drawing_id == drawing_id]
    if not shapes:
        return _EMPTY
    x0, y0, x1, y1 = shapely.total_bounds([to_shapely(shape) for shape in shapes]).tolist()
    return float(math.floor(x0)), float(math.floor(y0)), float(math.ceil(x1)), float(math.ceil(y1))


def _sequences(record: Record, drawings: Sequence[Drawing], extents: Mapping[str, Bounds]) -> list[Row]:
    """Orders in which to set the drawings, the most usual first."""
    order = [drawing.drawing_id for drawing in drawings]
    wheeled = {shape.drawing_id for shape in record.outline if shape.kind == "wheel"}
    pairs = {ident for d in drawings if d.mirror_of in extents for ident in (d.drawing_id, d.mirror_of)}
    standing = [ident for ident in order if ident in wheeled or ident in pairs]
    widths = {ident: extents[ident][2] - extents[ident][0] for ident in order}
    longest = max((widths[ident] for ident in standing), default=0.0)
    sides = [ident for ident in standing if widths[ident] * _LONG >= longest]
    ends = [ident for ident in standing if ident not in sides]
    plans = [ident for ident in order if ident not in standing]
    usual = (*sides[:1], *ends, *sides[1:], *plans)
    by_height = sorted(order, key=lambda ident: extents[ident][1] - extents[ident][3])
    return list(dict.fromkeys([usual, (*sides, *ends, *plans), (*sides[:1], *plans, *sides[1:], *ends), tuple(by_height)]))


def _best_rows(sequences: Iterable[Row], sizes: Mapping[str, tuple[float, float]], aspect: float) -> list[Row]:
    """Rows that need the smallest sheet of this aspect; a more usual order wins over a little less paper."""
    best: tuple[float, list[Row]] | None = None
    for sequence in sequences:
        for width in _widths(sequence, sizes):
            rows = _shelves(sequence, sizes, width)
            wide = max(sum(sizes[ident][0] for ident in row) for row in rows)
            high = sum(max(sizes[ident][1] for ident in row) for row in rows)
            needed = max(wide / aspect, high)
            if best is None or needed * _WORTH < best[0]:
                best = needed, rows
    return best[1] if best else []


def _widths(sequence: Row, sizes: Mapping[str, tuple[float, float]]) -> list[float]:
    """Sheet widths worth trying: those at which some run of neighbours just fits in one row."""
    widest = max(sizes[ident][0] for ident in sequence)
    runs = {
        sum(sizes[ident][0] for ident in sequence[first:last])
        for first in range(len(sequence))
        for last in range(first + 1, min(first + 12, len(sequence)) + 1)
    }
    return sorted(width for width in runs if width >= widest)


def _shelves(sequence: Row, sizes: Mapping[str, tuple[float, float]], width: float) -> list[Row]:
    """Each drawing into the first row with room for it."""
    rows: list[list[str]] = []
    used: list[float] = []
    for ident in sequence:
        need = sizes[ident][0]
        row = next((number for number, taken in enumerate(used) if taken + need <= width + 1e-9), None)
        if row is None:
            rows.append([ident])
            used.append(need)
        else:
            rows[row].append(ident)
            used[row] += need
    return [tuple(row) for row in rows]


def _placed(
    kind: DrawingKind,
    rows: Sequence[Row],
    extents: Mapping[str, Bounds],
    drawings: Mapping[str, Drawing],
    gap: float,
    caption: float,
) -> SheetLayout:
    """Sets the rows from the top down, each on its own ground line."""
    heights = [max(extents[ident][3] - extents[ident][1] for ident in row) for row in rows]
    total = sum(heights) + len(rows) * (gap + caption)
    width = 0.0
    placed, ground = [], total
    for row, height in zip(rows, heights, strict=True):
        ground -= height + gap / 2
        left = gap / 2
        for ident in row:
            x0, y0, x1, y1 = extents[ident]
            dx, dy = round(left - x0), round(ground - y0)
            extent = (x0 + dx, y0 + dy, x1 + dx, y1 + dy)
            bounds = (extent[0], extent[1] - caption, extent[2], extent[3])
            drawing = drawings[ident]
            placed.append(Placed(ident, drawing.name, drawing.schematic, dx, dy, extent, bounds))
            left += x1 - x0 + gap
        width = max(width, left - gap / 2)
        ground -= caption + gap / 2
    return SheetLayout(kind, tuple(placed), (0.0, 0.0, math.ceil(width), math.ceil(total)), gap)
