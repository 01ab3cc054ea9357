"""The record as flat tables, one sheet a table: what the workbook of a hand-over holds."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from bodymap.film.known import known_stack, unexplained
from bodymap.film.summary import phase_of, zone_film
from bodymap.geometry.areas import areas_of
from bodymap.geometry.convert import to_shapely
from bodymap.model import JournalEntry, Record, Zone, columns_of
from bodymap.model.entry import Entry
from bodymap.settings import Settings
from bodymap.views.as_left import STATE_WORDS, LeftPiece

Cell: TypeAlias = str | float | int | bool | None


@dataclass(frozen=True)
class Sheet:
    """One table: its name, a sentence on what it holds, its columns with their units, its rows. None is a blank."""

    name: str
    about: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def sheets_of(
    record: Record, settings: Settings, pieces: Sequence[LeftPiece], journal: Sequence[JournalEntry]
) -> tuple[Sheet, ...]:
    """Every table of a record. `pieces`: the vehicle as the plan leaves it."""
    plain: tuple[tuple[str, str, Iterable[Entry]], ...] = (
        ("vehicle", "The vehicle.", (record.vehicle,)),
        ("drawings", "The flat drawings.", record.drawings),
        ("parts", "Parts of the body.", record.parts),
        ("covers", "Which part hides which zone.", record.covers),
        ("coats", "Coats: one application of one material, once in the vehicle's life. Film in µm.", record.coats),
        ("stacks", "Places where the layers were looked at; x and y in drawing mm.", record.stacks),
        ("layers", "The layers seen there; position 1 is nearest the substrate.", record.layers),
        ("readings", "Film readings in µm; x and y in drawing mm.", record.readings),
    )
    last: tuple[tuple[str, str, Iterable[Entry]], ...] = (
        ("findings", "What was found; depth in mm, severity 1 to 5.", record.findings),
        ("lines", "Painted lines; width in mm.", record.lines),
        ("sources", "Evidence, and the file it lies in.", record.sources),
        ("goals", "The finish wanted, layer by layer.", record.goals),
        ("steps", "The steps of the repaint.", record.steps),
        ("signoffs", "Decisions with a name to them.", record.signoffs),
        ("settings", "Working figures that differ from the default.", record.settings),
    )
    return (
        _zones(record, pieces),
        *(_plain(*one) for one in plain),
        _film(record, settings),
        _areas(record),
        *(_plain(*one) for one in last),
        _journal(journal),
    )


def _plain(name: str, about: str, entries: Iterable[Entry]) -> Sheet:
    held = tuple(entries)
    if not held:
        return Sheet(name, about, (), ())
    columns = [column for column in columns_of(type(held[0])) if column.kind != "shape"]
    more = dict.fromkeys(key for entry in held for key, value in entry.more.items() if isinstance(value, (str, int, float)))
    rows = tuple(
        (*(_cell(getattr(entry, column.name)) for column in columns), *(entry.more.get(key) for key in more))
        for entry in held
    )
    return Sheet(name, about, (*(column.name for column in columns), *more), rows)


def _cell(value: object) -> Cell:
    if isinstance(value, tuple):
        return ";".join(map(str, value)) or None
    return value if value is None or isinstance(value, (str, float, int)) else str(value)


def _zones(record: Record, pieces: Sequence[LeftPiece]) -> Sheet:
    areas = areas_of(record)
    states: dict[str, dict[str, float]] = {}
    for piece in pieces:
        held = states.setdefault(piece.zone_id, dict.fromkeys(STATE_WORDS, 0.0))
        held[piece.state] += piece.surface_mm2
    figures: tuple[tuple[str, Callable[[Zone], Cell]], ...] = (
        ("zone_id", lambda zone: zone.zone_id),
        ("name", lambda zone: zone.name),
        ("part_id", lambda zone: zone.part_id),
        ("part", lambda zone: record.part[zone.part_id].name),
        ("drawing_id", lambda zone: zone.drawing_id),
        ("face", lambda zone: zone.face),
        ("intent", lambda zone: zone.intent),
        ("surface_ratio", lambda zone: zone.surface_ratio),
        ("surface_ratio_from", lambda zone: zone.surface_ratio_from),
        ("estimate", lambda zone: areas.zones[zone.zone_id].estimate),
        ("drawn_mm2", lambda zone: areas.zones[zone.zone_id].drawn_mm2),
        ("surface_mm2", lambda zone: areas.zones[zone.zone_id].surface_mm2),
        ("kept_drawn_mm2", lambda zone: areas.zones[zone.zone_id].kept_drawn_mm2),
        ("kept_surface_mm2", lambda zone: areas.zones[zone.zone_id].kept_surface_mm2),
        ("margin_drawn_mm2", lambda zone: areas.zones[zone.zone_id].margin_drawn_mm2),
        *((f"plan_{state}_surface_mm2", _of_state(states, state)) for state in STATE_WORDS),
    )
    about = (
        "Zones with their areas; drawn is on the flat drawing, surface is drawn times surface_ratio. The last columns say "
    )
    about += "what the plan leaves of each: "
    about += "; ".join(f"plan_{state}: {words}" for state, words in STATE_WORDS.items()) + "."
    rows = tuple(tuple(tell(zone) for _, tell in figures) for zone in record.zones)
    return Sheet("zones", about, tuple(name for name, _ in figures), rows)


def _of_state(states: dict[str, dict[str, float]], state: str) -> Callable[[Zone], Cell]:
    return lambda zone: states.get(zone.zone_id, {}).get(state, 0.0)


def _film(record: Record, settings: Settings) -> Sheet:
    rows: list[tuple[Cell, ...]] = []
    for zone in record.zones:
        for phase in dict.fromkeys(phase_of(reading) for reading in record.readings_of.get(zone.zone_id, ())):
            film = zone_film(record, zone.zone_id, phase)
            stack = known_stack(record, zone.zone_id, settings, phase)
            rest = unexplained(record, zone.zone_id, settings, phase)
            rows.append(
                (
                    zone.zone_id, phase, film.n, film.spots, film.median_um, film.mean_um, film.sd_um, film.min_um,
                    film.max_um, len(film.refused), stack.low_um, stack.high_um, rest.verdict, rest.why,
                )
            )  # fmt: skip
    columns = (
        "zone_id", "phase", "n", "spots", "median_um", "mean_um", "sd_um", "min_um", "max_um", "not_counted",
        "stack_low_um", "stack_high_um", "unexplained", "unexplained_why",
    )  # fmt: skip
    return Sheet("film by zone", "Film of each zone in each round of readings, in µm.", columns, tuple(rows))


def _areas(record: Record) -> Sheet:
    rows = tuple(
        (
            area.area_id, area.name, area.drawing_id, area.purpose, area.reason, area.edge, area.margin, area.origin,
            to_shapely(area.shape).area, record.drawing[area.drawing_id].schematic,
        )
        for area in record.areas
    )  # fmt: skip
    columns = (
        "area_id", "name", "drawing_id", "purpose", "reason", "edge", "margin_mm", "origin", "drawn_mm2", "estimate"
    )  # fmt: skip
    return Sheet("areas", "Areas kept, and masks. origin recreated: made again, not old.", columns, rows)


def _journal(journal: Sequence[JournalEntry]) -> Sheet:
    rows = tuple((one.seq, one.at, one.by, one.why, one.act, one.kind, one.ident, one.hash) for one in journal)
    about = "The record's own history. What each entry says in full stands in record/journal.csv."
    return Sheet("journal", about, ("seq", "at", "by", "why", "act", "kind", "ident", "hash"), rows)
