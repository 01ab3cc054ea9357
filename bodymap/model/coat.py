"""Coats: events, not materials. Two silvers years apart are two coats."""

from __future__ import annotations

from typing import ClassVar, Literal

from bodymap.model.columns import Colour, Id, Ids, NotNegative, Positive, SolidsPct, Text, ThinningPct
from bodymap.model.entry import Entry

CoatKind = Literal["etch", "primer", "surfacer", "filler", "colour", "tinted", "clear", "line", "underbody", "other"]


class Coat(Entry):
    """One application of one material, once in the vehicle's life. `um_low`..`um_high`: its usual film in µm.

    What it takes to reckon paint, from data sheet and shop, none of it ever assumed: `volume_solids_pct` of the paint
    as it comes, unthinned (not weight solids, which are another figure); `thinning_pct`, thinner added in % of the
    paint's volume; `film_um`, the dry film wanted [µm]; `pass_um`, the dry film of one pass [µm].
    """

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
    volume_solids_pct: SolidsPct | None = None
    thinning_pct: ThinningPct | None = None
    film_um: Positive | None = None
    pass_um: Positive | None = None
