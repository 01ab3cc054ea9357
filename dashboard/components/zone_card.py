"""The card of one zone: its layers, how much of it there is, what was found, what speaks of it, what nobody has seen."""

from __future__ import annotations

import streamlit as st

from bodymap.views.ladder import LadderView
from bodymap.views.zone_card import CardArea, CardFinding, CardSource, ZoneCard
from dashboard import loaders, state
from dashboard.components import release_mark
from dashboard.loaders import Opened
from dashboard.words import micrometres, plain, square_metres

_PICTURE_PX = 180


def show(now: Opened, zone_id: str) -> None:
    """The card."""
    card = loaders.card(now, zone_id)
    st.subheader(plain(card.title), anchor=False)
    where = (card.part_name, card.face_words, card.substrate_words, f"intent: {card.intent_words}")
    st.markdown(" · ".join(plain(text) for text in where))
    release_mark.show(now, zone_id)
    finish, areas, found, evidence = st.tabs(["Finish", "Area", f"Found ({len(card.findings)})", "Evidence"])
    with finish:
        _finish(now, card)
    with areas:
        _areas(card)
    with found:
        _found(now, card)
    with evidence:
        _evidence(now, card)


def _finish(now: Opened, card: ZoneCard) -> None:
    """Ladders and film, and what nobody has looked at: a blank is never shown as none."""
    if card.ladders:
        _ladder(now, card)
    for phase, film in card.films:
        coat = now.record.coat.get(phase)
        when = f"after {coat.name}" if coat else phase
        span = f", {micrometres(film.min_um)} to {micrometres(film.max_um)}" if film.n > 1 else ""
        readings = f"{film.n} readings at {film.spots} spots" if film.n else "no usable reading"
        st.markdown(f"**Film, {plain(when)}:** median {micrometres(film.median_um)}{span}; {readings}")
        if film.refused:
            st.text("\n".join(f"{one.reading_id} refused: {one.why}" for one in film.refused))
    if card.not_seen:
        st.markdown("**Not seen or not stated**")
        st.text("\n".join(card.not_seen))


def _ladder(now: Opened, card: ZoneCard) -> None:
    ladders = {ladder.stack_id: ladder for ladder in card.ladders}
    chosen = next(iter(ladders))
    if len(ladders) > 1:
        chosen = st.segmented_control(
            "Stack", list(ladders), default=card.best_stack_id or chosen, required=True, key=f"stack_of_{card.zone_id}"
        )
    view = ladders[chosen]
    theme = state.theme()
    st.plotly_chart(
        loaders.ladder(now, card.zone_id, view.stack_id, theme),
        key="ladder",
        theme=None,
        config={"displayModeBar": False},
        alt=_in_words(view),
    )
    said = [view.method, view.by, view.date, f"confidence {view.confidence}" if view.confidence else None, view.note]
    late = release_mark.of_entry(now, "stack", view.stack_id)
    st.caption(plain(" · ".join(text for text in (f"{view.stack_id}", *said) if text)) + late)


def _in_words(view: LadderView) -> str:
    """A ladder for those who hear it."""
    layers = ", ".join(f"{layer.name} ({'; '.join((layer.extent, *layer.interfaces))})" for layer in view.layers)
    return f"Stack {view.stack_id}, from the {view.substrate_words} outward: {layers or 'no layer recorded'}"


def _areas(card: ZoneCard) -> None:
    areas = card.areas
    st.table(
        {
            "Drawn": square_metres(areas.drawn_mm2),
            "True": square_metres(areas.surface_mm2),
            "Kept (true)": f"{square_metres(areas.kept_surface_mm2)} ({areas.kept_pct:.1f} %)",
            "Margin, by hand only (drawn)": square_metres(areas.margin_drawn_mm2),
        },
        border="horizontal",
    )
    st.caption(plain(areas.basis))
    if areas.estimate:
        st.caption("The drawing is schematic: these areas are estimates.")
    for area in card.kept:
        st.markdown(_area(area))
    if card.covers:
        st.markdown("**Covered by**")
        st.text("\n".join(f"{cover.name}: {cover.words}" for cover in card.covers))


def _area(area: CardArea) -> str:
    stated = "margin not stated" if area.margin_mm is None else f"margin {area.margin_mm:g} mm"
    margin = f", {stated}" if area.purpose == "keep" else ""
    again = " · made again by us" if area.recreated else ""
    return (
        f"**{plain(area.area_id)} {plain(area.title)}** ({area.purpose}, {square_metres(area.drawn_mm2)} here, "
        f"{plain(area.edge_words)}{margin}{again}): {plain(area.reason)}"
    )


def _found(now: Opened, card: ZoneCard) -> None:
    if not card.findings:
        st.caption("Nothing is recorded as found in this zone.")
    for finding in card.findings:
        st.markdown(_finding(finding) + release_mark.of_entry(now, "finding", finding.finding_id))


def _finding(finding: CardFinding) -> str:
    said = [
        f"severity {finding.severity} of 5" if finding.severity else "",
        f"depth {finding.depth_mm:g} mm" if finding.depth_mm is not None else "",
        square_metres(finding.drawn_mm2) if finding.drawn_mm2 else "",
    ]
    return f"**{plain(finding.finding_id)} {finding.kind}** {' · '.join(filter(None, said))}: {plain(finding.note)}"


def _evidence(now: Opened, card: ZoneCard) -> None:
    if not card.sources:
        st.caption("No source speaks of this zone.")
    for source in card.sources:
        _source(now, source)
    if card.work:
        st.markdown("**Told of the work**")
        st.text("\n".join(_told(one) for one in card.work))
    if card.signoffs:
        st.markdown("**Signed**")
        st.text("\n".join(f"{one.subject}: {one.what}, {one.by}, {one.on}" for one in card.signoffs))
    if card.part_marks:
        st.caption(f"Marks on the part: {plain(card.part_marks)}")


def _told(one: CardSource) -> str:
    return " · ".join(filter(None, (one.title, one.by, one.date)))


def _source(now: Opened, source: CardSource) -> None:
    picture = loaders.thumbnail(now, source.file) if source.file else None
    with st.container(horizontal=True):
        if picture:
            st.image(picture, width=_PICTURE_PX, alt=source.title)
        said = [source.kind, source.date or "no date", source.by, f"speaks of {source.through}"]
        st.markdown(
            f"**{plain(source.source_id)}** {plain(source.title)}  \n{plain(' · '.join(text for text in said if text))}",
            width="stretch",
        )
