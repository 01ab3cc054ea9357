"""The coat order in words: disagreements with their spots, what is known, dates, where to look next, look-alikes."""

from __future__ import annotations

import streamlit as st

from bodymap.views.coat_order import CoatOrderView, Disagreement, Spot, Told
from bodymap.views.film_witness import FilmWitness
from dashboard.components import fields
from dashboard.loaders import Opened
from dashboard.state import Workspace
from dashboard.words import count, plain

_PANEL_SHEET = "screens/panel_sheet.py"
_LOOKS_FIRST = 5
_PROVEN, _ALL = "", "*"


def go_to(now: Opened, workspace: Workspace, spot: Spot, key: str) -> None:
    """A button that shows a spot on the panel sheet."""
    if st.button(f"Go to {plain(spot.words)}", icon=":material/my_location:", key=key):
        drawing = now.record.drawing[now.record.zone[spot.zone_id].drawing_id]
        workspace.go_to(spot.zone_id, drawing.drawing_id, drawing.kind)
        st.switch_page(_PANEL_SHEET)


def disagreements(now: Opened, workspace: Workspace, view: CoatOrderView) -> None:
    """What contradicts what in the record, and what of that would stay with some stacks set aside."""
    st.subheader(f"Disagreements ({len(view.disagreements) + len(view.conflicts)})", anchor=False)
    if not view.disagreements:
        st.markdown("No stack contradicts another.")
    for number, one in enumerate(view.disagreements):
        st.markdown(plain(one.words))
        _spots(now, workspace, one, f"against_{number}")
    if view.aside:
        left = " ".join(plain(one.words) for one in view.left)
        st.markdown(f"Without {plain(' and '.join(view.aside))}: {left or 'no stack contradicts another.'}")
    for words in view.conflicts:
        st.markdown(f"**Dates:** {plain(words)}")


def _spots(now: Opened, workspace: Workspace, one: Disagreement, key: str) -> None:
    for spot in one.suspects:
        go_to(now, workspace, spot, f"{key}_{spot.stack_id}")
    spots = {spot.stack_id: spot for spot in one.spots}
    if not spots:
        return
    words = {stack: spot.words for stack, spot in spots.items()}
    with st.container(horizontal=True, vertical_alignment="bottom"):
        label = "Other spots of it" if one.suspects else "Its spots"
        stack = st.selectbox(label, list(words), format_func=words.get, key=f"{key}_spot", width=340)
        go_to(now, workspace, Spot(spots[stack].zone_id, stack, stack), f"{key}_other")


def known(now: Opened, workspace: Workspace, view: CoatOrderView) -> None:
    """The table in sentences: what is proven, what is told of one part, or all of it; what was taped comes last."""
    st.subheader("In words", anchor=False)
    if not view.told:
        circle = "While the order runs in a circle nothing can be told of what was fitted when."
        st.markdown("Nothing can be told yet." if view.ordered else circle)
        return
    names = {_PROVEN: "What is proven, and what came later", _ALL: "All of it"}
    names |= {part.part_id: part.name for part in now.record.parts if part.removable}
    if workspace.told_of not in names:
        workspace.told_of = _PROVEN
    workspace.told_of = fields.one_of("Tell of", names, "told_of", workspace.told_of)
    told = [one for one in view.told if _asked(workspace, one)]
    st.markdown("\n".join(f"- {plain(one.words)}" for one in sorted(told, key=lambda one: one.taped)))
    if not told:
        st.markdown("Nothing is told of this; the switch of the table shows what coats of other parts say.")
    for note in view.notes:
        st.caption(plain(note))


def _asked(workspace: Workspace, one: Told) -> bool:
    if one.local and not workspace.local_too:
        return False
    if workspace.told_of == _PROVEN:
        return one.grade in ("proven", None)
    return workspace.told_of == _ALL or workspace.told_of in one.parts


def look_next(now: Opened, workspace: Workspace, view: CoatOrderView) -> None:
    """Unseen zones worth a look, the best first."""
    st.subheader(f"Where to look next ({len(view.looks)})", anchor=False)
    if not view.looks:
        settled = "No unseen zone would settle anything that is still open."
        st.markdown(settled if view.ordered else "Look again at the spots of the circle first.")
    first, rest = view.looks[:_LOOKS_FIRST], view.looks[_LOOKS_FIRST:]
    for number, look in enumerate(first, 1):
        st.markdown(f"**{number}.** {plain(look.why)} Settles {count(look.settles, 'fact')}.")
        go_to(now, workspace, look.spot, f"look_{look.spot.zone_id}")
    if rest:
        with st.expander(f"{len(rest)} more"):
            rows = [f"{number}. {plain(look.why)}" for number, look in enumerate(rest, len(first) + 1)]
            st.markdown("\n".join(rows))


def dates(view: CoatOrderView) -> None:
    """Between which days each coat went on, as far as dated sources say."""
    if not view.dated and not view.undated:
        return
    with st.expander(f"Dates by coat ({len(view.dated)})", key="dates"):
        if view.dated:
            rows = [
                {"Coat": plain(one.coat), "No earlier than": _day(one.not_before), "No later than": _day(one.there_by)}
                for one in view.dated
            ]
            st.table(rows, border="horizontal")
        for words in view.undated:
            st.caption(plain(words))


def _day(words: str) -> str:
    return plain(words) if words else "–"


def film(witness: FilmWitness) -> None:
    """What the film says of stories that the stacks leave open: it separates them, or it cannot."""
    with st.container(key="film_witness"):
        st.subheader(f"Film as a witness ({len(witness.speaks)})", anchor=False)
    if witness.why_none:
        st.caption(plain(f"No story can be held against the film: {witness.why_none}."))
        return
    for line in witness.speaks:
        st.markdown(plain(line))
    if not witness.speaks:
        st.caption("No film tells of anything but coats laid once.")
    with st.expander(f"Where it bears out a coat laid once ({len(witness.once)})", key="film_once"):
        st.markdown("\n".join(f"- {plain(line)}" for line in witness.once))
    with st.expander(f"Where it cannot separate ({len(witness.cannot)})", key="film_cannot"):
        st.markdown("\n".join(f"- {plain(line)}" for line in witness.cannot))
        st.caption(f"Of {count(witness.silent, 'fact')} short of proven no reading tells anything.")


def look_alikes(view: CoatOrderView) -> None:
    """Coats that look alike, as questions; the program answers none of them."""
    if not view.questions:
        return
    st.subheader(f"One coat, or two? ({len(view.questions)})", anchor=False)
    st.caption("They stay two coats until the record itself says otherwise.")
    for number, one in enumerate(view.questions):
        with st.expander(plain(one.words), key=f"alike_{number}"):
            st.markdown("\n".join(f"- {plain(line)}" for line in one.evidence))
