"""The vehicle as the plan leaves it: which surface still has its old finish, and which was made again.

The plan is replayed with its own coats marked, so that a coat laid by the plan is told from an old one even where both
bear the same id. A surface counts as made again from the first coat that the plan lays on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

from shapely.geometry.base import BaseGeometry

from bodymap.finish.replay import Piece, replay
from bodymap.geometry.convert import from_shapely
from bodymap.history.as_found import LayersSeen
from bodymap.model import Layer, Record, Stack, Zone
from bodymap.settings import Settings

State = Literal["kept", "kept_harmed", "as_found", "not_seen", "over", "over_unseen", "again", "bare"]
STATE_WORDS: Mapping[State, str] = {
    "kept": "kept area: as found",
    "kept_harmed": "kept area with a new coat on it",
    "as_found": "not touched: as found",
    "not_seen": "not touched: finish not seen",
    "over": "new coats over the old finish",
    "over_unseen": "new coats over what nobody saw",
    "again": "made again: stripped and painted",
    "bare": "bare",
}
OLD: frozenset[State] = frozenset({"kept", "as_found", "not_seen"})
NEW: frozenset[State] = frozenset({"kept_harmed", "over", "over_unseen", "again"})
# No id has a colon in it, so a marked coat is none of the record.
_MARK = "again:"


@dataclass(frozen=True)
class LeftPiece:
    """A part of a zone with one finish after the last step.

    `new`: the coats that the plan laid there. Areas in mm², drawn and true.
    """

    zone_id: str
    state: State
    stack: LayersSeen
    new: frozenset[str]
    known: bool
    drawn_mm2: float
    surface_mm2: float
    surface: BaseGeometry = field(repr=False, compare=False)


def as_left(record: Record, settings: Settings) -> tuple[LeftPiece, ...]:
    """Every zone in pieces, as the record's own steps leave it."""
    steps = [
        step.model_copy(update={"target": tuple(_MARK + coat for coat in step.target)}) if step.action == "coat" else step
        for step in record.steps
    ]
    result = replay(record, settings, steps)
    order = {zone.zone_id: place for place, zone in enumerate(record.zones)}
    pieces = sorted((*result.pieces, *result.others), key=lambda piece: order[piece.zone_id])
    return tuple(_left(record, piece) for piece in pieces)


def _left(record: Record, piece: Piece) -> LeftPiece:
    new = frozenset(coat.removeprefix(_MARK) for coat, _ in piece.stack if coat.startswith(_MARK))
    old = any(not coat.startswith(_MARK) for coat, _ in piece.stack)
    return LeftPiece(
        zone_id=piece.zone_id,
        state=_state(piece, new=bool(new), old=old),
        stack=tuple((coat.removeprefix(_MARK), extent) for coat, extent in piece.stack),
        new=new,
        known=piece.known,
        drawn_mm2=piece.area_mm2,
        surface_mm2=piece.area_mm2 * record.zone[piece.zone_id].ratio,
        surface=piece.surface,
    )


def _state(piece: Piece, *, new: bool, old: bool) -> State:
    if piece.kept:
        return "kept_harmed" if new else "kept"
    if not piece.known:
        return "over_unseen" if new else "not_seen"
    if new:
        return "over" if old else "again"
    return "as_found" if old else "bare"


def record_as_left(record: Record, pieces: tuple[LeftPiece, ...]) -> tuple[Record, dict[str, LeftPiece]]:
    """A record to be drawn and for nothing else: each piece a zone of its own, with the stack it ends with.

    The pieces come by the ids of those zones.
    """
    zones: list[Zone] = []
    stacks: list[Stack] = []
    layers: list[Layer] = []
    held: dict[str, LeftPiece] = {}
    for number, piece in enumerate(pieces):
        ident = f"{piece.zone_id}#{number}"
        held[ident] = piece
        shape = from_shapely(piece.surface)
        zones.append(record.zone[piece.zone_id].model_copy(update={"zone_id": ident, "shape": shape}))
        if piece.known or piece.stack:
            stack = Stack(stack_id="left", zone_id="left", method="surface", reaches_substrate=piece.known)
            stacks.append(stack.model_copy(update={"stack_id": ident, "zone_id": ident}))
            layers += _layers(ident, piece.stack)
    drawn = record.with_kind("zone", zones).with_kind("stack", stacks).with_kind("layer", layers)
    return drawn.with_kind("reading", ()), held


def _layers(ident: str, stack: LayersSeen) -> Iterator[Layer]:
    for position, (coat, extent) in enumerate(stack, start=1):
        layer = Layer(stack_id="left", position=position, coat_id="left", extent=extent)
        yield layer.model_copy(update={"stack_id": ident, "coat_id": coat})
