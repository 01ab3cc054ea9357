"""The zones of a drawing in a table: name, part, face, surface ratio and what is wanted on them."""

from __future__ import annotations

from typing import Any

import streamlit as st
from pydantic import ValidationError
from streamlit.delta_generator import DeltaGenerator

from bodymap.geometry.proposal import Proposal
from bodymap.model import Zone
from bodymap.views.board import Board
from dashboard.components import proposal_card
from dashboard.components.drawing_desk import Desk
from dashboard.loaders import Opened, drawings
from dashboard.state import Workspace, forget, held
from dashboard.theme import TARGET_PX
from dashboard.words import FACES, count, plain

_INTENTS = {"keep": "keep", "clean": "clean", "as_built": "as built", "better": "better than built"}
_FACE_OF = {words: face for face, words in FACES.items()}
_INTENT_OF = {words: intent for intent, words in _INTENTS.items()}


def aims() -> tuple[str, ...]:
    """What touches set on the board."""
    return ()


def show(now: Opened, workspace: Workspace, desk: Desk, under: DeltaGenerator) -> Board:
    """The table; returns what is on the board."""
    zones = now.record.zones_on.get(desk.drawing_id, ())
    if not zones:
        st.caption("There is no zone on this drawing yet.")
        return drawings.board(now, desk.drawing_id, ())
    parts = _part_names(now)
    key = held(f"zones_{desk.drawing_id}_{now.revision}")
    if f"{key}_began" not in st.session_state:
        st.session_state[f"{key}_began"] = [_row(zone, parts) for zone in zones]
    edited = under.data_editor(
        st.session_state[f"{key}_began"], key=key, hide_index=True, row_height=TARGET_PX, placeholder="", num_rows="fixed",
        disabled=["Zone"], column_config=_columns(parts),
    )  # fmt: skip
    under.caption(
        "Ratio: true surface ÷ drawn surface, from two tape girths or chord and rise. Blank: not measured, counts as 1."
    )
    proposal = _proposal(zones, edited, parts)
    changed = [entry.zone_id for entry in proposal.put if isinstance(entry, Zone)] if proposal else []
    if changed:
        st.markdown(f"**{count(len(changed), 'zone')} changed:** {plain(', '.join(changed))}")
    why, needs = f"zones described: {', '.join(changed)}", "a change in the table"
    if proposal_card.show(now, workspace, desk, proposal, name="zones", why=why, needs=needs):
        forget("zones_")
        st.rerun()
    return drawings.board(now, desk.drawing_id, tuple(changed))


def _columns(parts: dict[str, str]) -> dict[str, Any]:
    column = st.column_config
    return {
        "Zone": column.TextColumn(width=95),
        "Name": column.TextColumn(max_chars=120, width=175),
        "Part": column.SelectboxColumn(options=list(parts.values()), required=True, width=155),
        "Face": column.SelectboxColumn(options=list(_FACE_OF), required=True, width="small"),
        "Ratio": column.NumberColumn(min_value=0.01, max_value=20.0, step=0.001, format="%.3f", width="small"),
        "Ratio from": column.TextColumn(max_chars=300, width=140, help="How it was measured"),
        "Wanted": column.SelectboxColumn(options=list(_INTENT_OF), width="small"),
    }


def _part_names(now: Opened) -> dict[str, str]:
    """Names of parts by id, each once."""
    names: dict[str, str] = {}
    for part in now.record.parts:
        names[part.part_id] = part.name if part.name not in names.values() else f"{part.name} ({part.part_id})"
    return names


def _row(zone: Zone, parts: dict[str, str]) -> dict[str, Any]:
    return {
        "Zone": zone.zone_id,
        "Name": zone.name,
        "Part": parts[zone.part_id],
        "Face": FACES[zone.face],
        "Ratio": zone.surface_ratio,
        "Ratio from": zone.surface_ratio_from,
        "Wanted": _INTENTS.get(zone.intent or ""),
    }


def _proposal(zones: tuple[Zone, ...], rows: list[dict[str, Any]], parts: dict[str, str]) -> Proposal | None:
    ident_of = {name: ident for ident, name in parts.items()}
    put = []
    for zone, row in zip(zones, rows, strict=True):
        said = {
            "name": (row["Name"] or "").strip() or None,
            "part_id": ident_of.get(row["Part"], zone.part_id),
            "face": _FACE_OF.get(row["Face"], zone.face),
            "surface_ratio": row["Ratio"],
            "surface_ratio_from": (row["Ratio from"] or "").strip() or None,
            "intent": _INTENT_OF.get(row["Wanted"] or ""),
        }
        changed = {name: value for name, value in said.items() if value != getattr(zone, name)}
        if not changed:
            continue
        try:
            put.append(Zone.model_validate({**zone.model_dump(exclude={"shape"}), "shape": zone.shape, **changed}))
        except ValidationError as error:
            st.warning(plain(f"{zone.zone_id}: {error.errors()[0]['msg']}"))
            return None
    return Proposal(tuple(put)) if put else None
