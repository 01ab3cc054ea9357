"""Fields that show what the Workspace holds, and give back what was chosen or typed.

Each is told its value at every run, and is known by a key. A value put into the session instead would reach the browser
with one run only, and be lost where that run is interrupted.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import streamlit as st

from dashboard.state import held

Names = Mapping[str, str]


def segments(label: str, names: Names, name: str, value: str) -> str:
    """One of a few, all in view."""
    return st.segmented_control(label, list(names), format_func=names.get, default=value, required=True, key=held(name))


def pills(label: str, names: Names, name: str, values: Sequence[str]) -> list[str]:
    """Any of a few, all in view."""
    return st.pills(label, list(names), format_func=names.get, selection_mode="multi", default=list(values), key=held(name))


def one_of(label: str, names: Mapping[Any, str], name: str, value: Any, *, place: Any = st, **more: Any) -> Any:
    """One of a list; with the value None the field begins blank and can be left so."""
    options = list(names)
    index = options.index(value) if value in names else None
    return place.selectbox(label, options, index=index, format_func=names.get, key=held(name), **more)


def along(label: str, names: Names, name: str, value: str, **more: Any) -> str:
    """One of a row in its order, by sliding; with one name there is nothing to slide and it is told."""
    if len(names) < 2:
        st.markdown(f"{label}: {next(iter(names.values()))}")
        return value
    return st.select_slider(label, list(names), value=value, format_func=names.get, key=held(name), **more)


def some_of(label: str, names: Names, name: str, values: Sequence[str], **more: Any) -> list[str]:
    """Any of a list."""
    return st.multiselect(label, list(names), default=list(values), format_func=names.get, key=held(name), **more)


def line(label: str, name: str, value: str, most: int) -> str:
    """A line of text of `most` characters."""
    return st.text_input(label, value=value, key=held(name), max_chars=most)


def lines(label: str, name: str, value: str, most: int) -> str:
    """Some lines of text."""
    return st.text_area(label, value=value, key=held(name), max_chars=most, height=90)


def millimetres(
    label: str,
    name: str,
    value: float | None,
    *,
    least: float = 0.0,
    most: float | None = None,
    place: Any = st,
    **more: Any,
) -> float | None:
    """A length in mm; None where it is left blank."""
    shown = None if value is None else float(value)
    return place.number_input(
        label, value=shown, min_value=least, max_value=most, step=5.0, format="%0.1f", key=held(name), **more
    )


def tick(label: str, name: str, value: bool) -> bool:  # noqa: FBT001 - the value that is shown
    """Yes or no."""
    return st.checkbox(label, value=value, key=held(name))
