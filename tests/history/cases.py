"""Small vehicles for the tests of the history, written in a short form.

    van(parts="shell!, door", zones="seat:shell, skin:door", covers="seat<door", coats="p c",
        stacks={"S1": "seat* p", "S2": "skin* p c"})

Parts: `!` is not removable, `@c` came with coat c. Covers: zone<part, `~` leaves a gap. Stacks: zone (`*` reaches the
substrate), then layers from the substrate outward: coat, with `:mist` or `:none`, and `!` for cut back.
"""

from __future__ import annotations

from hypothesis import strategies as st

from bodymap.model import Coat, Cover, Drawing, Layer, Part, Record, Stack, Vehicle, Zone

SHAPE = {"type": "Polygon", "coordinates": [[[0, 0], [10, 0], [10, 10], [0, 10], [0, 0]]]}


def van(*, parts="shell!", zones="", covers="", coats="", stacks=None):
    """A record in the short form."""
    stacks = stacks or {}
    return Record(
        vehicle=Vehicle(vehicle_id="v", name="van"),
        drawings=(Drawing(drawing_id="d", name="left", kind="outside"),),
        parts=tuple(_part(text) for text in _split(parts)),
        zones=tuple(_zone(*text.split(":")) for text in _split(zones)),
        covers=tuple(_cover(text) for text in _split(covers)),
        coats=tuple(Coat(coat_id=coat, name=f"Coat {coat}", kind="colour") for coat in coats.split()),
        stacks=tuple(_stack(name, text.split()[0]) for name, text in stacks.items()),
        layers=tuple(layer for name, text in stacks.items() for layer in _layers(name, text.split()[1:])),
    )


def _split(text):
    return [piece.strip() for piece in text.split(",") if piece.strip()]


def _part(text):
    name, _, first = text.partition("@")
    ident = name.rstrip("!")
    removable = "!" not in name
    return Part(part_id=ident, name=ident.capitalize(), substrate="steel", removable=removable, first_coat=first or None)


def _zone(zone, part):
    return Zone(zone_id=zone, drawing_id="d", part_id=part, face="outer", shape=SHAPE)


def _cover(text):
    zone, part = text.split("<")
    return Cover(zone_id=zone, part_id=part.rstrip("~"), gap=True if "~" in part else None)


def _stack(name, zone):
    return Stack(stack_id=name, zone_id=zone.rstrip("*"), method="window", reaches_substrate="*" in zone)


def _layers(name, texts):
    for position, text in enumerate(texts, 1):
        coat, _, extent = text.rstrip("!").partition(":")
        cut_back = True if "!" in text else None
        yield Layer(stack_id=name, position=position, coat_id=coat, extent=extent or "full", cut_back=cut_back)


COATS = ["a", "b", "c"]


@st.composite
def vans(draw, *, parts_most=3, zones_most=4, coats_most=3, stacks_most=6, circles=True):
    """A vehicle small enough to try every explanation, with the layers mostly in the row order of the coats."""
    coats = COATS[: draw(st.integers(1, coats_most))]
    parts = [f"p{number}" for number in range(1, draw(st.integers(1, parts_most)) + 1)]
    zones = [f"z{number}" for number in range(1, draw(st.integers(1, zones_most)) + 1)]
    owners = {zone: draw(st.sampled_from(parts)) for zone in zones}
    part_rows = tuple(
        Part(
            part_id=part,
            name=part,
            substrate="steel",
            removable=draw(st.booleans()),
            first_coat=draw(st.sampled_from([None, None, None, *coats])),
        )
        for part in parts
    )
    pairs = draw(st.lists(st.tuples(st.sampled_from(zones), st.sampled_from(parts)), unique=True, max_size=6))
    covers = tuple(Cover(zone_id=zone, part_id=part, gap=draw(st.sampled_from([None, False, True]))) for zone, part in pairs)
    stacks, layers = [], []
    for number in range(1, draw(st.integers(0, stacks_most)) + 1):
        stack = Stack(
            stack_id=f"S{number}",
            zone_id=draw(st.sampled_from(zones)),
            method="window",
            reaches_substrate=draw(st.booleans()),
        )
        stacks.append(stack)
        seen = draw(st.lists(st.sampled_from(coats), unique=not circles or draw(st.integers(0, 9)) > 0, max_size=3))
        if not circles or draw(st.integers(0, 5)):
            seen.sort()
        extents = st.sampled_from(["full", "full", "mist", "none"])
        layers += [
            Layer(
                stack_id=stack.stack_id,
                position=position,
                coat_id=coat,
                extent=draw(extents),
                cut_back=draw(st.sampled_from([None, None, None, None, True, False])),
            )
            for position, coat in enumerate(seen, 1)
        ]
    return Record(
        vehicle=Vehicle(vehicle_id="v", name="van"),
        drawings=(Drawing(drawing_id="d", name="left", kind="outside"),),
        parts=part_rows,
        zones=tuple(_zone(zone, owners[zone]) for zone in zones),
        covers=covers,
        coats=tuple(Coat(coat_id=coat, name=coat, kind="colour") for coat in coats),
        stacks=tuple(stacks),
        layers=tuple(layers),
    )
