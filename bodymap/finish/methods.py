"""Ways to strip: how near each may come to a kept area, what it must not touch, and which cautions it calls for.

All of it is common practice without a published source; the distances are figures in `bodymap.settings` which a record
may set for itself. The maker's data sheet and a conservator come first.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from bodymap.model.coat import CoatKind
from bodymap.model.part import Substrate
from bodymap.model.plan import StripMethod
from bodymap.settings import Settings


@dataclass(frozen=True)
class Method:
    """One way to strip.

    Attributes:
        words: its name in a sentence.
        margin_key: the figure that says how near it may come to a kept area [mm]; empty: up to the area.
        ends_at_a_line: it can be stopped at a taped line, so that the hand-worked band of a kept area may lie inside the
            zone. Where it cannot (grit flies and rebounds), all of the zone has to lie outside the margin.
        cautions: keys of the cautions it calls for whatever it is used on.
    """

    words: str
    margin_key: str
    ends_at_a_line: bool
    cautions: tuple[str, ...]


# From the roughest to the gentlest.
METHODS: dict[StripMethod, Method] = {
    "blast": Method("blasting", "margin_blast_mm", ends_at_a_line=False, cautions=("old finish", "blasting", "dust")),
    "soft_media": Method(
        "soft media", "margin_soft_media_mm", ends_at_a_line=True, cautions=("old finish", "blasting", "dust")
    ),
    "chemical": Method("paint stripper", "margin_chemical_mm", ends_at_a_line=True, cautions=("old finish", "stripper")),
    "blade": Method("blade", "", ends_at_a_line=True, cautions=("old finish",)),
    "hand": Method("hand work", "", ends_at_a_line=True, cautions=("old finish", "dust")),
}

_NOT_STATED = "the substrate is not stated as steel, aluminium or GRP: try by hand first"
_REFUSED: dict[tuple[StripMethod, Substrate], str] = {
    ("blast", "aluminium"): "steel grit stays in aluminium and starts corrosion, and hard media stretch thin sheet",
    ("blast", "grp"): "blasting opens the gelcoat and lays the fibre bare",
    ("blast", "other"): _NOT_STATED,
    ("chemical", "grp"): "paint stripper attacks the resin and stays in it",
    ("chemical", "other"): _NOT_STATED,
    ("soft_media", "other"): _NOT_STATED,
}


def method_refusal(method: StripMethod, substrate: Substrate) -> str | None:
    """Why a method must not be used on a substrate; None where nothing is known against it.

    >>> method_refusal("chemical", "grp")
    'paint stripper attacks the resin and stays in it'
    >>> method_refusal("soft_media", "aluminium") is None
    True
    """
    return _REFUSED.get((method, substrate))


def methods_for(substrate: Substrate) -> tuple[StripMethod, ...]:
    """The methods that may touch a substrate, from the roughest to the gentlest.

    >>> methods_for("grp")
    ('soft_media', 'blade', 'hand')
    """
    return tuple(method for method in METHODS if method_refusal(method, substrate) is None)


def margin_mm(method: StripMethod, settings: Settings) -> float:
    """How near a method may come to a kept area [mm]."""
    key = METHODS[method].margin_key
    return settings.value(key) if key else 0.0


def widest_margin_mm(settings: Settings) -> float:
    """The margin of the method that needs the widest one [mm]: what holds where no method is stated."""
    return max(margin_mm(method, settings) for method in METHODS)


def strip_cautions(method: StripMethod | None, substrate: Substrate, coats: Collection[CoatKind] = ()) -> frozenset[str]:
    """Keys of the cautions that stripping calls for, by method, substrate and the kinds of coat that are there.

    A method that is not stated calls for those of every method that may touch the substrate.
    """
    methods = (method,) if method else methods_for(substrate)
    keys = {key for one in methods for key in METHODS[one].cautions}
    if substrate == "aluminium":
        keys.add("aluminium")
    if substrate == "grp":
        keys |= {"grp", "dust"}
    if "underbody" in coats:
        keys.add("old sealer")
    if "filler" in coats:
        keys.add("dust")
    return frozenset(keys)
