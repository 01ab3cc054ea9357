"""What a surface or line is to become: a kind of outline, or a zone with its part and face."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import streamlit as st

from bodymap.exchange.taking_in import Wish
from dashboard.components import fields
from dashboard.components.drawing_desk import NEW, Desk
from dashboard.loaders import Opened
from dashboard.words import FACES, SUBSTRATES

LEFT_OUT = ""
ROLE_NAMES = {
    "zone": "zone",
    "body": "body",
    "glass": "glass",
    "wheel": "wheel",
    "lamp": "lamp",
    "trim": "trim",
    "shut_line": "shut line",
    "body_line": "body line",
}
OPEN_LINES = ("shut_line", "body_line")
COMES_OFF = {"yes": "comes off", "no": "stays on"}


def show(now: Opened, desk: Desk, prefix: str, new_parts: Sequence[str] = ()) -> Wish:
    """The form for one surface. `new_parts`: names of parts that are to be made with others."""
    said = desk.said
    role = fields.segments("It becomes", ROLE_NAMES, f"{prefix}_role", said.get(f"{prefix}_role", "zone"))
    said[f"{prefix}_role"] = role
    name = said[f"{prefix}_name"] = fields.line(
        "Name *" if role == "zone" else "Name", f"{prefix}_name", said.get(f"{prefix}_name", ""), 120
    )
    if role != "zone":
        return Wish(role, name)
    left, right = st.columns(2)
    parts = part_names(now, new_parts, "a new part")
    part = fields.one_of("Part", parts, f"{prefix}_part", _in(said, f"{prefix}_part", parts), place=left)
    face = fields.one_of("Face", FACES, f"{prefix}_face", said.get(f"{prefix}_face", "outer"), place=right)
    said[f"{prefix}_part"], said[f"{prefix}_face"] = part, face
    if not part.startswith(NEW):
        return Wish("zone", name, part, face=face)
    if part != NEW:  # one that is to be made with another surface
        first = said[f"{prefix}_parts"][part[1:]]
        return Wish("zone", name, "", part[1:], first.substrate, first.removable, face)
    left, right = st.columns(2)
    substrate = fields.one_of(
        "The new part is of *", SUBSTRATES, f"{prefix}_substrate", said.get(f"{prefix}_substrate"), place=left
    )
    comes_off = fields.one_of("Fixing *", COMES_OFF, f"{prefix}_off", said.get(f"{prefix}_off"), place=right)
    said[f"{prefix}_substrate"], said[f"{prefix}_off"] = substrate, comes_off
    removable = None if comes_off is None else comes_off == "yes"
    return Wish("zone", name, "", name, substrate, removable, face)


def missing(wish: Wish) -> list[str]:
    """What a wish still needs, in words."""
    if wish.role != "zone":
        return []
    new = not wish.part_id
    told = {
        "a name": wish.name.strip(),
        "what the new part is of": not new or wish.substrate,
        "whether it comes off": not new or wish.removable is not None,
    }
    return [what for what, value in told.items() if not value]


def part_names(now: Opened, new_parts: Sequence[str], new: str) -> dict[str, str]:
    """Parts to choose from: a new one, those that are to be made with others, those of the record."""
    wanted = {f"{NEW}{name}": f"{name} (new)" for name in dict.fromkeys(new_parts)}
    return {NEW: new, **wanted, **{part.part_id: part.name for part in now.record.parts}}


def _in(said: Mapping[str, Any], key: str, names: Mapping[str, str]) -> str:
    value = said.get(key, NEW)
    return value if value in names else NEW
