"""Words and figures as the screens say them. What a record says is shown as it stands, never read as markup."""

from __future__ import annotations

import re

from bodymap.units import mm2_to_m2
from bodymap.views.ladder import SUBSTRATE_WORDS
from bodymap.views.zone_card import FACE_WORDS

NOT_STATED = "not stated"
_JOINER = "\u2060"
_MARKUP = re.compile(r"([\\`*_{}\[\]()<>#+\-.!|~$&^=:\"'/@])")
# Shortcodes, addresses and arrows are made of plain text after the escapes are gone: an invisible joiner parts them.
_MADE_LATER = re.compile(r"([:@]|www(?=\.)|[-<>](?=[-<>]))", re.IGNORECASE)


def plain(text: str | None) -> str:
    """Text from a record for a place that reads Markdown: every sign stands for itself, on one line."""
    if not text:
        return NOT_STATED
    return _MARKUP.sub(r"\\\1", _MADE_LATER.sub(rf"\1{_JOINER}", " ".join(text.split())))


def square_metres(area_mm2: float) -> str:
    """An area in m², in cm² where it is small."""
    area_m2 = mm2_to_m2(area_mm2)
    if 0 < area_m2 < 0.01:
        return f"{area_mm2 / 100:.1f}\u00a0cm²"
    return f"{area_m2:.3f}\u00a0m²" if area_m2 < 1 else f"{area_m2:.2f}\u00a0m²"


def share(part: float, whole: float) -> str:
    """A share in per cent; a dash where there is no whole."""
    return f"{100 * part / whole:.1f}\u00a0%" if whole else "–"


def whole(value: float | None) -> str:
    """A figure without decimals; a dash where there is none."""
    return "–" if value is None else f"{value:.0f}"


def micrometres(film_um: float | None) -> str:
    """A film in µm."""
    return f"{whole(film_um)}\u00a0µm"


def signed(value: float) -> str:
    """A whole figure with its sign; 0 has none."""
    return f"{value:+.0f}".replace("-", "−") if round(value) else "0"


def count(number: int, one: str, many: str = "") -> str:
    """A number with its noun: 1 zone, 2 zones, no zones."""
    noun = one if number == 1 else (many or f"{one}s")
    return f"{number or 'no'} {noun}"


# What the choices of the model are called on screen.
EDGES = {
    "hard": "hard taped edge",
    "soft": "soft edge (fades out)",
    "part_edge": "to a part edge",
    "body_line": "to a body line",
    "left_in_seal": "under a left-in seal",
}
PURPOSES = {"keep": "Keep: never stripped", "mask": "Mask: covered while a coat goes on"}
ORIGINS = {"original": "original", "recreated": "made again by us"}
SHEETS = {"outside": "Outside", "hidden": "Hidden faces"}
TINTS = {"plain": "Plain", "finish": "Finish now", "coat": "Coat by coat", "film": "Film", "not_seen": "Not seen"}
MARKS = {
    "kept": "Kept areas",
    "findings": "Findings",
    "readings": "Readings",
    "lines": "Lines",
    "datums": "Datums",
    "stacks": "Stacks",
}
TOUCHES = {"pick": "Pick", "place": "Place", "lasso": "Lasso", "box": "Box"}
WAYS = {"drawn": "Drawn on the map", "band": "Band along an edge", "offsets": "Offsets from a datum"}
# Prints say the same of these.
FACES, SUBSTRATES = dict(FACE_WORDS), dict(SUBSTRATE_WORDS)
