"""The edge of a kept area as it has to be guarded in a strip: piece by piece, what lies beyond, what comes too near.

An area has one kind of edge; its boundary is told in pieces between corners, as it is taped.
"""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.finish.methods import METHODS, margin_mm, methods_for
from bodymap.finish.patches import SLIVER_MM2, surface_of
from bodymap.geometry.convert import to_shapely
from bodymap.model import Area, Record
from bodymap.model.part import Substrate
from bodymap.model.plan import StripMethod
from bodymap.release.strip_areas import ZoneSplit
from bodymap.settings import Figure, Settings
from bodymap.views.brief_pieces import piece_rows
from bodymap.views.edge_words import EdgeWords, edge_words

# What lies within this of a piece lies beyond it: the drawn line is no wider [mm].
_BEYOND_MM = 1.0


@dataclass(frozen=True)
class EdgePiece:
    """One piece of a kept edge, from corner to corner.

    Attributes:
        length_mm, least_radius_mm: along it, and of its tightest bend (None: straight).
        tape, tolerance_mm: widest tape that follows it; None: no edge kind is stated.
        beyond: titles of the zones on its other side; none: it runs along the edge of what is drawn.
        endangered_by: for each zone whose method comes nearer to it than it may, zone and method in words.
    """

    letter: str
    length_mm: float
    least_radius_mm: float | None
    tape: str
    tolerance_mm: float | None
    beyond: tuple[str, ...]
    endangered_by: tuple[str, ...]


@dataclass(frozen=True)
class MarginAsked:
    """The widest margin that the planned methods near a kept area ask for, and the figure it comes from.

    `stoppable`: a stated margin inside the zone is enough; where not (blast), the whole zone has to keep away.
    """

    margin_mm: float
    method: StripMethod
    figure: Figure | None
    zones: tuple[str, ...]
    stoppable: bool


@dataclass(frozen=True)
class KeptEdge:
    """A kept area as the strip sees it."""

    area_id: str
    title: str
    reason: str | None
    edge: EdgeWords
    edge_stated: bool
    margin_mm: float | None
    signed_by: tuple[str, ...]
    pieces: tuple[EdgePiece, ...]
    asked: MarginAsked | None
    endangered_mm2: float
    estimate: bool


@dataclass(frozen=True)
class MethodRow:
    """One way to strip, and what it may touch. `margin`: its figure; None: it may come up to the kept area."""

    method: StripMethod
    words: str
    margin: Figure | None
    ends_at_a_line: bool
    substrates: tuple[Substrate, ...]


def method_rows(settings: Settings) -> tuple[MethodRow, ...]:
    """All ways to strip, from the roughest to the gentlest."""
    substrates: tuple[Substrate, ...] = ("steel", "aluminium", "grp", "other")
    return tuple(
        MethodRow(
            name,
            method.words,
            settings.figures[method.margin_key] if method.margin_key else None,
            method.ends_at_a_line,
            tuple(one for one in substrates if name in methods_for(one)),
        )
        for name, method in METHODS.items()
    )


def kept_edge(record: Record, area: Area, splits: dict[str, ZoneSplit], settings: Settings) -> KeptEdge:
    """One kept area, its edge and what the planned strip does near it. `splits`: of `split_zones`."""
    shape, words = to_shapely(area.shape), edge_words(area.edge)
    near = {zone: split.reach_of[area.area_id] for zone, split in splits.items() if area.area_id in split.reach_of}
    danger = {zone: surface_of(surface.intersection(splits[zone].in_reach)) for zone, surface in near.items()}
    danger = {zone: surface for zone, surface in danger.items() if surface.area > SLIVER_MM2}
    pieces = [
        EdgePiece(
            row.letter, row.length_mm, row.least_radius_mm, row.tape, row.tolerance_mm,
            _beyond(record, area, shape, shapely.LineString(row.coordinates)),
            _endangered(record, danger, shapely.LineString(row.coordinates), splits, settings),
        )
        for row in piece_rows(area, words, settings)
    ]  # fmt: skip
    return KeptEdge(
        area_id=area.area_id,
        title=area.title,
        reason=area.reason,
        edge=words,
        edge_stated=area.edge is not None,
        margin_mm=area.margin,
        signed_by=tuple(one.by for one in record.signoffs if one.what == "keep" and one.subject == area.area_id),
        pieces=tuple(pieces),
        asked=_asked(record, near, splits, settings),
        endangered_mm2=sum(share.area for share in danger.values()),
        estimate=record.drawing[area.drawing_id].schematic,
    )


def _beyond(record: Record, area: Area, shape: BaseGeometry, line: BaseGeometry) -> tuple[str, ...]:
    """The zones on the other side of a piece, those it runs along farthest first."""
    band = line.buffer(_BEYOND_MM, cap_style="flat").difference(shape)
    shares = [
        (to_shapely(zone.shape).intersection(band).area, zone.title) for zone in record.zones_on.get(area.drawing_id, ())
    ]
    least = 0.02 * band.area
    return tuple(title for share, title in sorted(shares, key=lambda one: -one[0]) if share > least)


def _endangered(
    record: Record, danger: dict[str, BaseGeometry], line: BaseGeometry, splits: dict[str, ZoneSplit], settings: Settings
) -> tuple[str, ...]:
    said = []
    for zone_id, surface in danger.items():
        method, gap = splits[zone_id].method, surface.distance(line)
        reach = margin_mm(method, settings) if method else None
        if reach is not None and gap >= reach:
            continue
        how = METHODS[method].words if method else "method not stated"
        away = f"{gap:.0f} mm away, {reach:g} mm asked" if reach is not None else f"{gap:.0f} mm away"
        said.append(f"{record.zone[zone_id].title}: {how}, {away}")
    return tuple(said)


def _asked(
    record: Record, near: dict[str, BaseGeometry], splits: dict[str, ZoneSplit], settings: Settings
) -> MarginAsked | None:
    methods = {zone: method for zone in near if (method := splits[zone].method) is not None}
    if not methods:
        return None
    roughest = max(methods.values(), key=lambda method: margin_mm(method, settings))
    key = METHODS[roughest].margin_key
    return MarginAsked(
        margin_mm(roughest, settings),
        roughest,
        settings.figures[key] if key else None,
        tuple(record.zone[zone].title for zone, method in methods.items() if method == roughest),
        METHODS[roughest].ends_at_a_line,
    )
