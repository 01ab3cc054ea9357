"""The painter's mask brief: everything that one sheet in the booth says of each kept and each mask area.

All arithmetic is done here; a print only draws it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from bodymap.errors import Fault, Faults
from bodymap.geometry.areas import area_preview
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.validity import shape_fault
from bodymap.model import Area, Record, Zone
from bodymap.progress import Step, each, silent
from bodymap.settings import Figure, Settings
from bodymap.units import mm2_to_m2
from bodymap.views.brief_along import along, other_edges
from bodymap.views.brief_booth import BoothLine, booth_lines
from bodymap.views.brief_dimensions import Offset
from bodymap.views.brief_drawing import area_picture, key_picture
from bodymap.views.brief_facts import Fact, banners, cautions, counting_words, facts, stays_words
from bodymap.views.brief_letters import LetteredPiece, follows
from bodymap.views.brief_pieces import (
    PieceRow,
    TapeRow,
    area_offsets,
    behind_m,
    datum_for,
    piece_rows,
    tape_rows,
    tape_total,
)
from bodymap.views.brief_plan import MaskPlan, mask_plan
from bodymap.views.edge_words import CHECKS_AFTER, EdgeWords, edge_words
from bodymap.views.paper import Picture
from bodymap.views.running_sheet import RunningStep, running_sheet

# Least overlap with a zone that counts as lying in it: a shared edge is none.
_TOUCH_MM2 = 1.0
# Kinds of source whose file may be a picture of the surface itself; two of them fill a page.
_PICTURED = ("photo", "sample")
_PHOTOS_MOST = 2
_FIGURES = (
    "tape_lap_pct",
    "mask_film_lap_pct",
    "tape_1_5_least_radius_mm",
    "tape_3_least_radius_mm",
    "tape_6_least_radius_mm",
)


@dataclass(frozen=True)
class FilmNeed:
    """Masking film for an area: its surface, and with the lap on top [m²].

    `not_measured`: names of its zones without a stated surface ratio, counted as flat. `outside_m2`: what lies in no zone.
    """

    surface_m2: float
    with_lap_m2: float
    not_measured: tuple[str, ...]
    outside_m2: float


@dataclass(frozen=True)
class Photo:
    """A picture of an area as it was found: the source it belongs to, and the media file that holds it."""

    source_id: str
    title: str
    date: str | None
    by: str | None
    file: str


@dataclass(frozen=True)
class AreaBrief:
    """All that the brief of one area says.

    `other_edges`: pieces that are made otherwise than the rest, and how. `booth`: what is read from two metres.
    """

    area_id: str
    title: str
    purpose: str
    drawing: str
    estimate: bool
    origin: str | None
    banners: tuple[str, ...]
    stays: str
    edge: EdgeWords
    pieces: tuple[PieceRow, ...]
    datum: str | None
    datum_is_point: bool
    offsets: tuple[Offset, ...]
    tape: tuple[TapeRow, ...]
    behind_m: float
    film: FilmNeed
    facts: tuple[Fact, ...]
    plan: MaskPlan
    cautions: tuple[str, ...]
    checks: tuple[str, ...]
    picture: Picture
    key: Picture
    photos: tuple[Photo, ...] = ()
    other_edges: tuple[str, ...] = ()
    booth: tuple[BoothLine, ...] = ()

    @property
    def boundary_mm(self) -> float:
        """Length of the whole boundary."""
        return sum(piece.length_mm for piece in self.pieces)


@dataclass(frozen=True)
class BriefView:
    """The briefs of all areas of a record, and what they need together. `figures`: the working figures used.

    `tape`, `behind_m` (wide tape behind fine-line tape) and `film_with_lap_m2` count an area as often as the plan tapes it.
    """

    vehicle: str
    vehicle_id: str
    areas: tuple[AreaBrief, ...]
    tape: tuple[TapeRow, ...]
    behind_m: float
    film_with_lap_m2: float
    figures: tuple[Figure, ...]
    steps: tuple[RunningStep, ...] = ()

    @property
    def photo_files(self) -> tuple[str, ...]:
        """Names of the media files that hold its pictures, each once."""
        return tuple(dict.fromkeys(photo.file for area in self.areas for photo in area.photos))

    @property
    def estimate(self) -> bool:
        """Whether an area on a drawing that is not to scale is among them."""
        return any(area.estimate for area in self.areas)

    @property
    def counting(self) -> tuple[str, ...]:
        """How the areas are counted in the totals, in words; nothing where each goes on once."""
        return counting_words([(area.area_id, area.plan) for area in self.areas])


def brief_view(record: Record, settings: Settings, only: Sequence[str] | None = None, step: Step = silent) -> BriefView:
    """The mask brief of a record.

    Args:
        record: the record.
        settings: the figures in force.
        only: ids of the areas wanted, in the order of the record; None: all of them.
        step: is told how far it is; what it raises stops the work.

    Raises:
        KeyError: an id in `only` that is no area of the record.
        Faults: surfaces that cannot be reckoned with (one that crosses itself, for example), all of them.
    """
    for area_id in only or ():
        if area_id not in record.area:
            raise KeyError(area_id)
    wanted = [area for area in record.areas if only is None or area.area_id in only]
    _refuse_unusable(record, wanted)
    areas = tuple(area_brief(record, area, settings) for area in each(wanted, "Measuring the areas", step))
    return BriefView(
        vehicle=record.vehicle.name,
        vehicle_id=record.vehicle.vehicle_id,
        areas=areas,
        tape=tape_total(row for area in areas for row in area.tape for _ in range(area.plan.times_taped)),
        behind_m=sum(area.behind_m * area.plan.times_taped for area in areas),
        film_with_lap_m2=sum(area.film.with_lap_m2 * area.plan.times_taped for area in areas),
        figures=tuple(settings.figures[key] for key in _FIGURES),
        steps=running_sheet(record),
    )


def _refuse_unusable(record: Record, areas: Sequence[Area]) -> None:
    drawings = {area.drawing_id for area in areas}
    surfaces: list[Zone | Area] = [zone for zone in record.zones if zone.drawing_id in drawings]
    surfaces += [area for area in record.areas if area.drawing_id in drawings]
    faults = [
        Fault(one.FILE, column="geometry", found=why, allowed="a surface that does not cross itself", subject=one.ident)
        for one in surfaces
        if (why := shape_fault(one.shape))
    ]
    if faults:
        raise Faults("mask brief", sorted(faults))


def area_brief(record: Record, area: Area, settings: Settings) -> AreaBrief:
    """The brief of one area."""
    words, drawing = edge_words(area.edge), record.drawing.get(area.drawing_id)
    zones = zones_under(record, area)
    plan = mask_plan(record, area, tuple(zone.zone_id for zone in zones))
    pieces = tuple(
        replace(piece, along=along(record, area, piece.coordinates, settings)) for piece in piece_rows(area, words, settings)
    )
    estimate = drawing is not None and drawing.schematic
    datum = datum_for(record, area, zones, settings)
    # On a drawing that is not to scale an offset would look like a measure and be none.
    offsets = area_offsets(pieces, datum, settings) if datum and not estimate else ()
    return AreaBrief(
        area_id=area.area_id,
        title=area.title,
        purpose=area.purpose,
        drawing=drawing.name if drawing else area.drawing_id,
        estimate=estimate,
        origin=area.origin,
        banners=banners(record, area, plan),
        stays=stays_words(area),
        edge=words,
        pieces=pieces,
        datum=datum.name if datum else None,
        datum_is_point=datum is not None and datum.shape.type == "Point",
        offsets=offsets,
        tape=tape_rows(pieces, settings),
        behind_m=behind_m(pieces, settings),
        film=film_need(record, area, settings),
        facts=facts(record, area, zones, words, plan),
        plan=plan,
        cautions=cautions(record, area, zones, plan),
        checks=(words.check, *CHECKS_AFTER),
        picture=area_picture(record, area, _lettered(pieces, settings), offsets, datum),
        key=key_picture(record, area),
        photos=photos_of(record, area, zones),
        other_edges=other_edges(area.edge, [(piece.letter, piece.along) for piece in pieces]),
        booth=booth_lines(area, words, plan),
    )


def photos_of(record: Record, area: Area, zones: Sequence[Zone]) -> tuple[Photo, ...]:
    """Sources with a picture file that speak of an area: first those that name it, then those of its zones, by date.

    Samples count as well: the section under the lens shows what the edge must meet.
    """
    about_zone = {zone.zone_id for zone in zones}
    named = [one for one in record.sources if one.kind in _PICTURED and one.file and area.area_id in one.about]
    others = [
        one
        for one in record.sources
        if one.kind in _PICTURED and one.file and one not in named and about_zone & set(one.about)
    ]
    listed = (*sorted(named, key=lambda one: one.date or ""), *sorted(others, key=lambda one: one.date or ""))
    return tuple(Photo(one.source_id, one.title, one.date, one.by, one.file or "") for one in listed[:_PHOTOS_MOST])


def _lettered(pieces: Sequence[PieceRow], settings: Settings) -> tuple[LetteredPiece, ...]:
    corner_deg = settings.value("corner_deg")
    joins = [False, *(follows(one.coordinates, two.coordinates, corner_deg) for one, two in pairwise(pieces))]
    return tuple(
        LetteredPiece(piece.letter, piece.coordinates, (piece.tape, piece.tolerance_mm, piece.along), joined)
        for piece, joined in zip(pieces, joins, strict=True)
    )


def zones_under(record: Record, area: Area) -> tuple[Zone, ...]:
    """The zones that an area lies in, in the order of the record."""
    shares = area_preview(record, area.drawing_id, area.shape)
    return tuple(record.zone[zone_id] for zone_id, share in shares.items() if share.drawn_mm2 > _TOUCH_MM2)


def film_need(record: Record, area: Area, settings: Settings) -> FilmNeed:
    """Masking film to cover an area: true surface in its zones, drawn surface outside zones, and the lap."""
    shares = area_preview(record, area.drawing_id, area.shape).values()
    outside_mm2 = max(to_shapely(area.shape).area - sum(share.drawn_mm2 for share in shares), 0.0)
    surface_m2 = mm2_to_m2(outside_mm2 + sum(share.surface_mm2 for share in shares))
    lap = 1 + settings.value("mask_film_lap_pct") / 100
    flat = tuple(zone.title for zone in zones_under(record, area) if zone.surface_ratio is None)
    return FilmNeed(surface_m2, surface_m2 * lap, flat, mm2_to_m2(outside_mm2))
