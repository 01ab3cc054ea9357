"""Gaps and overlaps of the zones of a drawing, mended one by one or all together."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.geometry.proposal import Proposal
from bodymap.geometry.tidy import Flaw, mend, mend_all
from bodymap.views.board import Board, changed_shapes, flaw_shapes
from dashboard.components import fields, proposal_card
from dashboard.components.drawing_desk import Desk
from dashboard.loaders import Opened, drawings
from dashboard.state import Workspace
from dashboard.words import count, plain

_SHOWN = 25


def aims() -> tuple[str, ...]:
    """What touches set on the board."""
    return ()


def show(now: Opened, workspace: Workspace, desk: Desk) -> Board:
    """The list; returns what is on the board."""
    found = tuple(sorted(drawings.flaws(now, desk.drawing_id), key=lambda flaw: flaw.may_be_shut_gap))
    board = drawings.board(now, desk.drawing_id, ()).with_more(flaw_shapes(found))
    if not found:
        st.success("No gaps, overlaps or unexplained holes among the zones of this drawing.")
        return board
    kinds = {kind: sum(flaw.kind == kind for flaw in found) for kind in ("overlap", "gap", "hole")}
    st.markdown(", ".join(count(number, kind) for kind, number in kinds.items() if number) + ", on the drawing by number.")
    workspace.by = fields.line("By (your name) *", "by", workspace.by, 80).strip()
    asked = desk.get("tidy_asked")
    if asked is not None and asked[0] == now.stamp:
        return _ask(now, workspace, desk, asked[1], board)
    _all(now, workspace, desk, found)
    numbered = list(enumerate(found, start=1))
    _list(now, workspace, desk, [(number, flaw) for number, flaw in numbered if not flaw.may_be_shut_gap])
    shut = [(number, flaw) for number, flaw in numbered if flaw.may_be_shut_gap]
    if shut:
        with st.expander(f"Between two parts: may well be shut gaps ({len(shut)})", key="tidy_shut_gaps"):
            _list(now, workspace, desk, shut)
    return board


def _list(now: Opened, workspace: Workspace, desk: Desk, flaws: list[tuple[int, Flaw]]) -> None:
    for number, flaw in flaws[:_SHOWN]:
        words, button = st.columns([4, 1], vertical_alignment="center")
        between = " and ".join(now.record.zone[zone].title for zone in flaw.zones)
        words.markdown(f"{number} · {plain(f'{flaw.kind}, {flaw.area_mm2:.0f} mm²: {between}')}")
        if button.button("Mend", key=f"tidy_mend_{number}"):
            try:
                _do(now, workspace, desk, mend(now.record, flaw), f"mended: {flaw.words}")
            except BodymapError as error:
                st.warning(plain(str(error)))
    if len(flaws) > _SHOWN:
        st.caption(f"and {len(flaws) - _SHOWN} more")


def _all(now: Opened, workspace: Workspace, desk: Desk, found: tuple[Flaw, ...]) -> None:
    shut = desk.said["tidy_shut"] = fields.tick(
        "Close gaps between two parts as well", "tidy_shut", desk.get("tidy_shut", False)
    ) if any(flaw.may_be_shut_gap for flaw in found) else False  # fmt: skip
    if st.button("Mend all gaps and overlaps", key="tidy_all"):
        proposal = mend_all(now.record, desk.drawing_id, now.settings, shut_gaps=shut)
        name = now.record.drawing[desk.drawing_id].name
        if proposal.put:
            _do(now, workspace, desk, proposal, f"gaps and overlaps mended on {name}")
        else:
            st.warning(plain(" ".join(("Nothing to mend by itself.", *proposal.questions))))


def _do(now: Opened, workspace: Workspace, desk: Desk, proposal: Proposal, why: str) -> None:
    """Saved at once; where something has to be answered first, that is asked."""
    if not workspace.by:
        st.warning("Not mended yet. Still needed: your name.")
        return
    if proposal.questions:
        desk.said["tidy_asked"] = (now.stamp, (proposal, why))
        st.rerun()
    if proposal_card.save(now, workspace, proposal, why=why):
        st.rerun()


def _ask(now: Opened, workspace: Workspace, desk: Desk, asked: tuple[Proposal, str], board: Board) -> Board:
    proposal, why = asked
    if st.button("Put away", key="tidy_away"):
        desk.put_away("tidy_asked")
        st.rerun()
    if proposal_card.show(now, workspace, desk, proposal, name="tidy", why=why, with_name=False):
        desk.put_away("tidy_asked")
        st.rerun()
    return board.with_more(changed_shapes(now.record, proposal, desk.drawing_id))
