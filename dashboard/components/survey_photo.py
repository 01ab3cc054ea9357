"""A photo: taken by the tablet or chosen as a file. Where it was taken is left out, unless it is asked to be kept."""

from __future__ import annotations

from typing import Protocol

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.exchange.photo import MOST_MB, Photo, prepared
from dashboard.components import fields
from dashboard.components.survey_state import Survey
from dashboard.loaders.survey import small_picture
from dashboard.words import plain

_SHOWN_PX = 220


class WithPhoto(Protocol):
    """A form that has room for a photo."""

    photo: Photo | None


def show(survey: Survey, form: WithPhoto, name: str) -> None:
    """The photo of a form, or the ways to one."""
    if form.photo:
        _shown(survey, form, name)
        return
    with st.container(key=f"photo_{name}"):
        data = st.file_uploader(
            f"Photo (up to {MOST_MB} MB)",
            type=["jpg", "jpeg", "png", "tif", "tiff", "webp"],
            key=f"{name}_file_{survey.taken}",
            max_upload_size=MOST_MB,
        )
        with st.container(horizontal=True):
            survey.camera = fields.tick("Camera on this page", f"{name}_camera", survey.camera)
            survey.keep_place = fields.tick("Keep where it was taken", "keep_place", survey.keep_place)
        if survey.camera:
            data = st.camera_input("Camera", key=f"{name}_shot_{survey.taken}", label_visibility="collapsed") or data
    if data:
        _take(survey, form, data.getvalue())


def _take(survey: Survey, form: WithPhoto, data: bytes) -> None:
    try:
        form.photo = prepared(data, keep_place=survey.keep_place)
    except BodymapError as error:
        st.error(f"Not taken. {plain(str(error))}")
        return
    # The field that brought it is emptied by beginning another.
    survey.taken += 1
    survey.camera = False
    st.rerun()


def _shown(survey: Survey, form: WithPhoto, name: str) -> None:
    photo = form.photo
    with st.container(horizontal=True, vertical_alignment="center", key=f"photo_{name}"):
        st.image(small_picture(photo), width=_SHOWN_PX, alt="The photo that goes with this entry")
        with st.container(width="stretch"):
            place = "no place in it" if not photo.had_place else "place kept" if photo.kept_place else "place taken out"
            st.markdown(f"Photo, {plain(photo.taken or 'time not stated by the camera')}, {place}. Not saved yet.")
            if st.button("Another photo", icon=":material/replay:", key=f"{name}_again"):
                form.photo = None
                survey.taken += 1
                st.rerun()
