"""Suspected filler: where film is thicker than paint is, how many m² and litres, and what filling it again would take.

With a film surface the area is the contour at `filler_suspect_um` and the volume an integral; without one, a zone whose
median lies above it counts whole, by the mean of its spots, and says so. Paint over the filler is taken off by the
zone's as-found stack. A gauge cannot tell filler from body solder or many repaints: it stays a suspicion.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.film.contours import above, integral
from bodymap.film.known import range_um
from bodymap.film.spots import Spot, spots_of
from bodymap.film.summary import AS_FOUND
from bodymap.film.surface import FilmSurface, NotEarned, Panel, surfaces
from bodymap.film.uncertainty import gauge_u_um
from bodymap.geometry.convert import to_shapely
from bodymap.history.as_found import as_found_stack
from bodymap.model.record import Record
from bodymap.settings import Settings
from bodymap.units import MM3_PER_LITRE, UM_PER_MM


@dataclass(frozen=True)
class Refill:
    """Filler to put in again [L]: `low`..`high` in place with the shrink margin, `mixed` for it; and a warning or ""."""

    low_litres: float
    high_litres: float
    mixed_litres: float
    warning: str


@dataclass(frozen=True)
class FillerArea:
    """One area of suspected filler.

    Attributes:
        zone_ids: the zones it lies in.
        by: `surface`: contour and integral; `mean`: the whole zone, by the mean of its spots.
        geometry: its shape [drawing mm].
        drawn_mm2, surface_mm2: area drawn and true [mm²].
        mean_um, most_um: mean and greatest film over it [µm], paint included.
        paint_um: least and greatest film of the paint over it [µm].
        litres, low_litres, high_litres: filler in place [L], middle and both ends (paint range and gauge).
        refill: what filling it again would take.
        why: what it rests on, in words.
    """

    part_id: str
    drawing_id: str
    zone_ids: tuple[str, ...]
    by: Literal["surface", "mean"]
    geometry: BaseGeometry
    drawn_mm2: float
    surface_mm2: float
    mean_um: float
    most_um: float
    paint_um: tuple[float, float]
    litres: float
    low_litres: float
    high_litres: float
    refill: Refill
    why: str


@dataclass(frozen=True)
class FillerReport:
    """Areas of suspected filler, and what could not be drawn as one."""

    areas: tuple[FillerArea, ...]
    notes: tuple[str, ...]


def suspected_filler(
    record: Record, settings: Settings, phase: str = AS_FOUND, made: Sequence[FilmSurface | NotEarned] | None = None
) -> FillerReport:
    """Suspected filler of a record in one phase; `made`: its surfaces, where they are there already."""
    areas: list[FillerArea] = []
    notes: list[str] = []
    for surface in surfaces(record, settings, phase) if made is None else made:
        if isinstance(surface, FilmSurface):
            areas += _by_surface(record, surface, settings)
        else:
            for zone_id in surface.panel.zone_ids:
                _by_mean(record, surface, zone_id, settings, phase, areas, notes)
    return FillerReport(tuple(areas), tuple(notes))


def paint_over_um(record: Record, zone_id: str, settings: Settings) -> tuple[float, float] | None:
    """Least and greatest film [µm] of all coats but filler in the as-found stack of a zone; None where not known."""
    stack = as_found_stack(record, zone_id)
    if stack is None:
        return None
    layers = [layer for layer in record.layers_of.get(stack.stack_id, ()) if record.coat[layer.coat_id].kind != "filler"]
    ranges = [range_um(record, layer, settings) for layer in layers]
    known = [told for told in ranges if told is not None]
    return (sum(low for low, _ in known), sum(high for _, high in known)) if len(known) == len(ranges) else None


def refill(low_litres: float, litres: float, high_litres: float, most_um: float, settings: Settings) -> Refill:
    """What filling an area again takes, from its filler in place [L] and greatest depth [µm]."""
    margin = 1 + settings.value("filler_shrink_pct") / 100
    advised_mm = settings.value("filler_most_mm")
    warning = ""
    if most_um > advised_mm * UM_PER_MM:
        warning = f"up to {most_um / UM_PER_MM:.1f} mm deep, more than the {advised_mm:g} mm advised: metalwork, not filler"
    mixed = litres * settings.value("filler_mix_factor")
    return Refill(low_litres * margin, high_litres * margin, mixed, warning)


def _by_surface(record: Record, surface: FilmSurface, settings: Settings) -> Iterator[FillerArea]:
    level = settings.value("filler_suspect_um")
    for piece in shapely.get_parts(above(surface.grid, surface.um, surface.shape, level)):
        if piece.is_empty:
            continue
        shares = []
        for zone_id in surface.panel.zone_ids:
            inside = to_shapely(record.zone[zone_id].shape).intersection(piece)
            if inside.area > 0:
                ratio = record.zone[zone_id].ratio
                shares.append(
                    _Share(zone_id, inside.area, inside.area * ratio, integral(surface.grid, surface.um, inside) * ratio)
                )
        inside = shapely.contains_xy(piece, *surface.grid.nodes_mm.T).reshape(surface.grid.form)
        most = float(surface.um[inside].max()) if inside.any() else level
        yield _area(record, surface.panel, "surface", piece, shares, most, 0.0, surface.says, settings)


def _by_mean(
    record: Record,
    reason: NotEarned,
    zone_id: str,
    settings: Settings,
    phase: str,
    areas: list[FillerArea],
    notes: list[str],
) -> None:
    level, spots = settings.value("filler_suspect_um"), spots_of(record, zone_id, phase)
    means = [spot.mean_um for spot in spots]
    high = sum(um > level for um in means)
    if not high:
        return
    if statistics.median(means) <= level:
        notes.append(
            f"{zone_id}: {high} of {len(means)} places lie above {level:g} µm; no area can be drawn round them: {reason.why}"
        )
        return
    shape, ratio, mean = to_shapely(record.zone[zone_id].shape), record.zone[zone_id].ratio, statistics.fmean(means)
    share = _Share(zone_id, shape.area, shape.area * ratio, shape.area * ratio * mean)
    why = f"the whole zone by the mean of {len(means)} places, as no surface is drawn: {reason.why}"
    areas.append(_area(record, reason.panel, "mean", shape, [share], max(means), _mean_scatter_um(spots), why, settings))


@dataclass(frozen=True)
class _Share:
    """Part of an area in one zone: drawn and true area [mm²], and film over it [µm·mm², true]."""

    zone_id: str
    drawn_mm2: float
    surface_mm2: float
    film: float


def _area(
    record: Record, panel: Panel, by: Literal["surface", "mean"], geometry: BaseGeometry, shares: Sequence[_Share],
    most_um: float, scatter_um: float, why: str, settings: Settings,
) -> FillerArea:  # fmt: skip
    true_mm2, film = sum(share.surface_mm2 for share in shares), sum(share.film for share in shares)
    paint_low = paint_high = 0.0
    if record.drawing[panel.drawing_id].schematic:
        why += "; the drawing is schematic: area and volume are estimates"
    for share in shares:
        paint = paint_over_um(record, share.zone_id, settings)
        if paint is None:
            paint = (0.0, settings.value("filler_suspect_um"))
            why += f"; the paint over it in {share.zone_id} is not known, 0–{paint[1]:g} µm taken"
        paint_low += paint[0] * share.surface_mm2
        paint_high += paint[1] * share.surface_mm2
    u = math.hypot(gauge_u_um(film / true_mm2, settings), scatter_um) * true_mm2
    low, middle, high = (
        max(0.0, amount) / UM_PER_MM / MM3_PER_LITRE
        for amount in (film - paint_high - u, film - (paint_low + paint_high) / 2, film - paint_low + u)
    )
    return FillerArea(
        panel.part_id, panel.drawing_id, tuple(share.zone_id for share in shares), by, geometry,
        sum(share.drawn_mm2 for share in shares), true_mm2, film / true_mm2, most_um,
        (paint_low / true_mm2, paint_high / true_mm2), middle, low, high,
        refill(low, middle, high, most_um - paint_low / true_mm2, settings), why,
    )  # fmt: skip


def _mean_scatter_um(spots: Sequence[Spot]) -> float:
    if len(spots) < 2:
        return 0.0
    return 2 * statistics.stdev(spot.mean_um for spot in spots) / math.sqrt(len(spots))
