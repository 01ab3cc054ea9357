"""Ways to strip: what each may touch and how near it may come; and how the chosen zones are stripped."""

from __future__ import annotations

import streamlit as st

from bodymap.finish.methods import METHODS
from bodymap.finish.strip_plan import refusals
from bodymap.views.cautions import cautions_for
from bodymap.views.keep_edges import method_rows
from dashboard import actions_release
from dashboard.components import fields, keep_signing, keep_state
from dashboard.loaders import Opened
from dashboard.loaders import keep_and_strip as loaders
from dashboard.state import Workspace
from dashboard.words import NOT_STATED, SUBSTRATES, plain

_NAMES = {name: method.words for name, method in METHODS.items()}


def show(now: Opened, workspace: Workspace) -> None:
    """The methods, those of the chosen zones, and a form to state one."""
    _planned(now, workspace)
    if keep_signing.writable(now):
        _form(now, workspace)
    with st.expander("What each method may touch", expanded=not workspace.chosen, key="keep_methods"):
        _methods(now)
    _cautions(now, workspace)


def _methods(now: Opened) -> None:
    rows = [
        {
            "Method": row.words,
            "May touch": ", ".join(SUBSTRATES[one] for one in row.substrates),
            "Keeps away": f"{row.margin.value:g} mm" if row.margin else "up to the kept area",
            "Basis": plain(f"{row.margin.basis}: {row.margin.source}") if row.margin else "common practice",
            "Ends at a taped line": "yes" if row.ends_at_a_line else "NO",
        }
        for row in method_rows(now.settings)
    ]
    st.table(rows, border="horizontal")
    band = now.settings.figures["last_band_mm"]
    st.caption(plain(f"The last {band.value:g} mm along a kept area: blade or fine abrasive only ({band.basis})."))


def _planned(now: Opened, workspace: Workspace) -> None:
    splits = loaders.splits(now)
    zones = workspace.chosen or [zone for zone, split in splits.items() if not split.in_reach.is_empty]
    if not workspace.chosen:
        st.caption("Choose zones to see and state how they are stripped. In reach of a kept area now:")
    rows = []
    for zone_id in zones:
        zone, split = now.record.zone[zone_id], splits[zone_id]
        steps = [f"step {one.step}: {_NAMES.get(one.method or '', NOT_STATED)}" for one in split.strips]
        near = ", ".join(split.reach_of) if not split.in_reach.is_empty else ""
        rows.append(
            {
                "Zone": plain(zone.title),
                "Substrate": SUBSTRATES[now.record.part[zone.part_id].substrate],
                "Stripped in": "; ".join(steps) if steps else "no step",
                "Too near": plain(near) if near else "–",
            }
        )
    if rows:
        st.table(rows, border="horizontal")
    else:
        st.caption("None.")


def _form(now: Opened, workspace: Workspace) -> None:
    kept = keep_state.current()
    with st.container(key="keep_method_box", border=True):
        st.markdown(f"**Method for {keep_signing.chosen_words(now, workspace)}**")
        kept.method = fields.one_of("Method *", _NAMES, "keep_method", kept.method)
        refused = refusals(now.record, workspace.chosen, kept.method) if kept.method else ()
        for why in refused:
            st.error(plain(why))
        st.caption(
            "It is stated in the strip steps of the plan: the zones join a step of this method beside theirs, or get a step "
            "of their own behind it."
        )
        kept.why_method = fields.line("Why *", "keep_why_method", kept.why_method, 500)
        keep_signing.name(workspace)
        if st.button("Save the method", type="primary", key="save_method"):
            _save(now, workspace, refused)


def _save(now: Opened, workspace: Workspace, refused: tuple[str, ...]) -> None:
    kept = keep_state.current()
    if refused:
        st.warning("Not saved: this method must not be used here.")
        return
    needed = {"zones (choose them)": workspace.chosen, "the method": kept.method}
    needed |= {"why": kept.why_method.strip(), "who says so": workspace.by}
    done = keep_signing.save(
        workspace,
        lambda: actions_release.save_method(
            now, workspace.chosen, kept.method, by=workspace.by, why=kept.why_method.strip(), seen=workspace.seen
        ),
        "Method stated",
        needed,
        ("keep_method", "keep_why_method"),
    )
    if done:
        kept.method, kept.why_method = None, ""
        st.rerun()


def _cautions(now: Opened, workspace: Workspace) -> None:
    lines = cautions_for(loaders.caution_keys(now, tuple(workspace.chosen), keep_state.current().method))
    st.markdown("**Cautions**")
    for line in lines:
        st.caption(plain(line))
