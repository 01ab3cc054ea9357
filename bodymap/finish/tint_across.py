"""Film of a tinted coat on the zones of the body, from film readings, and the colour difference it makes across the body.

A gauge reads all coats together. Film of the tinted coat = reading − the other coats, and is no better known than those:
as found, the others are the layers of the zone's as-found stack; for a coat of the plan (readings taken in its own phase),
what was read before it where that was read, and the planned coats between. At its bounds all other coats are at their
thick or thin end and the median reading is out by its uncertainty.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from bodymap.errors import BodymapError
from bodymap.film.known import known_stack, range_um
from bodymap.film.spots import grouped, used_readings
from bodymap.film.summary import AS_FOUND
from bodymap.film.uncertainty import median_u_um
from bodymap.finish.tint import Lab, TintFit
from bodymap.history.as_found import as_found_stack, layers_seen
from bodymap.model.plan import Goal
from bodymap.model.record import Record
from bodymap.model.stack import Extent, Layer
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
    # With the tinted coat at no film, what is known of a zone's stack is the film of the others.
    bare = [
        coat.model_copy(update={"um_low": 0.0, "um_high": 0.0}) if coat.coat_id == coat_id else coat for coat in record.coats
    ]
    case = _Case(record, record.with_kind("coat", bare), coat_id, settings)
    films = []
    for zone in record.zones:
        planned = bool(used_readings(record, zone.zone_id, coat_id)[0])
        film = (_planned if planned else _as_found)(case, zone.zone_id)
        films += [film] if film else []
    return tuple(films)


@dataclass(frozen=True)
class _Case:
    """The record, the same with the tinted coat at no film, and the coat asked about."""

    record: Record
    others: Record
    coat_id: str
    settings: Settings

    def read(self, zone_id: str, phase: str) -> tuple[float, float, int] | None:
        """Median reading of a phase, its uncertainty [µm], and how many; None where there are none that count."""
        used = used_readings(self.record, zone_id, phase)[0]
        if not used:
            return None
        um = statistics.median(reading.um for reading in used)
        return um, median_u_um(um, grouped(used), self.settings), len(used)


def _as_found(case: _Case, zone_id: str) -> TintFilm | None:
    read, tinted = case.read(zone_id, AS_FOUND), (case.coat_id, "full")
    stacks = case.record.stacks_of.get(zone_id, ())
    if read is None or not any(tinted in layers_seen(case.record, stack) for stack in stacks):
        return None
    um, u, n = read
    stack = as_found_stack(case.record, zone_id)
    if stack is not None and layers_seen(case.record, stack).count(tinted) != 1:
        return _unknown(zone_id, n, f"{case.coat_id} is not there once in {stack.stack_id}")
    known = known_stack(case.others, zone_id, case.settings)
    if known.low_um is None or known.high_um is None:
        return _unknown(zone_id, n, known.why)
    told = f"reading {um:.0f} µm − {known.low_um:g}–{known.high_um:g} µm for the other coats ({known.why})"
    return _film(zone_id, um, u, (known.low_um, known.high_um), n, told)


def _planned(case: _Case, zone_id: str) -> TintFilm | None:
    """Reading after the coat less the last one before it; planned coats between count with their usual film."""
    after = case.read(zone_id, case.coat_id)
    if after is None:
        return None
    goal = sorted((one for one in case.record.goals if one.zone_id == zone_id), key=lambda one: one.position)
    coats = [layer.coat_id for layer in goal]
    if case.coat_id not in coats:
        return _unknown(zone_id, after[2], f"no goal of this zone has {case.coat_id}: what lies below is not known")
    below, before = goal[: coats.index(case.coat_id)], None
    between: list[Goal] = []
    while below and before is None:
        before = case.read(zone_id, below[-1].coat_id)
        if before is None:
            between.insert(0, below.pop())
    before = before or case.read(zone_id, AFTER_STRIP)
    ranges = [_usual_um(case, layer.coat_id, layer.extent) for layer in between]
    unknown = [layer.coat_id for layer, told in zip(between, ranges, strict=True) if told is None]
    if unknown:
        return _unknown(zone_id, after[2], f"no usual film is stated for {', '.join(unknown)}")
    um, u, told = after[0], after[1], f"reading {after[0]:.0f} µm"
    if before is not None:
        um, u, told = um - before[0], math.hypot(u, before[1]), f"{told} − {before[0]:.0f} µm read before it"
    low, high = sum(one[0] for one in ranges if one), sum(one[1] for one in ranges if one)
    if between:
        told += f" − {low:g}–{high:g} µm for {', '.join(layer.coat_id for layer in between)}"
    return _film(zone_id, um, u, (low, high), after[2], told)


def _film(zone_id: str, um: float, u: float, others_um: tuple[float, float], n: int, told: str) -> TintFilm:
    low, high = um - u - others_um[1], um + u - others_um[0]
    if high < 0:
        return _unknown(zone_id, n, f"{told}: that leaves nothing for it, so layers or reading are wrong")
    return TintFilm(zone_id, max(um - sum(others_um) / 2, 0.0), max(low, 0.0), high, n, told, None)


def _unknown(zone_id: str, n: int, why: str) -> TintFilm:
    return TintFilm(zone_id, None, None, None, n, "", why)


def _usual_um(case: _Case, coat_id: str, extent: Extent) -> tuple[float, float] | None:
    layer = Layer(stack_id="goal", position=1, coat_id=coat_id, extent=extent)
    return range_um(case.record, layer, case.settings)


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
