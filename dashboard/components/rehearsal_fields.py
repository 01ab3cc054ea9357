"""Fields for figures, in the manner of `fields`: each is told its value at every run, and is known by a key."""

from __future__ import annotations

import streamlit as st

from dashboard.state import held


def decimal(label: str, name: str, value: float | None, least: float, most: float, step: float = 0.5) -> float | None:
    """A figure with decimals; None where it is left blank."""
    shown = None if value is None else min(max(float(value), least), most)
    return st.number_input(
        label, float(least), float(most), value=shown, step=step, format="%0.1f", key=held(name), width=190
    )
