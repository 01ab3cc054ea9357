"""What stands against the strip: by code, then by zone, each with its cure one touch away."""

from __future__ import annotations

import streamlit as st

from bodymap.release.blockers import Blocker
from bodymap.release.checks import ZoneRelease
from bodymap.release.report import by_code
from dashboard import ways
from dashboard.components import fields, keep_state
from dashboard.loaders import Opened
from dashboard.loaders import keep_and_strip as loaders
from dashboard.state import Workspace
from dashboard.words import count, plain

_STATE_ICONS = {
    "released": ":material/lock:",
    "signed but blocked": ":material/error:",
    "ready to sign": ":material/draw:",
    "blocked": ":material/block:",
}
_EVERY = ""


def show(now: Opened, workspace: Workspace) -> None:
    """The chosen zones; or all that are to be stripped, by code."""
    releases = loaders.releases(now)
    if workspace.chosen:
        for zone_id in workspace.chosen[:6]:
            _zone(now, workspace, releases[zone_id])
        if len(workspace.chosen) > 6:
            st.caption(f"{len(workspace.chosen) - 6} more chosen zones are not listed here.")
        return
    asked = [release for release in releases.values() if release.asked]
    _states(asked)
    _codes(now, workspace, asked)


def _states(asked: list[ZoneRelease]) -> None:
    st.subheader(f"{count(len(asked), 'zone')} to be stripped", anchor=False)
    rows = []
    for state in _STATE_ICONS:
        number = sum(release.state == state for release in asked)
        rows.append({"State": state, "Zones": str(number) if number else "none"})
    st.table(rows, border="horizontal")


def _codes(now: Opened, workspace: Workspace, asked: list[ZoneRelease]) -> None:
    counts = {one.code: one for one in by_code(asked)}
    if not counts:
        st.success("Nothing stands against them.")
        return
    st.markdown("**What stands against them**")
    st.table(
        [{"Zones": str(len(one.zones)), "What": f"{one.words} (`{one.code}`)"} for one in counts.values()],
        border="horizontal",
    )
    kept = keep_state.current()
    names = {code: f"{one.words} ({len(one.zones)})" for code, one in counts.items()}
    if kept.code not in names:
        kept.code = None
    kept.code = fields.one_of("Look at one of these", names, "keep_code", kept.code)
    if not kept.code:
        return
    zones = {zone: now.record.zone[zone].title for zone in counts[kept.code].zones}
    if kept.blocked not in zones:
        kept.blocked = None
    kept.blocked = fields.one_of("Zone", zones, f"keep_blocked_{kept.code}", kept.blocked or next(iter(zones)))
    if kept.blocked:
        _zone(now, workspace, loaders.releases(now)[kept.blocked], only=kept.code)


def _zone(now: Opened, workspace: Workspace, release: ZoneRelease, only: str = _EVERY) -> None:
    zone = now.record.zone[release.zone_id]
    st.markdown(f"{_STATE_ICONS[release.state]} **{plain(zone.title)}**: {release.state}")
    if not release.asked:
        st.caption("No strip step names it.")
    if release.signed_by:
        st.caption(f"Release signed by {plain(' and '.join(release.signed_by))}.")
    for number, blocker in enumerate(release.blockers):
        if only in (_EVERY, blocker.code):
            _blocker(now, workspace, release.zone_id, blocker, number)
    for one in release.overridden:
        st.caption(plain(f"Overruled by {one.by}, {one.on}: {one.blocker.code} ({one.reason})"))
    for note in release.notes:
        st.caption(f"Note: {plain(note)}")


def _blocker(now: Opened, workspace: Workspace, zone_id: str, blocker: Blocker, number: int) -> None:
    with st.container(border=True, key=f"blocker_{zone_id}_{number}"):
        st.markdown(plain(_capital(blocker.what)) + ".")
        st.caption(f"Cure: {plain(blocker.cure.replace('`', ''))}.")
        with st.container(horizontal=True, vertical_alignment="center"):
            st.button(
                ways.way_of(blocker).words,
                icon=":material/arrow_forward:",
                key=f"cure_{zone_id}_{number}",
                on_click=_go,
                args=(now, workspace, zone_id, blocker),
            )
            st.caption(f"Code: {blocker.code}")


def _go(now: Opened, workspace: Workspace, zone_id: str, blocker: Blocker) -> None:
    """Before the next run: the window is set; the page is switched once the run has begun."""
    page = ways.go(now, workspace, zone_id, blocker)
    keep_state.current().leave_for = "" if page == ways.HERE else page


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
