"""The record as if some stacks were set aside: a question asked of the evidence, which itself stays as it is."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from bodymap.errors import BodymapError
from bodymap.history.order import natural
from bodymap.model.record import Record


def set_aside(record: Record, stacks: Collection[str]) -> Record:
    """A record without these stacks and their layers. Raises BodymapError on a stack that is not in the record."""
    unknown = sorted(set(stacks) - set(record.stack), key=natural)
    if unknown:
        known = ", ".join(sorted(record.stack, key=natural)) or "none, the record has no stack"
        raise BodymapError(f"to set aside: found {', '.join(unknown)}; allowed: {known}")
    return replace(
        record,
        stacks=tuple(stack for stack in record.stacks if stack.stack_id not in stacks),
        layers=tuple(layer for layer in record.layers if layer.stack_id not in stacks),
    )
