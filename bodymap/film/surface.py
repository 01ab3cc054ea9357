"""The film over a panel as a surface with its standard error, only where the readings have earned one.

A panel is the zones of one part and one face on one drawing that were read; a surface never goes across parts, and
never over zones without a reading. It is earned by enough places (`surface_spots_least`) and by telling more than the
mean does: readings left out one by one must be met clearly better (`surface_gain_pct`) by the surface than by the mean of
the others. Otherwise the reason is said, and the readings are shown by themselves. Distances go straight across holes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bodymap.film.contours import Floats, Grid, grid_over
from bodymap.film.kriging import Likeness, distances, fit_matern, krige, leave_one_out, merged, solve
from bodymap.film.spots import spots_of
from bodymap.film.summary import AS_FOUND
from bodymap.geometry.convert import to_shapely
from bodymap.model.record import Record
from bodymap.progress import Step, silent, stretch
from bodymap.settings import Settings


@dataclass(frozen=True)
class Panel:
    """The zones of one part and face on one drawing, in their order."""

    part_id: str
    drawing_id: str
    face: str
    zone_ids: tuple[str, ...]


@dataclass(frozen=True)
class NotEarned:
    """Why a panel has no surface."""

    panel: Panel
    places: int
    why: str


@dataclass(frozen=True)
class FilmSurface:
    """The film over a panel.

    Attributes:
        panel: what it covers.
        shape: the zones read, as one shape [drawing mm].
        xy_mm, values_um: the places read (n, 2) and the mean reading at each (n).
        model: the likeness it was made with, fitted to these readings (sill and nugget in µm²).
        grid: where it is told; nodes outside the shape are for contouring only.
        um, se_um: film and standard error of one more reading at the nodes (ny, nx) [µm].
        nearest_mm: distance of each node from the nearest place read (ny, nx).
        loo_rmse_um: root mean square of the errors with each place left out in turn [µm].
        mean_rmse_um: the same error of the plain mean of the other places.
    """

    panel: Panel
    shape: BaseGeometry
    xy_mm: Floats
    values_um: Floats
    model: Likeness
    grid: Grid
    um: Floats
    se_um: Floats
    nearest_mm: Floats
    loo_rmse_um: float
    mean_rmse_um: float

    @property
    def inside(self) -> NDArray[np.bool_]:
        """Which nodes of the grid lie in the shape: truth values (ny, nx)."""
        return np.asarray(shapely.contains_xy(self.shape, *self.grid.nodes_mm.T)).reshape(self.grid.form)

    @property
    def says(self) -> str:
        """What it rests on, in words with the figures."""
        return (
            f"{len(self.values_um)} places; with each left out in turn it is off by {self.loo_rmse_um:.0f} µm "
            f"(the mean by {self.mean_rmse_um:.0f} µm)"
        )


def panels_read(record: Record, phase: str = AS_FOUND) -> tuple[Panel, ...]:
    """Panels with readings that count in this phase, in the order of their zones."""
    held: dict[tuple[str, str, str], list[str]] = {}
    for zone in record.zones:
        if record.readings_of.get(zone.zone_id) and spots_of(record, zone.zone_id, phase):
            held.setdefault((zone.part_id, zone.drawing_id, zone.face), []).append(zone.zone_id)
    return tuple(Panel(*key, tuple(zones)) for key, zones in held.items())


def film_surface(
    record: Record, panel: Panel, settings: Settings, phase: str = AS_FOUND, step: Step = silent
) -> FilmSurface | NotEarned:
    """The film surface of a panel, or why there is none. `step` is told how far it is, and may stop it."""
    step("Film surfaces", 0.0)
    spots = [spot for zone in panel.zone_ids for spot in spots_of(record, zone, phase)]
    placed = [(spot.x, spot.y, spot.mean_um) for spot in spots if spot.x is not None and spot.y is not None]
    least = int(settings.value("surface_spots_least"))
    told = np.array(placed, float).reshape(-1, 3)
    xy, values, _ = merged(told[:, :2], told[:, 2], settings.value("spot_merge_mm"))
    if len(values) < least:
        apart = f", {len(spots) - len(placed)} more without a place" if len(spots) > len(placed) else ""
        return NotEarned(panel, len(values), f"{len(values)} places read{apart}; a surface needs {least}")
    model = fit_matern(xy, values, settings.value("gauge_repeat_um") ** 2, stretch(step, 0.0, 0.6))
    solved = solve(xy, values, model)
    errors, _ = leave_one_out(solved)
    rmse, mean_rmse = float(np.sqrt(np.mean(errors**2))), mean_alone_rmse(values)
    if rmse > mean_rmse * (1 - settings.value("surface_gain_pct") / 100):
        return NotEarned(
            panel,
            len(values),
            f"with each place left out in turn a surface is off by {rmse:.1f} µm, the plain mean by {mean_rmse:.1f} µm: "
            "it would tell hardly more than the mean does",
        )
    shape = shapely.union_all([to_shapely(record.zone[zone].shape) for zone in panel.zone_ids])
    grid = grid_over(shape, settings.value("surface_grid_mm"))
    um, variance = krige(solved, grid.nodes_mm, exact=False, step=stretch(step, 0.6, 1.0))
    nearest = _nearest_mm(xy, grid.nodes_mm)
    return FilmSurface(
        panel, shape, xy, values, model, grid, um.reshape(grid.form), np.sqrt(variance).reshape(grid.form),
        nearest.reshape(grid.form), rmse, mean_rmse,
    )  # fmt: skip


def surfaces(
    record: Record, settings: Settings, phase: str = AS_FOUND, step: Step = silent
) -> tuple[FilmSurface | NotEarned, ...]:
    """The surface of every panel read, or why it has none. `step` is told how far it is, and may stop it."""
    panels = panels_read(record, phase)
    share = 1 / max(1, len(panels))
    made = tuple(
        film_surface(record, panel, settings, phase, stretch(step, number * share, (number + 1) * share))
        for number, panel in enumerate(panels)
    )
    step("Film surfaces", 1.0)
    return made


def mean_alone_rmse(values: Floats | Sequence[float]) -> float:
    """Root mean square error, in the values' unit, of the mean of the others, each left out in turn: s·√(n/(n − 1))."""
    numbers = np.asarray(values, float)
    return float(numbers.std(ddof=1) * math.sqrt(len(numbers) / (len(numbers) - 1)))


def _nearest_mm(xy_mm: Floats, nodes_mm: Floats, at_once: int = 20_000) -> Floats:
    parts = (nodes_mm[start : start + at_once] for start in range(0, len(nodes_mm), at_once))
    return np.concatenate([distances(xy_mm, part).min(axis=0) for part in parts])
