"""A coat that the record has not yet, added on the spot."""

from __future__ import annotations

import streamlit as st
from pydantic import ValidationError

from bodymap.errors import BodymapError, ConflictError
from bodymap.model import Coat
from dashboard import actions_survey
from dashboard.components import fields, survey_fields
from dashboard.components.survey_state import Survey
from dashboard.components.survey_swatches import KINDS
from dashboard.loaders import Opened
from dashboard.state import Workspace, held
from dashboard.words import plain

_GREY = "#808080"


def show(now: Opened, workspace: Workspace, survey: Survey) -> None:
    """The form, folded away until it is wanted."""
    form = survey.coat
    with st.expander("A coat that is not here yet", icon=":material/add:", key="new_coat"):
        form.name = fields.line("Name of the coat *", "coat_name", form.name, 120)
        form.kind = survey_fields.choice("Kind *", KINDS, "coat_kind", form.kind)
        with st.container(horizontal=True, vertical_alignment="bottom"):
            if fields.tick("Its colour was seen", "coat_coloured", form.colour is not None):
                picked = st.color_picker("Colour", form.colour or _GREY, key=held("coat_colour"))
                form.colour = picked
            else:
                form.colour = None
            form.um_low = survey_fields.figure("From µm", "coat_low", form.um_low, min_value=0.0)
            form.um_high = survey_fields.figure("To µm", "coat_high", form.um_high, min_value=0.0)
        if st.button("Add this coat", key="add_coat"):
            _add(now, workspace, survey)


def _add(now: Opened, workspace: Workspace, survey: Survey) -> None:
    form = survey.coat
    needed = {"its name": form.name.strip(), "its kind": form.kind, "your name (at the foot of the page)": workspace.by}
    missing = [words for words, value in needed.items() if not value]
    if missing:
        st.warning(f"Not added. Still needed: {', '.join(missing)}.")
        return

    def build(at: Opened) -> list[Coat]:
        return [
            Coat(
                coat_id=actions_survey.next_ident(at, "coat"),
                name=form.name.strip(),
                kind=form.kind,
                colour=form.colour,
                um_low=form.um_low,
                um_high=form.um_high,
            )
        ]

    try:
        why = f"Survey: a coat that was not recorded yet, {form.name.strip()}"
        entries = actions_survey.save_new(now, build, by=workspace.by, why=why)
    except (BodymapError, OSError, ValidationError) as error:
        told = actions_survey.in_words(error) if isinstance(error, ValidationError) else str(error)
        st.error(f"Not added{', and nothing was written over' if isinstance(error, ConflictError) else ''}. {plain(told)}")
    else:
        survey.own.update(entry.seq for entry in entries)
        survey.begin_again("coat")
        workspace.tell(":material/check:", f"Coat {plain(entries[0].ident)} added: it is among the swatches.")
        st.rerun()
