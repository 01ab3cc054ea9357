"""What the screen Keep and strip reads: releases, how zones divide, kept edges, what came late, the print."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bodymap.briefs.strip_sheet import strip_sheet_print, unprintable
from bodymap.model.plan import StripMethod
from bodymap.progress import Step, silent, stretch
from bodymap.release.checks import ZoneRelease, release_of
from bodymap.release.late import Late, after_release
from bodymap.release.strip_areas import ZoneSplit, split_zones
from bodymap.views.keep_edges import KeptEdge, kept_edge
from bodymap.views.strip_map import StripMap, intent_map, method_map, release_map
from bodymap.views.strip_sheet import Paper, strip_sheet_view
from bodymap.views.strip_words import zone_cautions
from dashboard.loaders import Opened, layout, moment, once
from dashboard.loaders.templates import head_of_print

_REVISIONS = 4
_EDGES = 64
_MAPS = 12
_SHEETS = 2


@once(_REVISIONS)
def releases(now: Opened) -> Mapping[str, ZoneRelease]:
    """The release of every zone, by zone_id."""
    return release_of(now.record, now.settings)


@once(_EDGES)
def release(now: Opened, zone_id: str) -> ZoneRelease:
    """The release of one zone: what its card says need not wait for all the others."""
    return release_of(now.record, now.settings, {zone_id})[zone_id]


@once(_REVISIONS)
def splits(now: Opened) -> Mapping[str, ZoneSplit]:
    """Every zone divided into what is stripped, worked by hand, kept and left alone."""
    return split_zones(now.record, now.settings)


@once(_REVISIONS)
def late(now: Opened) -> frozenset[tuple[str, str]]:
    """(kind, ident) of the as-found entries made after their zone was released."""
    return frozenset((one.kind, one.ident) for one in late_entries(now))


@once(_REVISIONS)
def late_entries(now: Opened) -> tuple[Late, ...]:
    """The as-found entries made after their zone was released."""
    return after_release(now.record, now.journal)


@once(_EDGES)
def edge(now: Opened, area_id: str) -> KeptEdge:
    """The edge of a kept area, and what the planned strip does near it."""
    return kept_edge(now.record, now.record.area[area_id], splits(now), now.settings)


@once(_MAPS)
def overlay(now: Opened, sheet: str, what: str) -> StripMap:
    """What is laid over the map: `intent`, `method` or `release`."""
    place = layout(now, sheet)
    if what == "release":
        return release_map(now.record, place, releases(now))
    if what == "method":
        return method_map(now.record, place, splits(now))
    return intent_map(now.record, place)


def caution_keys(now: Opened, zones: tuple[str, ...], method: StripMethod | None) -> frozenset[str]:
    """Keys of the cautions that stripping these zones (none: all) calls for; `method`: one that is only thought of."""
    held = splits(now)
    return frozenset().union(*(zone_cautions(now.record, held[zone], method) for zone in zones or held))


@dataclass(frozen=True)
class StripSheet:
    """The strip sheet as it is shown and as it is printed. `notes`: what the print cannot show."""

    zones: int
    released: int
    pdf: bytes
    pages: tuple[bytes, ...]
    notes: tuple[str, ...]


@once(_SHEETS)
def strip_sheet(now: Opened, zones: tuple[str, ...] | None, paper: Paper, _step: Step = silent) -> StripSheet:
    """The strip sheet of some zones; None: of all that the plan strips."""
    view = strip_sheet_view(now.record, now.settings, zones, paper, stretch(_step, 0.0, 0.4))
    pdf, pages = strip_sheet_print(view, head_of_print(now), moment(), stretch(_step, 0.4, 1.0))
    return StripSheet(view.zones, view.released, pdf, pages, unprintable(view))
