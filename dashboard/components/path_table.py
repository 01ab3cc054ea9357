"""The paths of a file in a table: what each becomes, its name, part and face, as proposed by its names, to be changed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import streamlit as st

from bodymap.exchange.sketch import Sketch, SketchPath
from bodymap.exchange.taking_in import Wish
from dashboard.components import fields
from dashboard.components.drawing_desk import NEW, Desk
from dashboard.components.wish_form import COMES_OFF, ROLE_NAMES, part_names
from dashboard.loaders import Opened
from dashboard.state import held
from dashboard.theme import TARGET_PX
from dashboard.words import FACES, SUBSTRATES

_LEAVE = "leave out"
_NEW_PART = "new part of that name"
_ROLE_OF = {words: role for role, words in ROLE_NAMES.items()}
_FACE_OF = {words: face for face, words in FACES.items()}
_SUBSTRATE_OF = {words: substrate for substrate, words in SUBSTRATES.items()}
Row = dict[str, Any]


def show(now: Opened, desk: Desk, sketch: Sketch) -> Mapping[str, Wish]:
    """The table, and above it what holds for all new parts; returns what each path is to become."""
    fresh = any(path.role == "zone" for path in sketch.shapes)
    if fresh:
        _for_all(desk)
    rows: dict[str, Row] = desk.get("in_rows") or {}
    if list(rows) != [path.ident for path in sketch.shapes]:
        rows = {path.ident: _row(now, path) for path in sketch.shapes}
    parts = part_names(now, (), _NEW_PART)
    ident_of = {name: ident for ident, name in parts.items()}
    key = held("in_table")
    if f"{key}_began" not in st.session_state:
        st.session_state[f"{key}_began"] = list(rows.values())
    edited = st.data_editor(
        st.session_state[f"{key}_began"], key=key, hide_index=True, row_height=TARGET_PX, placeholder="", num_rows="fixed",
        disabled=["Path"], column_config=_columns(list(ident_of)),
    )  # fmt: skip
    desk.said["in_rows"] = dict(zip(rows, [dict(row) for row in edited], strict=True))
    return {
        ident: _wish(desk, row, ident_of)
        for ident, row in desk.said["in_rows"].items()
        if row["Becomes"] and row["Becomes"] != _LEAVE
    }


def _columns(parts: list[str]) -> dict[str, Any]:
    column = st.column_config
    return {
        "Becomes": column.SelectboxColumn(options=[*_ROLE_OF, _LEAVE], width="small", required=True),
        "Name": column.TextColumn(max_chars=120),
        "Part": column.SelectboxColumn(options=parts),
        "Face": column.SelectboxColumn(options=list(_FACE_OF), width="small"),
        "Of": column.SelectboxColumn(options=list(_SUBSTRATE_OF), width="small", help="A new part: what it is of"),
        "Fixing": column.SelectboxColumn(
            options=list(COMES_OFF.values()), width="small", help="A new part: whether it comes off"
        ),
        "Close": column.CheckboxColumn(width="small", help="An open line that is to be a surface is closed straight"),
    }


def _for_all(desk: Desk) -> None:
    with st.container(horizontal=True):
        left, right = st.container(width="stretch"), st.container(width="stretch")
    desk.said["in_substrate"] = fields.one_of(
        "New parts are of", SUBSTRATES, "in_substrate", desk.get("in_substrate"), place=left, placeholder="as the table says"
    )
    desk.said["in_off"] = fields.one_of(
        "Fixing of new parts", COMES_OFF, "in_off", desk.get("in_off"), place=right, placeholder="as the table says"
    )


def _row(now: Opened, path: SketchPath) -> Row:
    told = path.told
    part = now.record.part.get(told.get("part_id", ""))
    named = f"{path.ident} {path.name}" + (f" ({' › '.join(path.groups)})" if path.groups else "")
    return {
        "Path": named,
        "Becomes": ROLE_NAMES[path.role] if path.role else _LEAVE,
        "Name": path.name,
        "Part": part.name if part else _NEW_PART,
        "Face": FACES.get(told.get("face", ""), FACES["outer"]),
        "Of": None,
        "Fixing": None,
        "Close": False,
    }


def _wish(desk: Desk, row: Row, ident_of: Mapping[str, str]) -> Wish:
    role = _ROLE_OF[row["Becomes"]]
    name = (row["Name"] or "").strip()
    if role != "zone":
        return Wish(role, name)
    part = ident_of.get(row["Part"] or _NEW_PART, NEW)
    comes_off = row["Fixing"] or COMES_OFF.get(desk.get("in_off") or "")
    return Wish(
        "zone",
        name,
        "" if part == NEW else part,
        "",
        _SUBSTRATE_OF.get(row["Of"] or "") or desk.get("in_substrate"),
        None if not comes_off else comes_off == COMES_OFF["yes"],
        _FACE_OF.get(row["Face"] or "", "outer"),
        bool(row["Close"]),
    )
