"""The film a zone should have by its as-found stack, and what its readings show beyond or short of it.

The stack gives a range: each coat seen in full counts with its usual range, mist with 0 to the setting `mist_most_um`.
A coat without a range counts with what was measured of that layer in a section; without either nothing can be told.
A gelcoat (innermost coat of kind `other` without a range, on a substrate of GRP or `other`) counts as substrate for an
ultrasonic gauge, which may take it for the boundary (ASTM D6132; from memory, not seen).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bodymap.film.spots import grouped, used_readings
from bodymap.film.summary import AS_FOUND, zone_film
from bodymap.film.uncertainty import median_u_um
from bodymap.history.as_found import as_found_stack
from bodymap.model.reading import Reading
from bodymap.model.record import Record
from bodymap.model.stack import Layer
from bodymap.settings import Settings

UnexplainedVerdict = Literal["none", "excess", "deficit", "cannot tell"]


@dataclass(frozen=True)
class KnownStack:
    """Film of a zone by its as-found stack: `low_um` to `high_um`, None where it cannot be told; `why` says from what."""

    stack_id: str | None
    low_um: float | None
    high_um: float | None
    why: str

    @property
    def known(self) -> bool:
        """Whether both ends are told."""
        return self.low_um is not None and self.high_um is not None


@dataclass(frozen=True)
class Unexplained:
    """Film that the known stack does not explain.

    Attributes:
        low_um, high_um: reading less known stack, as far down and up as stack range and uncertainty allow [µm]; negative:
            film is missing. None where nothing can be told.
        u_um: uncertainty of the median reading [µm].
        verdict: `excess` or `deficit` only where all of the range lies on that side of 0.
        why: in words, with the figures.
    """

    low_um: float | None
    high_um: float | None
    u_um: float | None
    verdict: UnexplainedVerdict
    why: str


def known_stack(record: Record, zone_id: str, settings: Settings, phase: str = AS_FOUND) -> KnownStack:
    """Film a zone should have by its as-found stack and the coats' usual ranges. Raises KeyError on an unknown zone."""
    if zone_id not in record.zone:
        raise KeyError(zone_id)
    if phase != AS_FOUND:
        return KnownStack(None, None, None, "the known stack is that of the as-found finish")
    stack = as_found_stack(record, zone_id)
    if stack is None:
        return KnownStack(None, None, None, "no stack of this zone reaches the substrate")
    layers, notes = counted_layers(record, zone_id, stack.stack_id, phase)
    ranges = [(layer, range_um(record, layer, settings)) for layer in layers]
    unknown = [record.coat[layer.coat_id].name for layer, told in ranges if told is None]
    if unknown:
        return KnownStack(stack.stack_id, None, None, f"no usual film is stated for {', '.join(unknown)}")
    told = [told for _, told in ranges if told is not None]
    notes.insert(0, f"{len(told)} layers of stack {stack.stack_id}")
    return KnownStack(stack.stack_id, sum(low for low, _ in told), sum(high for _, high in told), "; ".join(notes))


def counted_layers(
    record: Record, zone_id: str, stack_id: str, phase: str = AS_FOUND
) -> tuple[tuple[Layer, ...], list[str]]:
    """Layers of a stack that a gauge reads, from the substrate outward, and what was left out of them, in words."""
    used, _ = used_readings(record, zone_id, phase)
    layers = tuple(layer for layer in record.layers_of.get(stack_id, ()) if layer.extent != "none")
    substrate = record.part[record.zone[zone_id].part_id].substrate
    if layers and _is_gelcoat(record, layers[0], substrate, used):
        return layers[1:], [f"{record.coat[layers[0].coat_id].name} counts as substrate for an ultrasonic gauge"]
    return layers, []


def range_um(record: Record, layer: Layer, settings: Settings) -> tuple[float, float] | None:
    """Least and greatest film of a layer [µm]; None where it is not known."""
    if layer.extent == "none":
        return 0.0, 0.0
    if layer.extent == "mist":
        return 0.0, settings.value("mist_most_um")
    coat = record.coat[layer.coat_id]
    if coat.um_low is not None and coat.um_high is not None:
        return coat.um_low, coat.um_high
    return None if layer.um is None else (layer.um, layer.um)


def unexplained(record: Record, zone_id: str, settings: Settings, phase: str = AS_FOUND) -> Unexplained:
    """What the median reading of a zone shows beyond its known stack, or short of it."""
    film, stack = zone_film(record, zone_id, phase), known_stack(record, zone_id, settings, phase)
    if film.median_um is None:
        return Unexplained(None, None, None, "cannot tell", "no reading that counts")
    u_um = median_u_um(film.median_um, grouped(used_readings(record, zone_id, phase)[0]), settings)
    if stack.low_um is None or stack.high_um is None:
        return Unexplained(None, None, u_um, "cannot tell", stack.why)
    low, high = film.median_um - u_um - stack.high_um, film.median_um + u_um - stack.low_um
    verdict: UnexplainedVerdict = "excess" if low > 0 else "deficit" if high < 0 else "none"
    why = f"median {film.median_um:.0f} ± {u_um:.0f} µm against {stack.low_um:.0f}–{stack.high_um:.0f} µm by {stack.why}"
    return Unexplained(low, high, u_um, verdict, why)


def _is_gelcoat(record: Record, layer: Layer, substrate: str, used: Sequence[Reading]) -> bool:
    coat = record.coat[layer.coat_id]
    return (
        substrate in ("grp", "other")
        and coat.kind == "other"
        and coat.um_low is None
        and coat.um_high is None
        and all(reading.principle == "ultrasonic" for reading in used)
    )
