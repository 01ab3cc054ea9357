"""Decisions with a name to them, and the record's own working figures."""

from __future__ import annotations

from typing import ClassVar, Literal

from bodymap.model.columns import Date, Id, Text
from bodymap.model.entry import Entry
from bodymap.settings import Basis

Decision = Literal[
    "survey complete", "hazards tested", "keep", "release to strip", "override", "brief accepted", "coat accepted"
]


class Signoff(Entry):
    """A decision on a subject (an id, or `vehicle`), by somebody, on a day."""

    KIND: ClassVar[str] = "signoff"
    FILE: ClassVar[str] = "signoffs.csv"

    subject: Id
    what: Decision
    by: Text
    on: Date
    note: Text | None = None


class Setting(Entry):
    """A working figure that differs from the default."""

    KIND: ClassVar[str] = "setting"
    FILE: ClassVar[str] = "settings.csv"
    KEY: ClassVar[tuple[str, ...]] = ("key",)

    key: Id
    value: Text
    basis: Basis
    source: Text | None = None
