"""An area that is being marked and is not saved yet: its shape, and how much of which zone it takes.

Three ways lead to one: a ring drawn by hand on the sheet, a band along an edge of a zone, offsets from a datum line.
A hand-drawn ring is only as exact as the hand: it is rounded to 0.1 mm and repaired where it crosses itself, and both
the shape and its size are shown before anything is saved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError
from bodymap.geometry.areas import area_preview
from bodymap.geometry.bands import band_along_edge, shape_from_offsets
from bodymap.geometry.boundary import BoundaryPiece, boundary_pieces
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.validity import mended
from bodymap.model import Record
from bodymap.model.shapes import Shape
from bodymap.settings import Settings
from bodymap.units import mm_to_m
from bodymap.views.sheet import SheetLayout

_DIGITS = 1
_SLIVER_MM2 = 1.0
_LEAST_POSITIONS = 3
_TWO_STATIONS = 2


@dataclass(frozen=True)
class DraftZone:
    """What a draft takes of one zone [mm²]; `ratio_stated`: the zone's surface ratio was measured, not taken as 1."""

    zone_id: str
    title: str
    drawn_mm2: float
    surface_mm2: float
    ratio_stated: bool


@dataclass(frozen=True)
class Draft:
    """An area not saved yet. `rings`: the boundary in sheet mm, each ring closed. `notes`: what to know of it, in words."""

    drawing_id: str
    shape: Shape
    zones: tuple[DraftZone, ...]
    drawn_mm2: float
    surface_mm2: float
    rings: tuple[tuple[tuple[float, float], ...], ...]
    notes: tuple[str, ...]


def drawn_draft(record: Record, layout: SheetLayout, ring: Sequence[tuple[float, float]], *, only_inside: bool) -> Draft:
    """A draft from a ring drawn on the sheet [sheet mm, closed or not].

    Raises:
        BodymapError: it lies on no drawing, has no area, or meets no zone.
    """
    drawing_id = _drawing_under(layout, ring)
    offset = layout.to_sheet(drawing_id, 0.0, 0.0)
    own = [(round(x - offset[0], _DIGITS), round(y - offset[1], _DIGITS)) for x, y in ring]
    if len(set(own)) < _LEAST_POSITIONS:
        raise BodymapError("the drawn shape has no area: draw round a surface")
    shape = from_shapely(shapely.Polygon(own))
    repair = mended(shape)
    notes = ["The line crossed itself; what it encloses was taken."] if repair else []
    surface = to_shapely(repair.shape if repair else shape)
    return _draft(record, layout, drawing_id, surface, notes, only_inside=only_inside)


def edge_pieces(record: Record, zone_id: str, settings: Settings) -> tuple[str, ...]:
    """The pieces of a zone's boundary between its corners, in words, in the order `band_draft` counts them."""
    shape = record.zone[zone_id].shape
    centre = to_shapely(shape).envelope.centroid
    return tuple(
        f"{number}: {_side(piece, centre)}, {mm_to_m(piece.length_mm):.2f} m"
        for number, piece in enumerate(boundary_pieces(shape, settings), start=1)
    )


def band_draft(record: Record, layout: SheetLayout, zone_id: str, piece: int, width_mm: float, settings: Settings) -> Draft:
    """A draft of a band of `width_mm` inside a zone along one piece of its boundary (0: the first).

    Raises:
        BodymapError: there is no such piece, or nothing of the band lies in the zone.
    """
    zone = record.zone[zone_id]
    pieces = boundary_pieces(zone.shape, settings)
    if not 0 <= piece < len(pieces):
        raise BodymapError(f"edge piece: found {piece + 1}; allowed: 1 to {len(pieces)}")
    band = to_shapely(band_along_edge(zone.shape, pieces[piece], width_mm))
    return _draft(record, layout, zone.drawing_id, band, [], only_inside=False)


def offset_draft(
    record: Record,
    layout: SheetLayout,
    datum_id: str,
    stations: Sequence[tuple[float | None, float | None, float | None]],
    *,
    only_inside: bool,
) -> Draft | None:
    """A draft between near and far offsets [mm] from a datum line, at stations [mm] along it; None while too few are told.

    Raises:
        BodymapError: a row is told in part, or the offsets enclose nothing.
    """
    told = [row for row in stations if any(value is not None for value in row)]
    for number, row in enumerate(told, start=1):
        if any(value is None for value in row):
            raise BodymapError(f"station row {number}: found a blank; allowed: station, near and far, all three in mm")
    if len(told) < _TWO_STATIONS:
        return None
    datum = record.datum[datum_id]
    shape = shape_from_offsets(datum.shape, [(s, n, f) for s, n, f in told])  # type: ignore[misc]
    return _draft(record, layout, datum.drawing_id, to_shapely(shape), [], only_inside=only_inside)


def area_sizes(record: Record) -> dict[str, float]:
    """Drawn mm² that each kept or masked area takes of zones, by area id (each area on its own, overlaps not taken off)."""
    return {
        area.area_id: sum(zone.drawn_mm2 for zone in area_preview(record, area.drawing_id, area.shape).values())
        for area in record.areas
    }


def _drawing_under(layout: SheetLayout, ring: Sequence[tuple[float, float]]) -> str:
    """The drawing that most of a ring's positions lie on."""
    hits: list[str] = [found[0] for x, y in ring if (found := layout.to_drawing(x, y)) is not None]
    if not hits:
        raise BodymapError("the drawn shape lies beside every drawing: draw it on one")
    return max(dict.fromkeys(hits), key=hits.count)


def _draft(
    record: Record, layout: SheetLayout, drawing_id: str, surface: BaseGeometry, notes: list[str], *, only_inside: bool
) -> Draft:
    if only_inside:
        zones = shapely.union_all([to_shapely(zone.shape) for zone in record.zones_on.get(drawing_id, ())])
        surface = shapely.intersection(surface, zones)
    polygons = [part for part in shapely.get_parts(surface) if part.geom_type == "Polygon" and part.area > _SLIVER_MM2]
    if not polygons:
        raise BodymapError("the shape takes nothing of any zone: draw it over one")
    whole = polygons[0] if len(polygons) == 1 else shapely.MultiPolygon(polygons)
    shape = from_shapely(whole)
    taken = _taken(record, drawing_id, shape)
    if not taken:
        raise BodymapError("the shape takes nothing of any zone: draw it over one")
    drawn_mm2 = sum(zone.drawn_mm2 for zone in taken)
    if record.drawing[drawing_id].schematic:
        notes.append("The drawing is schematic: these areas are estimates.")
    if whole.area - drawn_mm2 > _SLIVER_MM2:
        notes.append(f"{(whole.area - drawn_mm2) / whole.area:.0%} of the shape lies outside every zone and is not counted.")
    if not all(zone.ratio_stated for zone in taken):
        notes.append("Where no surface ratio was measured, true area is taken as drawn area.")
    rings = tuple(tuple(layout.to_sheet(drawing_id, x, y) for x, y in ring) for ring in shape.rings())
    return Draft(drawing_id, shape, taken, drawn_mm2, sum(zone.surface_mm2 for zone in taken), rings, tuple(notes))


def _taken(record: Record, drawing_id: str, shape: Shape) -> tuple[DraftZone, ...]:
    zones = []
    for zone_id, areas in area_preview(record, drawing_id, shape).items():
        zone = record.zone[zone_id]
        if areas.drawn_mm2 > 0:
            stated = zone.surface_ratio is not None
            zones.append(DraftZone(zone_id, zone.title, areas.drawn_mm2, areas.surface_mm2, stated))
    return tuple(zones)


def _side(piece: BoundaryPiece, centre: shapely.Point) -> str:
    """Where a piece lies on its zone, in words."""
    if piece.closed:
        return "round hole" if piece.hole else "whole outer edge"
    middle = shapely.LineString(piece.coordinates).interpolate(0.5, normalized=True)
    across, up = middle.x - centre.x, middle.y - centre.y
    first = ("upper" if up > 0 else "lower", "right" if across > 0 else "left")
    return f"{first[0]} edge" if abs(up) >= abs(across) else f"{first[1]} edge"
