"""Coats: events, not materials. Two silvers years apart are two coats."""

from __future__ import annotations

from typing import ClassVar, Literal

from bodymap.model.columns import Colour, Id, Ids, NotNegative, Text
from bodymap.model.entry import Entry

CoatKind = Literal["etch", "primer", "surfacer", "filler", "colour", "tinted", "clear", "line", "underbody", "other"]


class Coat(Entry):
    """One application of one material, once in the vehicle's life. `um_low`..`um_high`: its usual film in µm."""

    KIND: ClassVar[str] = "coat"
    FILE: ClassVar[str] = "coats.csv"
    KEY: ClassVar[tuple[str, ...]] = ("coat_id",)

    coat_id: Id
    name: Text
    kind: CoatKind
    colour: Colour | None = None
    um_low: NotNegative | None = None
    um_high: NotNegative | None = None
    era: Text | None = None
    looks_like: Ids = ()
