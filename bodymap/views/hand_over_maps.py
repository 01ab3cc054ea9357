"""The maps of a hand-over file: as found, as left, what is old and what was made again, film, what nobody has seen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from bodymap.model import Record, Zone
from bodymap.model.drawing import DrawingKind
from bodymap.settings import Settings
from bodymap.views.as_left import STATE_WORDS, LeftPiece, State, record_as_left
from bodymap.views.hand_over_parts import Map
from bodymap.views.layout import lay_out
from bodymap.views.legend import zone_legend
from bodymap.views.sheet import Mark, SheetChoice, SheetView, Tint, sheet_view
from bodymap.views.sheet_zones import Scale, texture_strokes, tinted_zones
from bodymap.views.tints import ZoneTint

# The width of a sheet on a landscape A4 page less its margins, in pixels of 1/96 inch: 277 mm.
MAP_PX = 1046.0
_KINDS: tuple[tuple[DrawingKind, str], ...] = (("outside", "outside"), ("hidden", "hidden faces"))
# What was made again is mostly the largest surface, and plain; what is old has a texture: told apart without colour too.
_TINTS: Mapping[State, ZoneTint] = {
    "kept": ZoneTint("#9cc7b4", "partly", STATE_WORDS["kept"]),
    "kept_harmed": ZoneTint("#e2a48f", "open", STATE_WORDS["kept_harmed"]),
    "as_found": ZoneTint("#d5e6dc", "not_made", STATE_WORDS["as_found"]),
    "not_seen": ZoneTint("unseen", "unseen", STATE_WORDS["not_seen"]),
    "over": ZoneTint("#f0dcb4", "partly", STATE_WORDS["over"]),
    "over_unseen": ZoneTint("#f0dcb4", "unseen", STATE_WORDS["over_unseen"]),
    "again": ZoneTint("#f1cdb2", "solid", STATE_WORDS["again"]),
    "bare": ZoneTint("trim", "absent", STATE_WORDS["bare"]),
}


def maps_of(
    record: Record, settings: Settings, ident: str, title: str, tint: Tint, marks: frozenset[Mark]
) -> tuple[Map, ...]:
    """One map for the outside and one for the hidden faces, where there are such drawings."""
    record = record.with_kind("area", [area for area in record.areas if area.purpose == "keep"])
    return tuple(
        _map(ident, title, words, sheet_view(record, _choice(record, kind, tint, marks), settings))
        for kind, words in _kinds(record)
    )


def maps_as_left(record: Record, settings: Settings, pieces: Sequence[LeftPiece]) -> tuple[Map, ...]:
    """The finish that the plan comes to."""
    drawn, _ = record_as_left(record, tuple(pieces))
    return maps_of(drawn, settings, "as-left", "As left", "finish", frozenset({"kept"}))


def maps_old_and_new(record: Record, settings: Settings, pieces: Sequence[LeftPiece]) -> tuple[Map, ...]:
    """What is old and what was made again."""
    drawn, held = record_as_left(record, tuple(pieces))
    drawn = drawn.with_kind("area", [area for area in record.areas if area.purpose == "keep"])
    return tuple(
        _map("old-and-new", "What is old, what was made again", words, _by_state(drawn, held, kind, settings))
        for kind, words in _kinds(record)
    )


def _by_state(record: Record, held: Mapping[str, LeftPiece], kind: DrawingKind, settings: Settings) -> SheetView:
    choice = _choice(record, kind, "plain", frozenset({"kept"}))
    view, layout = sheet_view(record, choice, settings), lay_out(record, kind)
    scale = Scale(view.mm_per_px, view.mm_per_px)

    def tint(zone: Zone) -> ZoneTint:
        return _TINTS[held[zone.zone_id].state]

    zones = tinted_zones(record, layout, tint, (), scale)
    return replace(
        view,
        zones=tuple(zone.view for zone in zones),
        textures=texture_strokes(zones),
        legend=(*zone_legend(zones, "finish"), *view.legend),
    )


def _kinds(record: Record) -> Iterator[tuple[DrawingKind, str]]:
    for kind, words in _KINDS:
        if any(drawing.kind == kind for drawing in record.drawings):
            yield kind, words


def _choice(record: Record, kind: DrawingKind, tint: Tint, marks: frozenset[Mark]) -> SheetChoice:
    mm_per_px = max(lay_out(record, kind).bounds[2] / MAP_PX, 0.01)
    return SheetChoice(kind, tint, marks=marks, mm_per_px=mm_per_px)


def _map(ident: str, title: str, words: str, view: SheetView) -> Map:
    zones: dict[str, list[str]] = {}
    for zone in view.zones:
        if zone.state:
            zones.setdefault(zone.state, []).append(zone.title)
    told = [f"{state}: {_some(titles)}" for state, titles in zones.items()]
    kept = [area.words[0] for area in view.areas]
    told += [f"marked: {_some(kept)}"] if kept else []
    return Map(f"{ident}-{view.choice.kind}", f"{title}: {words}", f"{title}, {words}. " + "; ".join(told), view)


def _some(titles: Sequence[str]) -> str:
    named = list(dict.fromkeys(titles))
    return ", ".join(named[:8]) + (f" and {len(named) - 8} more" if len(named) > 8 else "")
