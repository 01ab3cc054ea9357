"""Retained original finish and what was made again, in figures: first for the vehicle, then by part."""

from __future__ import annotations

from dataclasses import replace

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.views.retained import RetainedFigures, Share
from dashboard.loaders import Opened
from dashboard.loaders import hand_over as loaders
from dashboard.words import count, plain, share, square_metres

_ABOUT = "≈\u00a0"


def _figures(now: Opened) -> RetainedFigures | None:
    try:
        figures = loaders.retained(now)
    except BodymapError as error:
        st.error("What is retained cannot be added up.")
        st.text(str(error))
        return None
    if figures.whole is None:
        st.info("No zone is drawn yet: nothing can be measured.")
        return None
    return figures


def headline(now: Opened) -> None:
    """What owners ask first: original finish kept, left alone besides, made again."""
    figures = _figures(now)
    if figures is None or figures.whole is None:
        return
    whole = figures.whole
    again = sum(one.surface_mm2 for one in figures.surfaces if one.again)
    with st.container(horizontal=True, key="hand_over_figures"):
        _metric("Original finish kept, true surface", whole, whole.kept_surface_mm2, whole.surface_mm2)
        _metric("The same, drawn", whole, whole.kept_drawn_mm2, whole.drawn_mm2)
        _metric("Left alone besides, true", whole, whole.left_mm2, whole.surface_mm2)
        _metric("Made again or painted over, true", whole, again, whole.surface_mm2)
    if not figures.planned:
        st.caption("No step is planned: what is not kept counts as left alone.")
    else:
        st.caption("Kept lies in kept areas. The rest is what the steps of the plan come to: no record can see the vehicle.")


def _metric(label: str, whole: Share, part_mm2: float, of_mm2: float) -> None:
    about = _ABOUT if whole.estimate else ""
    with st.container(border=True, width=300):
        st.metric(label, f"{about}{share(part_mm2, of_mm2)}")
        st.caption(f"{about}{square_metres(part_mm2)} of {square_metres(of_mm2)}")


def show(now: Opened) -> None:
    """All of it: the vehicle, the parts, what each surface ends as, new coats, edges made again."""
    figures = _figures(now)
    if figures is None or figures.whole is None:
        return
    st.subheader("Retained original finish, by part", anchor=False)
    whole = replace(figures.whole, name="The whole vehicle")
    kept = [one for one in figures.parts if one.kept_drawn_mm2]
    st.table([_row(one) for one in (whole, *kept)], border="horizontal")
    bare = [one for one in figures.parts if not one.kept_drawn_mm2]
    if bare:
        with st.expander(f"{count(len(bare), 'part')} of which nothing is kept", key="nothing_kept"):
            st.table([_bare_row(one) for one in bare], border="horizontal")
    if any(one.estimate for one in figures.parts):
        st.caption("≈ on a drawing that is not to scale: an estimate.")
    _again(now, figures)


def _row(one: Share) -> dict[str, str]:
    about = _ABOUT if one.estimate else ""
    return {
        "Part": plain(one.name),
        "True": about + square_metres(one.surface_mm2),
        "Kept, true": f"{about}{square_metres(one.kept_surface_mm2)}",
        "% of true": share(one.kept_surface_mm2, one.surface_mm2),
        "Kept, drawn": f"{about}{square_metres(one.kept_drawn_mm2)}",
        "% of drawn": share(one.kept_drawn_mm2, one.drawn_mm2),
        "Left alone besides, true": about + square_metres(one.left_mm2),
    }


def _bare_row(one: Share) -> dict[str, str]:
    about = _ABOUT if one.estimate else ""
    return {
        "Part": plain(one.name),
        "True": about + square_metres(one.surface_mm2),
        "Left alone by the plan, true": about + square_metres(one.left_mm2),
    }


def _again(now: Opened, figures: RetainedFigures) -> None:
    st.subheader("What is made again", anchor=False)
    st.markdown("Made again is never shown as old. What is **bold** is no evidence of how the vehicle once was.")
    if figures.harmed_mm2:
        st.error(f"{square_metres(figures.harmed_mm2)} of kept area gets a new coat: see the repaint rehearsal.")
    total = sum(one.surface_mm2 for one in figures.surfaces)
    rows = [
        {
            "Surface after the last step": f"**{plain(one.words)}**" if one.again else plain(one.words),
            "Drawn": square_metres(one.drawn_mm2),
            "True": square_metres(one.surface_mm2),
            "% of true": share(one.surface_mm2, total),
        }
        for one in figures.surfaces
    ]
    st.table(rows, border="horizontal")
    if figures.coats:
        st.table(
            [
                {
                    "New coat": plain(f"{one.coat_id} {one.name}"),
                    "True": square_metres(one.surface_mm2),
                    "Accepted": plain(one.accepted_by) if one.accepted_by else "planned; acceptance not signed",
                }
                for one in figures.coats
            ],
            border="horizontal",
        )
    titles = {area.area_id: area.title for area in now.record.areas}
    edges = [f"{ident} {titles[ident]}" for ident in figures.edges_again]
    told = f"**{count(len(edges), 'edge')} made again:** {plain('; '.join(edges))}."
    st.markdown(told if edges else "No edge is made again.")
    if figures.unstated:
        st.caption(f"Whether the edge is original is not stated of: {plain(', '.join(figures.unstated))}.")
