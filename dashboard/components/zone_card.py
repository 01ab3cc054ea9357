from __future__ import annotations
import streamlit as st
from dashboard import loaders
def show(now, zone_id):
    st.subheader(now.record.zone[zone_id].title)
