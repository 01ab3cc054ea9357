"""Labels to print: for parts, and numbers for stacks and spots."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.views.part_labels import NUMBERS_MOST, SIZES
from dashboard.components import fields, survey_fields
from dashboard.components.parts_state import PartsScreen
from dashboard.loaders import Opened
from dashboard.loaders import parts as loader
from dashboard.words import count, plain

_KINDS = {"stack": "For stacks", "spot": "For spots of readings"}
_PAGE_PX = 420


def show(now: Opened, screen: PartsScreen) -> None:
    """Both prints."""
    with st.expander("Labels for the parts", icon=":material/label:", key="part_labels"):
        _labels(now, screen)
    with st.expander("Numbers to stick on", icon=":material/pin:", key="stickers"):
        _stickers(now, screen)


def _labels(now: Opened, screen: PartsScreen) -> None:
    names = {card.part_id: f"{card.part_id} · {card.name}" for card in loader.cards(now)}
    off = [card.part_id for card in loader.cards(now) if card.removable]
    chosen = [part for part in (off if screen.label_parts is None else screen.label_parts) if part in names]
    sizes = {key: size.name for key, size in SIZES.items()}
    screen.label_size = fields.one_of("Size", sizes, "label_size", screen.label_size) or "tie"
    screen.label_parts = fields.some_of("Parts (at first: all that come off)", names, "label_parts", chosen)
    if not screen.label_parts:
        st.caption("Choose at least one part.")
        return
    made = loader.labels(now, tuple(screen.label_parts), screen.label_size)
    _print(made, f"part-labels-{screen.label_size}.pdf", count(made.count, "label"), "labels_pdf")


def _stickers(now: Opened, screen: PartsScreen) -> None:
    screen.sticker_kind = fields.segments("Numbers", _KINDS, "sticker_kind", screen.sticker_kind)
    told = survey_fields.figure(
        "How many", "sticker_count", screen.sticker_count, min_value=1.0, max_value=float(NUMBERS_MOST)
    )
    screen.sticker_count = int(told or 1)
    st.caption("They go on from the last number of the record. The tip shows the spot; the bar is 10 mm long in the photo.")
    try:
        made = loader.stickers(now, screen.sticker_kind, screen.sticker_count)
    except BodymapError as error:
        st.warning(plain(str(error)))
        return
    _print(made, f"numbers-{screen.sticker_kind}.pdf", count(made.count, "number"), "stickers_pdf")


def _print(made: loader.Labels, name: str, many: str, key: str) -> None:
    st.download_button(
        f"{many} (PDF, A4)", made.pdf, file_name=name, mime="application/pdf", type="primary", key=key, on_click="ignore"
    )
    for note in made.notes:
        st.caption(f"Cannot be printed: {plain(note)}")
    st.image(made.first_page, width=_PAGE_PX, alt=f"The first sheet of {many}")
