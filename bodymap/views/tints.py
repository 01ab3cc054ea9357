"""Tints of the zones: what each zone is filled with and textured by, and the state behind it in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bodymap.film.summary import ZoneFilm, zone_film
from bodymap.history.as_found import best_stack
from bodymap.history.order import coat_order
from bodymap.history.states import State, StatesFound, found_states
from bodymap.model import Record, Stack, Zone
from bodymap.views.ladder import MISSING_BELOW, SUBSTRATE_WORDS
from bodymap.views.palette import SUBSTRATES, colour_over, film_colour
from bodymap.views.sheet_parts import Texture, Words
from bodymap.views.zone_card import sources_of

NOT_SEEN = "not seen"


@dataclass(frozen=True)
class ZoneTint:
    """How one zone is filled.

    Attributes:
        paint: role or colour of the fill.
        texture_paint: of the texture; empty: the usual ink for textures.
        state: as the legend says it.
        words: what hovering adds.
        figure: a number to stand on the zone, as text; empty: none.
        lacks: what is still missing, for the tint `not_seen`.
    """

    paint: str
    texture: Texture = "solid"
    state: str = ""
    words: Words = ()
    figure: str = ""
    texture_paint: str = ""
    lacks: tuple[str, ...] = ()


Tinter = Callable[[Zone], ZoneTint]
_UNSEEN = ZoneTint("unseen", "unseen", NOT_SEEN)

# How the states of a coat are shown; `full` and `mist` take the colour of the coat.
STATE_WORDS: Mapping[State, str] = {
    "full": "full",
    "mist": "mist",
    "shielded": "looked for, not there",
    "unknown": NOT_SEEN,
    "cut back": "cut back",
    "not made": "part not made yet",
}


def tinter(record: Record, tint: str, coat_id: str | None) -> Tinter:
    """What tints a zone of this record. The tint `coat` without a known coat is plain."""
    if tint == "finish":
        return lambda zone: finish_tint(record, zone)
    if tint == "film":
        return lambda zone: film_tint(zone_film(record, zone.zone_id))
    if tint == "not_seen":
        return lambda zone: unseen_tint(record, zone)
    if tint == "coat" and coat_id is not None and coat_id in record.coat:
        found = found_states(record, coat_order(record))
        return lambda zone: coat_tint(record, found, coat_id, zone)
    return lambda _: ZoneTint("zone")


def finish_tint(record: Record, zone: Zone) -> ZoneTint:
    """Colour of the finish as it stands, read from the best stack of the zone."""
    stack = best_stack(record, zone.zone_id)
    if stack is None:
        return ZoneTint("unseen", "unseen", NOT_SEEN, ("Finish: not seen, no stack was looked at here",))
    layers = [layer for layer in record.layers_of.get(stack.stack_id, ()) if layer.extent == "full"]
    full = [(record.coat[layer.coat_id], layer.um) for layer in layers]
    substrate = record.part[zone.part_id].substrate
    colour = colour_over(SUBSTRATES[substrate] if stack.reaches_substrate else None, full)
    if colour is None:
        return ZoneTint("unseen", "unseen", NOT_SEEN, (f"Finish: {stack.stack_id} shows no coat that gives colour",))
    colouring = [coat for coat, _ in full if coat.kind not in ("clear", "line")]
    name = colouring[-1].name if colouring else f"bare {SUBSTRATE_WORDS[substrate]}"
    words = [f"Finish now: {name}", f"from {_stack_words(stack)}"]
    if colouring and colouring[-1].colour is None:
        words.append("its colour is not stated")
        return ZoneTint("no_colour", "open", f"{name}, colour not stated", tuple(words))
    if colouring and colouring[-1].kind == "tinted" and len(colouring) == 1 and not stack.reaches_substrate:
        words.append("translucent: what lies under it was not seen")
    return ZoneTint(colour, "solid", name, tuple(words))


def coat_tint(record: Record, found: StatesFound, coat_id: str, zone: Zone) -> ZoneTint:
    """State of one coat on a zone. A coat that no stack shows is not seen anywhere."""
    coat = record.coat[coat_id]
    state = found.states.get(coat_id, {}).get(zone.zone_id, "unknown")
    stacks = found.evidence.get((coat_id, zone.zone_id), ())
    words = (f"{coat.name}: {STATE_WORDS[state]}" + (f" ({', '.join(stacks)})" if stacks else ""),)
    if any(c.zone == zone.zone_id and c.coat == coat_id for c in found.contradictions):
        return ZoneTint("unseen", "open", "stacks disagree", (f"{coat.name}: stacks of this zone disagree",))
    colour = coat.colour or "no_colour"
    shown: Mapping[State, ZoneTint] = {
        "full": ZoneTint(colour, "solid", STATE_WORDS["full"], words),
        "mist": ZoneTint("zone", "mist", STATE_WORDS["mist"], words, texture_paint=coat.colour or ""),
        "shielded": ZoneTint("partly", "absent", STATE_WORDS["shielded"], words),
        "unknown": ZoneTint("unseen", "unseen", NOT_SEEN, words),
        "cut back": ZoneTint("partly", "cut_back", STATE_WORDS["cut back"], words),
        "not made": ZoneTint("not_made", "not_made", STATE_WORDS["not made"], words),
    }
    return shown[state]


def film_tint(film: ZoneFilm) -> ZoneTint:
    """Median film of the usable readings as found; without one the zone stays paper."""
    refused = f"{film.refused[0].why}" if film.refused else ""
    if film.median_um is None:
        if not film.refused:
            return ZoneTint("zone", "solid", "no reading", ("Film: no reading",))
        words = (f"Film: none of {len(film.refused)} readings can be used", refused)
        return ZoneTint("zone", "partly", "readings, none usable", words)
    spread = "" if film.sd_um is None else f", standard deviation {film.sd_um:.0f} µm"
    said = [
        f"Film: median {film.median_um:.0f} µm, {film.min_um:.0f} to {film.max_um:.0f} µm",
        f"{film.n} readings at {film.spots} spots{spread}",
    ]
    if film.refused:
        said.append(f"not counted: {len(film.refused)} ({refused})")
    return ZoneTint(film_colour(film.median_um), "solid", "film", tuple(said), figure=f"{film.median_um:.0f}")


def unseen_tint(record: Record, zone: Zone) -> ZoneTint:
    """How far a zone was looked at, and whether a photo and a usable reading are there."""
    stacks = record.stacks_of.get(zone.zone_id, ())
    lacks = []
    if not any(source.kind == "photo" for source in sources_of(record, zone)):
        lacks.append("no photo")
    if not zone_film(record, zone.zone_id).n:
        lacks.append("no usable reading")
    also = tuple(lacks)
    if not stacks:
        return ZoneTint("unseen", "unseen", "never looked at", ("Never looked at: no stack", *also), lacks=also)
    names = ", ".join(stack.stack_id for stack in stacks)
    if not any(stack.reaches_substrate for stack in stacks):
        words = (f"Looked at ({names}), not to the substrate", MISSING_BELOW, *also)
        return ZoneTint("partly", "partly", "looked at, not to the substrate", words, lacks=also)
    return ZoneTint("seen", "solid", "seen to the substrate", (f"Seen to the substrate ({names})", *also), lacks=also)


def _stack_words(stack: Stack) -> str:
    said = [stack.stack_id, stack.method]
    said.append("to the substrate" if stack.reaches_substrate else MISSING_BELOW)
    said.append(f"confidence {stack.confidence}" if stack.confidence else "confidence not stated")
    return ", ".join(said)
