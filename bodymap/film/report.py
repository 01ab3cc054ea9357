"""All that is told of the film of a record in one phase: by zone, left against right, surfaces, suspected filler.

Judged, where a specification is given, are the readings that count and were not taken on purpose at a suspect place.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bodymap.errors import BodymapError
from bodymap.film.acceptance import Verdict, iso19840, sspc_pa2
from bodymap.film.cautions import Caution, cautions_of
from bodymap.film.filler import FillerArea, FillerReport, suspected_filler
from bodymap.film.known import KnownStack, Unexplained, known_stack, unexplained
from bodymap.film.sides import Sides, compare_sides
from bodymap.film.spots import grouped, used_readings
from bodymap.film.summary import AS_FOUND, ZoneFilm, zone_film
from bodymap.film.surface import FilmSurface, NotEarned, surfaces
from bodymap.geometry.convert import to_shapely
from bodymap.model.record import Record
from bodymap.progress import Step, each, silent, stretch
from bodymap.settings import Settings


@dataclass(frozen=True)
class Specification:
    """The film a coat should have [µm]: `nominal_um` for ISO 19840, `min_um` and `max_um` for SSPC-PA 2.

    `max_um` is the greatest film for ISO 19840 as well, where it is given.
    """

    nominal_um: float | None = None
    min_um: float | None = None
    max_um: float | None = None

    def __post_init__(self) -> None:
        given = {name: um for name, um in vars(self).items() if um is not None}
        for name, um in given.items():
            if not um > 0 or not math.isfinite(um):
                raise BodymapError(f"{name}: found {um:g}; allowed: a film greater than 0")
        if "min_um" in given and "max_um" not in given:
            raise BodymapError("min_um: found no max_um beside it; allowed: both, as SSPC-PA 2 asks for both")
        if "max_um" in given and len(given) == 1:
            raise BodymapError("max_um: found it alone; allowed: with min_um, or with nominal_um, or with both")
        for name in ("min_um", "nominal_um"):
            if name in given and given.get("max_um", math.inf) < given[name]:
                raise BodymapError(f"max_um: found {self.max_um:g}; allowed: at least {name}, {given[name]:g}")


@dataclass(frozen=True)
class ZoneReport:
    """What is told of one zone. The judges are None where no specification was given for them; `targeted`: not judged."""

    film: ZoneFilm
    stack: KnownStack
    unexplained: Unexplained
    cautions: tuple[Caution, ...]
    targeted: tuple[str, ...]
    iso19840: Verdict | None
    sspc_pa2: Verdict | None

    @property
    def to_look_at(self) -> bool:
        """Film that the stack does not explain, or a coat rejected."""
        judged = [verdict.verdict for verdict in (self.iso19840, self.sspc_pa2) if verdict]
        return self.unexplained.verdict in ("excess", "deficit") or "reject" in judged


@dataclass(frozen=True)
class FilmReport:
    """Film of a record in one phase."""

    phase: str
    zones: Mapping[str, ZoneReport]
    sides: Sides
    surfaces: tuple[FilmSurface | NotEarned, ...]
    filler: FillerReport

    @property
    def to_look_at(self) -> bool:
        """Whether any zone has film unexplained or a coat rejected."""
        return any(zone.to_look_at for zone in self.zones.values())

    def as_json(self) -> dict[str, Any]:
        """The object that the `bodymap film` command prints: numbers not rounded, keys that do not apply left out."""
        return {
            "phase": self.phase,
            "zones": {zone_id: _zone_json(zone) for zone_id, zone in self.zones.items()},
            "sides": [_told(vars(side)) for side in self.sides.compared],
            "sides_left_out": [vars(side) for side in self.sides.left_out],
            "surfaces": [_surface_json(surface) for surface in self.surfaces],
            "filler": [_filler_json(area) for area in self.filler.areas],
            "filler_notes": list(self.filler.notes),
        }


def film_report(
    record: Record,
    settings: Settings,
    asked: Specification | None = None,
    phase: str = AS_FOUND,
    step: Step = silent,
) -> FilmReport:
    """Everything told of the film of a record in one phase. `step` is told how far it is, and may stop it.

    Raises:
        BodymapError: a phase that is none of the record's.
    """
    if phase not in (AS_FOUND, "after strip") and phase not in record.coat:
        raise BodymapError(f"phase: found {phase!r}; allowed: as found, after strip or a coat_id of the record")
    made = surfaces(record, settings, phase, stretch(step, 0.0, 0.9))
    zones = each(record.zones, "Film of each zone", stretch(step, 0.9, 1.0))
    return FilmReport(
        phase,
        {zone.zone_id: _zone_report(record, zone.zone_id, settings, asked or Specification(), phase) for zone in zones},
        compare_sides(record, settings, phase),
        made,
        suspected_filler(record, settings, phase, made),
    )


def _zone_report(record: Record, zone_id: str, settings: Settings, asked: Specification, phase: str) -> ZoneReport:
    used, _ = used_readings(record, zone_id, phase)
    judged = [reading for reading in used if not reading.targeted]
    area_mm2 = to_shapely(record.zone[zone_id].shape).area * record.zone[zone_id].ratio
    iso = pa2 = None
    if asked.nominal_um is not None:
        iso = iso19840([reading.um for reading in judged], asked.nominal_um, asked.max_um, area_mm2)
    if asked.min_um is not None and asked.max_um is not None:
        pa2 = sspc_pa2([spot.values_um for spot in grouped(judged)], asked.min_um, asked.max_um)
    return ZoneReport(
        zone_film(record, zone_id, phase),
        known_stack(record, zone_id, settings, phase),
        unexplained(record, zone_id, settings, phase),
        cautions_of(record, zone_id, settings, phase),
        tuple(reading.reading_id for reading in used if reading.targeted),
        iso,
        pa2,
    )


# --- as JSON -----------------------------------------------------------------------------------------------------------


def _told(values: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in values.items() if value is not None}


def _zone_json(zone: ZoneReport) -> dict[str, Any]:
    film = {name: value for name, value in vars(zone.film).items() if name not in ("zone_id", "refused")}
    left = zone.unexplained
    return _told(
        film
        | {
            "refused": [{"reading": refused.reading_id, "why": refused.why} for refused in zone.film.refused],
            "targeted": list(zone.targeted),
            "stack_um": [zone.stack.low_um, zone.stack.high_um] if zone.stack.known else None,
            "stack_why": zone.stack.why,
            "unexplained_um": _told(
                {"low": left.low_um, "high": left.high_um, "u": left.u_um, "verdict": left.verdict, "why": left.why}
            ),
            "cautions": [{"what": caution.what, "readings": list(caution.reading_ids)} for caution in zone.cautions],
            "iso19840": vars(zone.iso19840) if zone.iso19840 else None,
            "sspc_pa2": vars(zone.sspc_pa2) if zone.sspc_pa2 else None,
        }
    )


def _surface_json(surface: FilmSurface | NotEarned) -> dict[str, Any]:
    panel = {**vars(surface.panel), "zone_ids": list(surface.panel.zone_ids)}
    if isinstance(surface, NotEarned):
        return panel | {"earned": False, "places": surface.places, "why": surface.why}
    inside = surface.inside
    return panel | {
        "earned": True,
        "places": len(surface.values_um),
        "why": surface.says,
        "loo_rmse_um": surface.loo_rmse_um,
        "mean_rmse_um": surface.mean_rmse_um,
        "model": vars(surface.model),
        "min_um": float(surface.um[inside].min()),
        "max_um": float(surface.um[inside].max()),
        "se_most_um": float(surface.se_um[inside].max()),
    }


def _filler_json(area: FillerArea) -> dict[str, Any]:
    held = {name: _plain(value) for name, value in vars(area).items() if name not in ("geometry", "refill")}
    return held | {"refill": vars(area.refill)}


def _plain(value: Any) -> Any:
    return list(value) if isinstance(value, Sequence) and not isinstance(value, str) else value
