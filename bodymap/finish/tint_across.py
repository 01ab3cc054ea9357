"""Film of a tinted coat on the zones of the body, from film readings, and the colour difference it makes across the body.

A gauge reads all coats together. Film of the tinted coat = reading − the other coats, and is no better known than those:
as found, the others are the layers of the zone's as-found stack; for a coat of the plan (readings taken in its own phase),
what was read before it where that was read, and the planned coats between. Bounds are worst case: all other coats at
their thin or thick end, the gauge out by its uncertainty.
"""

from __future__ import annotations

import statistics
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from bodymap.errors import BodymapError
from bodymap.film.summary import AS_FOUND, reading_u_um, zone_film
from bodymap.finish.tint import Lab, TintFit
from bodymap.history.as_found import LayersSeen, as_found_stack, layers_seen
from bodymap.model.record import Record
from bodymap.model.stack import Extent
from bodymap.settings import Settings

Verdict = Literal["differs", "alike", "cannot tell"]
AFTER_STRIP = "after strip"


@dataclass(frozen=True)
class TintFilm:
    """Film of the tinted coat on one zone [µm]: most likely, thin end, thick end; all None where `why_not` says why.

    `n`: readings behind it. `taken_off`: what was taken off the reading, in words.
    """

    zone_id: str
    um: float | None
    low_um: float | None
    high_um: float | None
    n: int
    taken_off: str
    why_not: str | None


@dataclass(frozen=True)
class TintAcross:
    """Colour predicted for one zone against the reference film.

    `delta_e`: for the most likely film; `least_delta_e`, `most_delta_e`: for the nearest and farthest film its bounds
    allow. `beyond_card`: its film lies outside the fitted range.
    """

    film: TintFilm
    lab: Lab
    delta_e: float
    least_delta_e: float
    most_delta_e: float
    beyond_card: bool
    verdict: Verdict


def tint_films(record: Record, coat_id: str, settings: Settings) -> tuple[TintFilm, ...]:
    """Film of a tinted coat on every zone that has readings and the coat in full, in the order of the record.

    Raises:
        BodymapError: no such coat.
    """
    if coat_id not in record.coat:
        raise BodymapError(f"tinted coat: found {coat_id!r}; allowed: a coat of the record")
    films = []
    for zone in record.zones:
        planned = zone_film(record, zone.zone_id, coat_id).n > 0
        film = (_planned if planned else _as_found)(record, zone.zone_id, coat_id, settings)
        films += [film] if film else []
    return tuple(films)


def _as_found(record: Record, zone_id: str, coat_id: str, settings: Settings) -> TintFilm | None:
    read = zone_film(record, zone_id)
    stacks = record.stacks_of.get(zone_id, ())
    if not read.n or not any((coat_id, "full") in layers_seen(record, stack) for stack in stacks):
        return None
    stack = as_found_stack(record, zone_id)
    if stack is None:
        return _unknown(zone_id, read.n, "no stack of this zone reaches the substrate: what lies below is not known")
    layers = layers_seen(record, stack)
    if layers.count((coat_id, "full")) != 1:
        return _unknown(zone_id, read.n, f"{coat_id} is not there once in {stack.stack_id}")
    others = tuple(layer for layer in layers if layer != (coat_id, "full"))
    return _film(record, zone_id, coat_id, (AS_FOUND, None), others, settings)


def _planned(record: Record, zone_id: str, coat_id: str, settings: Settings) -> TintFilm:
    goal = sorted((one for one in record.goals if one.zone_id == zone_id), key=lambda one: one.position)
    below: list[tuple[str, Extent]] = []
    for layer in goal:
        if layer.coat_id == coat_id:
            break
        below.append((layer.coat_id, layer.extent))
    else:
        n = zone_film(record, zone_id, coat_id).n
        return _unknown(zone_id, n, f"no goal of this zone has {coat_id}: what lies below is not known")
    between: list[tuple[str, Extent]] = []
    while below:
        if zone_film(record, zone_id, below[-1][0]).n:
            return _film(record, zone_id, coat_id, (coat_id, below[-1][0]), tuple(between), settings)
        between.insert(0, below.pop())
    before = AFTER_STRIP if zone_film(record, zone_id, AFTER_STRIP).n else None
    return _film(record, zone_id, coat_id, (coat_id, before), tuple(between), settings)


def _film(
    record: Record,
    zone_id: str,
    coat_id: str,
    phases: tuple[str, str | None],
    others: LayersSeen,
    settings: Settings,
) -> TintFilm:
    """Reading of a phase less the reading of an earlier one (None: bare) and less the films of other layers."""
    after, before = (zone_film(record, zone_id, phase) if phase else None for phase in phases)
    if after is None or after.mean_um is None:
        return _unknown(zone_id, 0, "no readings that count")
    ranges = [(coat, *_usual_um(record, coat, extent, settings)) for coat, extent in others]
    unknown = [coat for coat, low, high in ranges if low is None or high is None]
    if unknown:
        return _unknown(zone_id, after.n, f"film of {', '.join(unknown)} not stated in coats.csv (um_low, um_high)")
    um, u = after.mean_um, reading_u_um(after.mean_um, settings)
    told = [f"reading {after.mean_um:.0f} µm"]
    if before is not None and before.mean_um is not None:
        um, u = um - before.mean_um, u + reading_u_um(before.mean_um, settings)
        told.append(f"{before.mean_um:.0f} µm read before ({phases[1]})")
    low, high = sum(low or 0.0 for _, low, _ in ranges), sum(high or 0.0 for _, _, high in ranges)
    if ranges:
        told.append(f"{low:g}–{high:g} µm for {', '.join(coat for coat, _, _ in ranges)}")
    least, most = um - high - u, um - low + u
    if most < 0:
        return _unknown(zone_id, after.n, f"{' − '.join(told)} leaves nothing for {coat_id}: layers or reading are wrong")
    middle = max(um - (low + high) / 2, 0.0)
    return TintFilm(zone_id, middle, max(least, 0.0), most, after.n, " − ".join(told), None)


def _unknown(zone_id: str, n: int, why: str) -> TintFilm:
    return TintFilm(zone_id, None, None, None, n, "", why)


def _usual_um(record: Record, coat_id: str, extent: Extent, settings: Settings) -> tuple[float | None, float | None]:
    """Usual film of a layer [µm], thin and thick end; mist is anything from nothing to the most that counts as mist."""
    if extent == "mist":
        return 0.0, settings.value("mist_most_um")
    coat = record.coat[coat_id]
    return (0.0, 0.0) if extent == "none" else (coat.um_low, coat.um_high)


def reference_um(films: Iterable[TintFilm]) -> float:
    """Median film [µm] of the zones whose film is known: what the others are compared with where nothing else is asked.

    Raises:
        BodymapError: no zone's film is known.
    """
    known = [film.um for film in films if film.um is not None]
    if not known:
        raise BodymapError("tinted coat: no zone has a film that can be told from its readings")
    return statistics.median(known)


def tint_across(
    fit: TintFit, films: Sequence[TintFilm], settings: Settings, at_um: float, delta_e: float | None = None
) -> tuple[TintAcross, ...]:
    """Colour of each zone with a known film against the film `at_um` [µm], and whether it differs by `delta_e` (ΔE00).

    `differs`: by that much at least, wherever in its bounds the film lies; `alike`: by less everywhere in them.
    """
    limit = settings.value("tint_delta_e") if delta_e is None else delta_e
    rows = []
    for film in films:
        if film.um is None or film.low_um is None or film.high_um is None:
            continue
        nearest = min(max(at_um, film.low_um), film.high_um)
        least = fit.delta_e(nearest, at_um)
        most = max(fit.delta_e(film.low_um, at_um), fit.delta_e(film.high_um, at_um))
        verdict: Verdict = "differs" if least >= limit else "alike" if most < limit else "cannot tell"
        beyond = not fit.within(film.um)
        rows.append(TintAcross(film, fit.colour_at(film.um), fit.delta_e(film.um, at_um), least, most, beyond, verdict))
    return tuple(rows)
