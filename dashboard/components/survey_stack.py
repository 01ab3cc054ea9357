"""A stack: its number, its ladder built from the metal out by touching swatches, and how it was looked at."""

from __future__ import annotations

from functools import partial
from typing import get_args

import streamlit as st

from bodymap.model import Layer, Source, Stack
from bodymap.model.stack import Confidence, Extent, Interface, Method
from bodymap.views.ladder import SUBSTRATE_WORDS
from bodymap.views.survey import draft_ladder, middle, survey_coats
from dashboard import actions_survey, loaders, state
from dashboard.components import fields, survey_coat, survey_fields, survey_photo, survey_save, survey_swatches
from dashboard.components.sheet_map import Placed
from dashboard.components.survey_state import StackForm, Survey, zone_of
from dashboard.figures.ladder import ladder_figure
from dashboard.loaders import Opened, begun, moment
from dashboard.state import Workspace, forget, of
from dashboard.words import plain

METHODS: dict[Method, str] = {
    "window": "Window",
    "chip": "Chip",
    "edge": "Edge",
    "section": "Section",
    "surface": "Surface only",
}
EXTENTS: dict[Extent, str] = {"full": "Full", "mist": "Mist", "none": "Looked for, absent"}
INTERFACES: dict[Interface, str] = {
    "dirt": "Dirt",
    "scratch": "Scratches",
    "gloss": "Gloss",
    "no_bond": "No bond",
    "faded": "Faded",
}
CONFIDENCES: dict[Confidence, str] = {"low": "Low", "fair": "Fair", "high": "High"}
_CUT_BACK = "cut_back"
_UNNUMBERED = "new"
_YES_NO = {"yes": "Yes", "no": "No"}


def show(now: Opened, workspace: Workspace, survey: Survey) -> None:
    """The form."""
    form = survey.stack
    zone_id = form.zone_id if form.zone_id in now.record.zone else zone_of(now, workspace)
    if not zone_id:
        survey_fields.touch_one(workspace, "Touch the zone on the map: the stack begins there.")
        return
    number = _number(now, survey, form)
    _elsewhere(now, workspace, form, zone_id)
    _take_place(now, form, zone_id)
    if not now.record.coats:
        st.info("No coat is named yet: name those you see, then touch them from the metal outward.")
    _swatches(now, survey, form, zone_id, number)
    survey_coat.show(now, workspace, survey)
    if form.layers:
        _last_layer(form)
        _ladder(now, form, zone_id, number)
    elif now.record.coats:
        st.caption("Touch the coats from the metal outward. What was not looked at is simply left out.")
    _how(now, form, zone_id)
    survey_photo.show(survey, form, "stack")
    form.note = fields.lines("Note", "stack_note", form.note, 2000)
    zone = now.record.zone[zone_id]
    survey_save.foot(
        now,
        workspace,
        survey,
        what="stack",
        needed={
            "a layer": form.layers,
            "whether the substrate is reached": form.reaches,
            "how it was looked at": form.method,
        },
        build=partial(_entries, form, zone_id, number, workspace),
        why=f"Survey: stack {number} in {zone.title}",
    )


def _swatches(now: Opened, survey: Survey, form: StackForm, zone_id: str, number: str) -> None:
    coats, planned = survey_coats(now.record, loaders.coats_in_order(now))
    laid, touched = [layer.coat_id for layer in form.layers], partial(_laid, survey, zone_id, number)
    survey_swatches.show(coats, laid, touched, "swatches")
    if planned:
        with st.expander(f"Coats that are only planned so far ({len(planned)})", key="planned_coats"):
            survey_swatches.show(planned, laid, touched, "swatches_planned")


def _number(now: Opened, survey: Survey, form: StackForm) -> str:
    """The number on the sticker: the next one is offered; one that is taken is asked about, never written over."""
    others = [draft.stack.number for _, draft, _ in begun.others(now.path, Survey) if draft.stack.number]
    offered = actions_survey.next_ident(now, "stack", others)
    number = form.number or offered
    with st.container(horizontal=True, vertical_alignment="bottom", key="stack_head"):
        typed = survey_fields.number_offered("Sticker", "stack_number", number)
        if form.layers:
            st.button(
                "Take the last off",
                icon=":material/undo:",
                key="layer_off",
                on_click=partial(_off, form),
                help="The last layer of this ladder; nothing is saved yet.",
            )
    if typed and typed != number:
        form.number = typed
        st.rerun()
    said = actions_survey.last_said(now, Stack.KIND, number)
    if said:
        _taken(now, survey, form, number, offered)
    return number


def _taken(now: Opened, survey: Survey, form: StackForm, number: str, offered: str) -> None:
    """Somebody else has this number: show theirs, and ask."""
    said = actions_survey.last_said(now, Stack.KIND, number)
    theirs = now.record.stack.get(number)
    where = now.record.zone[theirs.zone_id].title if theirs else "withdrawn since"
    layers = now.record.layers_of.get(number, ())
    coats = ", ".join(f"{now.record.coat[one.coat_id].name} ({EXTENTS[one.extent].lower()})" for one in layers)
    with st.container(border=True, key="number_taken"):
        st.warning(
            f"{plain(number)} is taken: put by {plain(said.by)}, entry {said.seq}. Yours is kept here and not saved yet."
        )
        st.markdown(f"Theirs: {plain(where)}. {plain(coats) if coats else 'No layer.'}")
        with st.container(horizontal=True):
            if st.button(f"Keep mine as {plain(offered)}", type="primary", key="keep_as_new"):
                form.number = offered
                st.rerun()
            if theirs and st.button("Look at theirs", key="look_at_theirs"):
                survey.theirs = "" if survey.theirs == number else number
        if theirs and survey.theirs == number:
            st.plotly_chart(
                ladder_figure(draft_ladder(now.record, theirs, layers), state.theme()),
                key="their_ladder",
                theme=None,
                config={"displayModeBar": False},
            )


def _elsewhere(now: Opened, workspace: Workspace, form: StackForm, zone_id: str) -> None:
    """A brush of the glove over the map does not carry a half-built ladder to another zone: that is asked."""
    zone, chosen = now.record.zone[zone_id], zone_of(now, workspace)
    substrate = SUBSTRATE_WORDS[now.record.part[zone.part_id].substrate]
    st.markdown(f"**{plain(zone.title)}** · {substrate}")
    if not chosen or chosen == zone_id:
        return
    other = now.record.zone[chosen].title
    st.warning(f"This ladder was begun in {plain(zone.title)}; the map is at {plain(other)}.")
    with st.container(horizontal=True):
        if st.button(f"Stay with {plain(zone.title)}", key="stay"):
            drawing = now.record.drawing[zone.drawing_id]
            workspace.go_to(zone_id, workspace.look_at, drawing.kind)
            st.rerun()
        if st.button(f"It belongs to {plain(other)}", key="belongs"):
            form.zone_id, form.spot = chosen, None
            st.rerun()


def _take_place(now: Opened, form: StackForm, zone_id: str) -> None:
    placed = of(Placed)
    if placed.zone_id == zone_id:
        zone = now.record.zone[zone_id]
        place = loaders.layout(now, now.record.drawing[zone.drawing_id].kind).place_of(zone.drawing_id)
        form.spot = (round(placed.x - place.dx, 1), round(placed.y - place.dy, 1))


def _laid(survey: Survey, zone_id: str, number: str, coat_id: str) -> None:
    """One more layer, in full until it is said otherwise. The number and the zone are held from the first one on."""
    form = survey.stack
    if not form.layers:
        form.zone_id, form.number = zone_id, number
    position = len(form.layers) + 1
    form.layers.append(Layer(stack_id=_UNNUMBERED, position=position, coat_id=coat_id, extent="full"))
    forget(f"stack_layer_{position}_")


def _off(form: StackForm) -> None:
    form.layers.pop()
    forget(f"stack_layer_{len(form.layers)}_")


def _last_layer(form: StackForm) -> None:
    """What there is to say of the layer touched last."""
    last = form.layers[-1]
    name = f"stack_layer_{last.position}"
    with st.container(key="last_layer"):
        extent = fields.segments("The last layer is", EXTENTS, f"{name}_extent", last.extent)
        under = {**INTERFACES, _CUT_BACK: "Cut back"}
        shown = [*last.interface, *([_CUT_BACK] if last.cut_back else [])]
        said = fields.pills("On the surface under it", under, f"{name}_under", shown)
    interfaces = tuple(one for one in get_args(Interface) if one in said)
    cut_back = True if _CUT_BACK in said else None
    form.layers[-1] = last.model_copy(update={"extent": extent, "interface": interfaces, "cut_back": cut_back})


def _ladder(now: Opened, form: StackForm, zone_id: str, number: str) -> None:
    layers = [layer.model_copy(update={"stack_id": number}) for layer in form.layers]
    stack = Stack(stack_id=number, zone_id=zone_id, method=form.method or "window", reaches_substrate=form.reaches == "yes")
    view = draft_ladder(now.record, stack, layers)
    said = ", ".join(f"{layer.name} ({layer.extent})" for layer in view.layers)
    st.plotly_chart(
        ladder_figure(view, state.theme()),
        key="draft_ladder",
        theme=None,
        config={"displayModeBar": False},
        alt=f"Ladder being built, from the metal outward: {said}",
    )


def _how(now: Opened, form: StackForm, zone_id: str) -> None:
    substrate = now.record.part[now.record.zone[zone_id].part_id].substrate
    reached = "the bare surface" if substrate == "other" else f"the {SUBSTRATE_WORDS[substrate]}"
    with st.container(horizontal=True, key="stack_how"):
        form.reaches = survey_fields.choice(f"Reaches {reached}? *", _YES_NO, "stack_reaches", form.reaches)
        form.method = survey_fields.choice("Looked at by *", METHODS, "stack_method", form.method)
        form.confidence = survey_fields.choice("Confidence", CONFIDENCES, "stack_confidence", form.confidence)
    with st.container(horizontal=True, vertical_alignment="center"):
        where = f"{form.spot[0]:g}, {form.spot[1]:g} mm" if form.spot else "not stated; touch it on the map"
        st.markdown(f"Place: {where}", width="content")
        if st.button("Middle of the zone", key="stack_middle"):
            form.spot = middle(now.record, zone_id)
            of(Placed).zone_id = ""
            st.rerun()


def _entries(form: StackForm, zone_id: str, number: str, workspace: Workspace, now: Opened) -> list:
    x, y = form.spot or (None, None)
    stack = Stack(
        stack_id=number,
        zone_id=zone_id,
        x=x,
        y=y,
        method=form.method,
        reaches_substrate=form.reaches == "yes",
        by=workspace.by,
        date=moment()[:10],
        confidence=form.confidence,
        note=form.note.strip() or None,
    )
    layers = [layer.model_copy(update={"stack_id": number}) for layer in form.layers]
    if not form.photo:
        return [stack, *layers]
    source = Source(
        source_id=actions_survey.next_ident(now, "source"),
        kind="photo",
        title=f"Stack {number}, {now.record.zone[zone_id].title}",
        date=form.photo.taken or moment()[:10],
        by=workspace.by,
        about=(zone_id, number),
    )
    return [stack, *layers, *actions_survey.with_photo(now, form.photo, source)]
