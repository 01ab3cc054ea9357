"""Places where the layers were looked at, and the layers seen there."""

from __future__ import annotations

from typing import ClassVar, Literal

from bodymap.model.columns import Date, Id, NotNegative, Number, Text, Whole, YesNo
from bodymap.model.entry import Entry

Method = Literal["window", "chip", "edge", "section", "surface"]
Confidence = Literal["low", "fair", "high"]
Extent = Literal["full", "mist", "none"]
Interface = Literal["dirt", "scratch", "gloss", "no_bond", "faded"]


class Stack(Entry):
    """One place where the layers were looked at; x, y in drawing mm."""

    KIND: ClassVar[str] = "stack"
    FILE: ClassVar[str] = "stacks.csv"
    KEY: ClassVar[tuple[str, ...]] = ("stack_id",)

    stack_id: Id
    zone_id: Id
    x: Number | None = None
    y: Number | None = None
    method: Method
    reaches_substrate: YesNo
    by: Text | None = None
    date: Date | None = None
    confidence: Confidence | None = None
    note: Text | None = None


class Layer(Entry):
    """One layer seen in a stack; position 1 is nearest the substrate. `none`: looked for there and absent."""

    KIND: ClassVar[str] = "layer"
    FILE: ClassVar[str] = "layers.csv"
    KEY: ClassVar[tuple[str, ...]] = ("stack_id", "position")

    stack_id: Id
    position: Whole
    coat_id: Id
    extent: Extent
    interface: tuple[Interface, ...] = ()
    cut_back: YesNo | None = None
    um: NotNegative | None = None
    note: Text | None = None
