"""The stack a zone starts from: the most confident one that reaches the substrate, the latest if equal."""

from __future__ import annotations

from bodymap.model.record import Record
from bodymap.model.stack import Extent, Stack

_CONFIDENCE = {"high": 3, "fair": 2, "low": 1, None: 0}

LayersSeen = tuple[tuple[str, Extent], ...]


def as_found_stack(record: Record, zone_id: str) -> Stack | None:
    """The as-found stack of a zone; None where none of its stacks reaches the substrate.

    Where confidence and date are equal, the later row counts.
    """
    reaching = [stack for stack in record.stacks_of.get(zone_id, ()) if stack.reaches_substrate]
    return max(enumerate(reaching), key=_rank, default=(0, None))[1]


def best_stack(record: Record, zone_id: str) -> Stack | None:
    """The as-found stack, else the best of those that do not reach the substrate; None where nobody looked."""
    found = as_found_stack(record, zone_id)
    return found or max(enumerate(record.stacks_of.get(zone_id, ())), key=_rank, default=(0, None))[1]


def layers_seen(record: Record, stack: Stack) -> LayersSeen:
    """(coat_id, extent) of the layers that are there, from the metal outward; layers looked for and absent left out."""
    layers = record.layers_of.get(stack.stack_id, ())
    return tuple((layer.coat_id, layer.extent) for layer in layers if layer.extent != "none")


def _rank(placed: tuple[int, Stack]) -> tuple[int, str, int]:
    place, stack = placed
    return _CONFIDENCE[stack.confidence], stack.date or "", place
