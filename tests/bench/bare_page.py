"""A bare page of Streamlit's: the map of a record as the panel sheet shows it first, with what was touched last marked."""

import plotly.graph_objects as go
import streamlit as st

from bodymap.views.laid_over import chosen_edges
from dashboard import loaders
from dashboard.state import Workspace

MAP = "map_bare"

if __name__ == "__main__":  # as Streamlit runs it
    selection = st.session_state[MAP].selection.points if MAP in st.session_state else []
    workspace = Workspace(chosen=[str(point["customdata"][0]) for point in selection[-1:]])
    now = loaders.opened()
    figure, _ = loaders.sheet(now, workspace, "light")
    # As the library has it: what is to be marked is drawn on the figure.
    for ring in chosen_edges(now.record, loaders.layout(now, workspace.sheet), workspace.chosen):
        x, y = zip(*ring, strict=True)
        figure = go.Figure(figure).add_scatter(
            x=x, y=y, mode="lines", line={"color": "#1c5d6b", "width": 4}, hoverinfo="skip"
        )
    with st.container(key="map"):
        st.plotly_chart(figure, key=MAP, on_select="rerun", selection_mode=("points", "box", "lasso"), theme=None)
