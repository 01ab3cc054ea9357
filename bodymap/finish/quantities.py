"""What the plan takes, by step: paint of each coat, surface to strip, filler. Every figure with what it rests on.

Surface is true surface (drawn area × surface ratio) that gets the coat in full in that step; mist takes next to nothing
and is told, not counted. Paint lost past the metal is in the transfer efficiency and nowhere else. A figure that is not
stated makes what hangs on it `not stated` too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from bodymap.finish.materials import Material, Span, materials_of
from bodymap.finish.paint import filler_litres, litres, passes, wet_um
from bodymap.finish.worked import Coated, Stripped, worked
from bodymap.model.coat import Coat
from bodymap.model.plan import Step, StripMethod
from bodymap.model.record import Record
from bodymap.settings import Settings
from bodymap.units import mm2_to_m2

_SOLIDS = "volume solids not stated: take them from the data sheet, by volume, not by weight"


@dataclass(frozen=True)
class CoatQuantity:
    """What one coat step takes. Areas [mm²]; a Span runs from the thin to the thick end of the film.

    Attributes:
        zones: zones that get it in full.
        surface_mm2: their true surface; `drawn_mm2` the drawn one; `mist_surface_mm2` what gets mist only.
        paint_l: paint as it comes [L]; filler: with what is rubbed off again.
        thinner_l: thinner added to it [L]; `ready_l`: both together, ready to spray.
        wet_um: wet film of all passes together [µm], thinner included where it is stated.
        wet_pass_um: wet film of one pass [µm], as a comb in the wet paint reads it.
        passes: fewest and most passes.
        in_place_l: filler that stays [L]; None for paint.
        missing: what is not stated, and so could not be reckoned.
        basis: what the figures rest on, in words.
        estimate: zones on a schematic drawing are among them.
    """

    step: int
    coat_id: str
    name: str
    zones: tuple[str, ...]
    drawn_mm2: float
    surface_mm2: float
    mist_surface_mm2: float
    paint_l: Span | None
    thinner_l: Span | None
    ready_l: Span | None
    wet_um: Span | None
    wet_pass_um: float | None
    passes: tuple[int, int] | None
    in_place_l: Span | None
    missing: tuple[str, ...]
    basis: tuple[str, ...]
    estimate: bool


@dataclass(frozen=True)
class StripQuantity:
    """Surface stripped in one step by one method (None: not stated) [mm², true]; the margin in it is worked by hand."""

    step: int
    method: StripMethod | None
    zones: tuple[str, ...]
    surface_mm2: float
    margin_surface_mm2: float
    basis: tuple[str, ...]
    estimate: bool


@dataclass(frozen=True)
class Quantities:
    """What the plan takes, in the order of its steps."""

    coats: tuple[CoatQuantity, ...]
    strips: tuple[StripQuantity, ...]

    @property
    def strip_by_method(self) -> dict[StripMethod | None, float]:
        """True surface stripped by each method [mm²]; the margins of kept areas count as hand work."""
        totals: dict[StripMethod | None, float] = {}
        for row in self.strips:
            totals[row.method] = totals.get(row.method, 0.0) + row.surface_mm2 - row.margin_surface_mm2
            if row.margin_surface_mm2:
                totals["hand"] = totals.get("hand", 0.0) + row.margin_surface_mm2
        return totals


def quantities(
    record: Record,
    settings: Settings,
    materials: Mapping[str, Material] | None = None,
    steps: Iterable[Step] | None = None,
) -> Quantities:
    """What the record's plan (or other steps) takes. `materials`: by coat_id; those of the record where it has none."""
    held = {**materials_of(record, settings), **(materials or {})}
    work = worked(record, settings, steps)
    coats = tuple(
        _coat_quantity(record, settings, record.coat[coat_id], held[coat_id], rows)
        for (_, coat_id), rows in _grouped(work.coated).items()
    )
    strips = tuple(_strip_quantity(record, rows) for rows in _by_step(work.stripped).values())
    return Quantities(coats, strips)


def _grouped(rows: Sequence[Coated]) -> dict[tuple[int, str], list[Coated]]:
    groups: dict[tuple[int, str], list[Coated]] = {}
    for row in rows:
        groups.setdefault((row.step, row.coat_id), []).append(row)
    return groups


def _by_step(rows: Sequence[Stripped]) -> dict[int, list[Stripped]]:
    groups: dict[int, list[Stripped]] = {}
    for row in rows:
        groups.setdefault(row.step, []).append(row)
    return groups


@dataclass(frozen=True)
class _Paint:
    """What a surface takes of a material."""

    paint_l: Span | None = None
    thinner_l: Span | None = None
    ready_l: Span | None = None
    wet_um: Span | None = None
    wet_pass_um: float | None = None
    in_place_l: Span | None = None


def _coat_quantity(
    record: Record, settings: Settings, coat: Coat, material: Material, rows: Sequence[Coated]
) -> CoatQuantity:
    full = [row for row in rows if row.extent == "full"]
    surface_mm2 = sum(row.surface_mm2 for row in full)
    mist_mm2 = sum(row.surface_mm2 for row in rows if row.extent == "mist")
    paint = _filler(surface_mm2, material, settings) if coat.kind == "filler" else _paint(surface_mm2, material)
    zones = tuple(row.zone_id for row in full)
    basis = [*_surface_basis(record, zones, surface_mm2), *material.basis]
    if mist_mm2:
        basis.append(f"mist on {mm2_to_m2(mist_mm2):.2f} m² not counted")
    if coat.kind == "filler":
        waste = settings.figures["filler_waste_pct"]
        basis.append(f"{waste.value:g} % rubbed off again: {waste.basis}; {waste.source}")
    return CoatQuantity(
        step=rows[0].step,
        coat_id=coat.coat_id,
        name=coat.name,
        zones=zones,
        drawn_mm2=sum(row.drawn_mm2 for row in full),
        surface_mm2=surface_mm2,
        mist_surface_mm2=mist_mm2,
        paint_l=paint.paint_l,
        thinner_l=paint.thinner_l,
        ready_l=paint.ready_l,
        wet_um=paint.wet_um,
        wet_pass_um=paint.wet_pass_um,
        passes=_passes(material),
        in_place_l=paint.in_place_l,
        missing=_missing(coat, material),
        basis=tuple(basis),
        estimate=_estimate(record, zones),
    )


def _paint(surface_mm2: float, material: Material) -> _Paint:
    film, solids, thinning = material.film_um, material.volume_solids_pct, material.thinning_pct
    if film is None or solids is None:
        return _Paint()
    paint = Span(*(litres(surface_mm2, um, solids, material.transfer) for um in (film.low, film.high)))
    wet = Span(*(wet_um(um, solids, thinning or 0.0) for um in (film.low, film.high)))
    of_pass = None if material.pass_um is None else wet_um(material.pass_um, solids, thinning or 0.0)
    if thinning is None:
        return _Paint(paint, wet_um=wet, wet_pass_um=of_pass)
    thinner = paint.times(thinning / 100)
    return _Paint(paint, thinner, paint + thinner, wet, of_pass)


def _filler(surface_mm2: float, material: Material, settings: Settings) -> _Paint:
    if material.film_um is None:
        return _Paint()
    in_place = Span(*(filler_litres(surface_mm2, um) for um in (material.film_um.low, material.film_um.high)))
    return _Paint(in_place.times(1 + settings.value("filler_waste_pct") / 100), in_place_l=in_place)


def _passes(material: Material) -> tuple[int, int] | None:
    if material.film_um is None or material.pass_um is None:
        return None
    return passes(material.film_um.low, material.pass_um), passes(material.film_um.high, material.pass_um)


def _missing(coat: Coat, material: Material) -> tuple[str, ...]:
    missing = []
    if material.film_um is None:
        missing.append("film not stated")
    if coat.kind != "filler":
        missing += [_SOLIDS] if material.volume_solids_pct is None else []
        missing += ["thinning not stated: a wet film is of the paint as it comes"] if material.thinning_pct is None else []
    if material.pass_um is None:
        missing.append("film of a pass not stated: passes not counted")
    return tuple(missing)


def _strip_quantity(record: Record, rows: Sequence[Stripped]) -> StripQuantity:
    surface_mm2, zones = sum(row.surface_mm2 for row in rows), tuple(row.zone_id for row in rows)
    basis = _surface_basis(record, zones, surface_mm2)
    margin_mm2 = sum(row.margin_surface_mm2 for row in rows)
    return StripQuantity(
        rows[0].step,
        rows[0].method,
        zones,
        surface_mm2,
        margin_mm2,
        (*basis, "kept areas left out"),
        _estimate(record, zones),
    )


def _surface_basis(record: Record, zones: Sequence[str], surface_mm2: float) -> tuple[str, ...]:
    counted = f"{len(zones)} zone{'' if len(zones) == 1 else 's'}"
    said = [f"surface {mm2_to_m2(surface_mm2):.2f} m²: {counted}, drawn area × surface ratio"]
    flat = sum(record.zone[zone].surface_ratio is None for zone in zones)
    if flat:
        said.append(f"{flat} of them without a measured surface ratio, counted as flat: rather too little")
    if _estimate(record, zones):
        said.append("some are on a schematic drawing: an estimate")
    return tuple(said)


def _estimate(record: Record, zones: Sequence[str]) -> bool:
    return any(record.drawing[record.zone[zone].drawing_id].schematic for zone in zones)
