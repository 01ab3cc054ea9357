"""Film readings."""

from __future__ import annotations

from typing import ClassVar, Literal

from bodymap.model.columns import Date, Id, Number, Text, YesNo
from bodymap.model.entry import Entry

Principle = Literal["magnetic", "eddy", "ultrasonic"]


class Reading(Entry):
    """One film reading in µm. Readings of one `spot` are repeats. `invalid`: why it is kept and shown, never counted.

    `phase`: `as found`, `after strip`, or the coat_id after which it was taken; blank counts as found.
    `targeted`: taken on purpose at a suspect place; such a reading counts everywhere but in the judging of a coat.
    """

    KIND: ClassVar[str] = "reading"
    FILE: ClassVar[str] = "readings.csv"
    KEY: ClassVar[tuple[str, ...]] = ("reading_id",)

    reading_id: Id
    zone_id: Id
    x: Number | None = None
    y: Number | None = None
    um: Number
    principle: Principle
    spot: Text | None = None
    taken: Date | None = None
    phase: Text | None = None
    instrument: Text | None = None
    by: Text | None = None
    invalid: Text | None = None
    targeted: YesNo | None = None
