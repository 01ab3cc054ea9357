"""The stack ladder: one stack from the substrate outward, with what was seen, what was looked for, and what is unknown."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bodymap.model import Coat, Layer, Record
from bodymap.model.coat import CoatKind
from bodymap.model.part import Substrate
from bodymap.model.stack import Confidence, Extent, Interface, Method
from bodymap.views.palette import SUBSTRATES, coat_film_um

MISSING_BELOW = "layers may be missing below"
INTERFACE_WORDS: dict[Interface, str] = {
    "dirt": "over dirt",
    "scratch": "over scratches",
    "gloss": "over gloss, not keyed",
    "no_bond": "no bond to the layer below",
    "faded": "over a faded surface",
}
EXTENT_WORDS: dict[Extent, str] = {"full": "full", "mist": "mist", "none": "looked for, not there"}
SUBSTRATE_WORDS: dict[Substrate, str] = {
    "steel": "steel",
    "aluminium": "aluminium",
    "grp": "GRP (glass-fibre)",
    "other": "other substrate",
}
CUT_BACK_WORDS = "surface below cut back first: earlier coats may be gone"

# Height of a rung grows with the logarithm of its film: 8 µm and 2500 µm both stay readable, thicker stays thicker.
_LEAST_HEIGHT = 0.35
_FILM_UNIT_UM = 20.0


@dataclass(frozen=True)
class LadderLayer:
    """One rung.

    Attributes:
        colour: colour of the coat as `#rrggbb`; None where the record states none.
        interfaces: what lay on the surface below when this coat went on.
        cut_back: the surface below was cut back or stripped first.
        film_um: film [µm] as seen here, else the middle of the coat's usual range, else None.
        film_words: the film with its basis, or that none is stated.
        height: share of the drawing's height, without unit, growing with the logarithm of the film.
        words: what there is to say of the rung beside its name: extent, interfaces, cut back.
        look_alikes: coats that look the same and may be the same: a question, in words.
    """

    position: int
    coat_id: str
    name: str
    kind: CoatKind
    colour: str | None
    extent: Extent
    interfaces: tuple[Interface, ...]
    cut_back: bool
    film_um: float | None
    film_words: str
    height: float
    words: tuple[str, ...]
    look_alikes: tuple[str, ...]
    note: str | None


@dataclass(frozen=True)
class LadderView:
    """One stack, its layers from the substrate outward.

    Attributes:
        substrate_colour: `#rrggbb` of the plate at the bottom.
        reaches_substrate: False: the plate is not shown as reached, and `below` says that layers may be missing.
    """

    stack_id: str
    zone_id: str
    zone_title: str
    substrate: Substrate
    substrate_words: str
    substrate_colour: str
    reaches_substrate: bool
    below: str
    method: Method
    by: str | None
    date: str | None
    confidence: Confidence | None
    note: str | None
    layers: tuple[LadderLayer, ...]


def ladder(record: Record, stack_id: str) -> LadderView:
    """The ladder of one stack. Raises KeyError on a stack that is not in the record."""
    stack = record.stack[stack_id]
    zone = record.zone[stack.zone_id]
    substrate = record.part[zone.part_id].substrate
    layers = tuple(_rung(record, layer) for layer in record.layers_of.get(stack_id, ()))
    return LadderView(
        stack_id=stack_id,
        zone_id=zone.zone_id,
        zone_title=zone.title,
        substrate=substrate,
        substrate_words=SUBSTRATE_WORDS[substrate],
        substrate_colour=SUBSTRATES[substrate],
        reaches_substrate=stack.reaches_substrate,
        below="" if stack.reaches_substrate else MISSING_BELOW,
        method=stack.method,
        by=stack.by,
        date=stack.date,
        confidence=stack.confidence,
        note=stack.note,
        layers=layers,
    )


def ladders_of(record: Record, zone_id: str) -> tuple[LadderView, ...]:
    """The ladders of a zone, in the order of its stacks."""
    return tuple(ladder(record, stack.stack_id) for stack in record.stacks_of.get(zone_id, ()))


def rung_height(film_um: float | None, extent: Extent) -> float:
    """Height of a rung, without unit: 1 for 20 µm more than nothing, growing by 1 with each doubling; none and mist least.

    >>> rung_height(20, "full")
    1.35
    """
    if extent != "full" or film_um is None:
        return _LEAST_HEIGHT
    return _LEAST_HEIGHT + math.log2(1 + max(film_um, 0.0) / _FILM_UNIT_UM)


def _rung(record: Record, layer: Layer) -> LadderLayer:
    coat = record.coat[layer.coat_id]
    film_um = coat_film_um(coat, layer.um)
    words = [EXTENT_WORDS[layer.extent]] if layer.extent != "full" else []
    words += [INTERFACE_WORDS[interface] for interface in layer.interface]
    words += [CUT_BACK_WORDS] if layer.cut_back else []
    return LadderLayer(
        position=layer.position,
        coat_id=coat.coat_id,
        name=coat.name,
        kind=coat.kind,
        colour=coat.colour,
        extent=layer.extent,
        interfaces=layer.interface,
        cut_back=bool(layer.cut_back),
        film_um=film_um,
        film_words=_film_words(coat, layer),
        height=rung_height(film_um, layer.extent),
        words=tuple(words),
        look_alikes=tuple(_look_alikes(record, coat)),
        note=layer.note,
    )


def _film_words(coat: Coat, layer: Layer) -> str:
    if layer.extent == "none":
        return ""
    if layer.um is not None:
        return f"{layer.um:g} µm here"
    if layer.extent == "mist":
        return "film not stated"
    if coat.um_low is None and coat.um_high is None:
        return "film not stated"
    if coat.um_low is None or coat.um_high is None:
        known = coat.um_low if coat.um_high is None else coat.um_high
        return f"usually {'from' if coat.um_high is None else 'up to'} {known:g} µm"
    return f"usually {coat.um_low:g}–{coat.um_high:g} µm"


def _look_alikes(record: Record, coat: Coat) -> list[str]:
    """Both ways: a coat that names another, and one that is named by another."""
    named = dict.fromkeys([*coat.looks_like, *(c.coat_id for c in record.coats if coat.coat_id in c.looks_like)])
    others = [record.coat[other] for other in named if other in record.coat and other != coat.coat_id]
    return [f"looks like {other.coat_id} {other.name}: the same coat, or another?" for other in others]
