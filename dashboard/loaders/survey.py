"""What the survey reads, each reckoned once for each revision of the record."""

from __future__ import annotations

import io
from dataclasses import dataclass

import streamlit as st
from PIL import Image, ImageOps

from bodymap.exchange.photo import OPENED, Photo
from bodymap.geometry.areas import areas_of
from bodymap.history.read import read_history
from bodymap.history.set_aside import set_aside
from bodymap.views.unseen import UnseenFace, unseen_faces
from dashboard.loaders import Opened, once

_REVISIONS, _PICTURES = 4, 64
_SMALL_PX = 480


@dataclass(frozen=True)
class Unseen:
    """Faces not yet seen, the most telling first. `aside`: stacks the history was read without, as they run in a circle."""

    faces: tuple[UnseenFace, ...]
    aside: tuple[str, ...]


@once(_REVISIONS)
def used_idents(now: Opened) -> frozenset[str]:
    """Every id that stands for something in this record, or ever did."""
    return now.record.ids | {entry.ident for entry in now.journal}


@once(_REVISIONS)
def unseen(now: Opened) -> Unseen:
    """What has not been seen. Where the stacks run in a circle the smallest way out of it is taken."""
    history, aside = read_history(now.record), ()
    if history.circle_removals:
        aside = history.circle_removals[0]
        history = read_history(set_aside(now.record, aside))
    return Unseen(unseen_faces(now.record, areas_of(now.record), history.looks), aside)


def small_picture(photo: Photo) -> bytes:
    """A photo that is not saved yet, small and upright, as JPEG."""
    return _small(photo.sha256, photo.data)


@st.cache_data(max_entries=_PICTURES, show_spinner=False)
def _small(sha256: str, _data: bytes) -> bytes:  # noqa: ARG001 - told apart by the hash
    with Image.open(io.BytesIO(_data), formats=OPENED) as picture:
        picture.draft("RGB", (2 * _SMALL_PX, 2 * _SMALL_PX))
        small = ImageOps.exif_transpose(picture).convert("RGB")
    small.thumbnail((_SMALL_PX, _SMALL_PX))
    out = io.BytesIO()
    small.save(out, "JPEG", quality=85)
    return out.getvalue()
