"""A bare page of Streamlit's: the map of a record as the panel sheet shows it first, with what was touched last marked."""

import streamlit as st

from dashboard import loaders
from dashboard.state import Workspace

MAP = "map_bare"

if __name__ == "__main__":  # as Streamlit runs it
    selection = st.session_state[MAP].selection.points if MAP in st.session_state else []
    workspace = Workspace(chosen=[str(point["customdata"][0]) for point in selection[-1:]])
    figure, _ = loaders.sheet(loaders.opened(), workspace, "light")
    with st.container(key="map"):
        st.plotly_chart(figure, key=MAP, on_select="rerun", selection_mode=("points", "box", "lasso"), theme=None)
