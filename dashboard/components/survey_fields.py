"""Fields for gloves: a choice in view that may stay blank, and a number that is offered."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import streamlit as st

from dashboard.state import held


def choice(label: str, names: Mapping[Any, str], name: str, value: Any, **more: Any) -> Any:
    """One of a few, all in view; None while nothing is chosen. A second touch puts the choice down."""
    default = value if value in names else None
    return st.segmented_control(label, list(names), format_func=names.get, default=default, key=held(name), **more)


def number_offered(label: str, name: str, value: str, most: int = 64) -> str:
    """A number as it is offered, or as somebody types another over it."""
    # A field keeps what it began with: the one for another number is another field.
    return st.text_input(label, value=value, key=held(f"{name}_{value}"), max_chars=most).strip()


def figure(label: str, name: str, value: float | None, *, step: float = 1.0, **more: Any) -> float | None:
    """A figure; None where it is left blank."""
    shown = None if value is None else float(value)
    return st.number_input(label, value=shown, step=step, format="%0.1f", key=held(name), placeholder="not stated", **more)
