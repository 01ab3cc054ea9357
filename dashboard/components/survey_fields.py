"""Fields for gloves: a choice in view that may stay blank, and a number that is offered."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

import streamlit as st

from dashboard.loaders import moment
from dashboard.state import Workspace, held
from dashboard.words import count


def choice(label: str, names: Mapping[Any, str], name: str, value: Any, **more: Any) -> Any:
    """One of a few, all in view; None while nothing is chosen. A second touch puts the choice down."""
    default = value if value in names else None
    return st.segmented_control(label, list(names), format_func=names.get, default=default, key=held(name), **more)


def touch_one(workspace: Workspace, words: str) -> None:
    """What to do while the one zone that is spoken of is not chosen. `words`: where none is."""
    several = len(workspace.chosen)
    st.info(f"{count(several, 'zone')} are chosen: touch the one it is." if several > 1 else words)


def is_to_come(day: str) -> bool:
    """Whether a day (ISO 8601, its beginning) is still to come; it may be tomorrow here already where it is not in UTC."""
    begins = day.strip().split("/")[0][:10]
    tomorrow = (date.fromisoformat(moment()[:10]) + timedelta(days=1)).isoformat()
    return begins[:4].isdigit() and begins > tomorrow[: len(begins)]


def number_offered(label: str, name: str, value: str, most: int = 64) -> str:
    """A number as it is offered, or as somebody types another over it."""
    # A field keeps what it began with: the one for another number is another field.
    return st.text_input(label, value=value, key=held(f"{name}_{value}"), max_chars=most).strip()


def figure(label: str, name: str, value: float | None, *, step: float = 1.0, **more: Any) -> float | None:
    """A figure; None where it is left blank."""
    shown = None if value is None else float(value)
    return st.number_input(label, value=shown, step=step, format="%0.1f", key=held(name), placeholder="not stated", **more)
