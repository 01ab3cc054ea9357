"""The coat order in figures: the ladder chart and the fitted-or-off table, and as if what they are read."""

from __future__ import annotations

import streamlit as st

from bodymap.views.coat_chart import CoatChart
from bodymap.views.coat_order import CoatOrderView
from dashboard import loaders, state
from dashboard.components import fields
from dashboard.loaders import Opened
from dashboard.state import Workspace, forget
from dashboard.words import count, plain

_AS_IT_IS = ""
_SEGMENTS_MOST, _ZONES_MOST = 3, 6
_STILL = {"displayModeBar": False, "scrollZoom": False, "doubleClick": False}
_CHART_SIGNS = (
    "Filled box: in full · dotted box, m: mist · ×: looked for, not there · ?: not seen · c: cut back · "
    "–: part not made yet · ≠: stacks disagree. A coat stands as low as its links allow; only a chain of links says "
    "which of two coats came first."
)
_FITTED_SIGNS = (
    "F: fitted, on the vehicle · O: off, painted apart · A: away, not painted · several letters: open between them. "
    "Filled box: on the vehicle or not is proven · outlined: likely · dashed: open · ? after the letter: that it was "
    "not on the vehicle is proven, off or away is not · blank: the part was not there yet · dot: a coat of other parts."
)


def as_if(now: Opened, workspace: Workspace) -> tuple[str, ...]:
    """Which stacks to read without. The only smallest way out of a circle is chosen at first, and it is said so."""
    removals = loaders.circle_removals(now)
    if not removals:
        return ()
    names = {_AS_IT_IS: "As the record stands"}
    names |= {" ".join(gone): f"As if {' and '.join(gone)} were set aside" for gone in removals}
    if workspace.aside not in names:
        workspace.aside = " ".join(removals[0]) if len(removals) == 1 else _AS_IT_IS
        forget("aside")
    field = fields.segments if len(names) <= _SEGMENTS_MOST else fields.one_of
    workspace.aside = field("Read the stacks", names, "aside", workspace.aside)
    aside = tuple(workspace.aside.split())
    if aside:
        told = f"Shown as if {plain(' and '.join(aside))} were set aside. Nothing is changed in the record."
        st.info(told, icon=":material/question_mark:")
    return aside


def chart(now: Opened, workspace: Workspace, view: CoatOrderView) -> None:
    """The ladder chart, and which zones stand beside it."""
    st.subheader("Ladder chart: coats from the substrate upward", anchor=False)
    shown = loaders.coat_chart(now, view.aside, _zones(now, workspace))
    if not shown.rows:
        st.markdown("No stack shows a coat yet. Each stack that is looked at orders the coats that it shows.")
        return
    names = {zone.zone_id: zone.title for zone in now.record.zones}
    beside = [zone.zone_id for zone in shown.zones]
    picked = fields.some_of("Zones beside the coats", names, "chart_zones", beside, max_selections=_ZONES_MOST)
    if picked != beside:
        workspace.chart_zones = picked
    figure = loaders.coat_chart_figure(now, view.aside, _zones(now, workspace), state.theme())
    with st.container(key="coat_chart"):
        st.plotly_chart(figure, key="ladder_chart", theme=None, width="content", config=_STILL, alt=_in_words(shown))
    st.caption(_CHART_SIGNS)
    if view.unordered:
        st.caption(f"Of {count(view.unordered, 'pair')} of coats no chain of links says which came first.")
    if view.unseen:
        st.caption(f"Seen in no stack: {plain(', '.join(view.unseen))}.")


def _zones(now: Opened, workspace: Workspace) -> tuple[str, ...] | None:
    """The zones that were chosen for the chart and are still in the record; None: none was ever chosen."""
    if workspace.chart_zones is None:
        return None
    return tuple(zone for zone in workspace.chart_zones if zone in now.record.zone)


def _in_words(shown: CoatChart) -> str:
    links = "; ".join(f"{link.above} over {link.below} ({', '.join(link.stacks)})" for link in shown.links)
    return f"Ladder chart. {links or 'No coat lies over another.'}"


def fitted(now: Opened, workspace: Workspace, view: CoatOrderView) -> None:
    """The fitted-or-off table."""
    st.subheader("Fitted or off", anchor=False)
    if view.fitted is None:
        circle = "While the order runs in a circle nobody can say what was fitted when."
        st.markdown("No removable part and no coat on it is recorded yet." if view.ordered else circle)
        return
    words = "Also what coats of other parts say"
    workspace.local_too = st.toggle(words, value=workspace.local_too, key="local_too")
    figure = loaders.fitted(now, view.aside, state.theme(), quiet_too=workspace.local_too)
    with st.container(key="fitted_table"):
        alt = "Fitted or off, parts by coats; the same is told in words on this page."
        st.plotly_chart(figure, key="fitted", theme=None, width="content", config=_STILL, alt=alt)
    st.caption(_FITTED_SIGNS)
