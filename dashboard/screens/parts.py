"""A screen that is being built."""

from __future__ import annotations

import streamlit as st

st.info("This screen is being built.")
