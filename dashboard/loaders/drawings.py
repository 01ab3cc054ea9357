"""What Start a record and Drawings and zones read and reckon."""

from __future__ import annotations

import base64
import io
from dataclasses import dataclass

import streamlit as st
from PIL import Image, ImageOps

from bodymap.exchange.geojson_outline import read_geojson_outline
from bodymap.exchange.photo import Photo
from bodymap.exchange.sketch import Sketch
from bodymap.exchange.svg_outline import read_svg
from bodymap.geometry.starting_shapes.beginning import beginning
from bodymap.geometry.tidy import Flaw, flaws_of
from bodymap.history.states import states_of
from bodymap.model import Record
from bodymap.views.board import Board, drawing_board
from dashboard.figures.shape_picture import shape_picture
from dashboard.loaders import Opened, once

_FILES = 6
_BOARDS = 24
_PICTURES = 64
_SHOWN_PX = 1600
# EXIF orientations above this one lie on their side.
_ORIENTATION, _LYING = 0x0112, 4


@dataclass(frozen=True)
class Upright:
    """A photo as it is shown: its full size seen upright [px], and an address that holds a smaller picture of it."""

    width: int
    height: int
    address: str


@once(_FILES, "Reading the drawing …")
def sketch(now: Opened, data: bytes, name: str, unit: str | None) -> Sketch:
    """The paths of a file; SVG, or GeoJSON whose numbers are in `unit`. Raises BodymapError."""
    if name.lower().endswith((".geojson", ".json")):
        return read_geojson_outline(data, unit, now.settings, name)
    return read_svg(data, now.settings, name)


def upright(photo: Photo) -> Upright:
    """A photo for the screen."""
    return _upright(photo.sha256, photo.data)


@st.cache_resource(max_entries=_FILES, show_spinner="Turning the photo upright …")
def _upright(sha256: str, _data: bytes) -> Upright:  # noqa: ARG001 - told apart by the hash
    with Image.open(io.BytesIO(_data)) as picture:
        turned = picture.getexif().get(_ORIENTATION, 1) > _LYING
        width, height = picture.size[::-1] if turned else picture.size
        picture.draft("RGB", (_SHOWN_PX, _SHOWN_PX))
        small = ImageOps.exif_transpose(picture).convert("RGB")
    small.thumbnail((_SHOWN_PX, _SHOWN_PX))
    out = io.BytesIO()
    small.save(out, "JPEG", quality=82)
    return Upright(width, height, "data:image/jpeg;base64," + base64.b64encode(out.getvalue()).decode())


@once(_BOARDS)
def board(now: Opened, drawing_id: str, chosen: tuple[str, ...]) -> Board:
    """One drawing of the record."""
    return drawing_board(now.record, drawing_id, chosen)


@once(_BOARDS)
def flaws(now: Opened, drawing_id: str) -> tuple[Flaw, ...]:
    """Gaps, overlaps and holes of one drawing."""
    return flaws_of(now.record, drawing_id, now.settings)


@once(_BOARDS)
def states(now: Opened) -> dict[str, dict[str, str]]:
    """What the stacks say of each coat on each zone."""
    return {coat: dict(of_zone) for coat, of_zone in states_of(now.record).items()}


@once(_PICTURES)
def starting_picture(shape: str, sizes: tuple[tuple[str, float], ...], theme: str) -> str:
    """A starting shape from the side at a size, as SVG. Raises BodymapError."""
    record = Record.of(beginning("a vehicle", shape, **dict(sizes)))  # type: ignore[arg-type]
    return shape_picture(drawing_board(record, "left"), theme)
