"""A copy of a figure that several windows share."""

from __future__ import annotations

import plotly.graph_objects as go


def copied(figure: go.Figure) -> go.Figure:
    """A figure of one's own to draw on.

    `go.Figure(figure)` takes the kind out of each trace of the figure it copies while it does so, and puts it back: a
    window that is shown the shared figure in that moment gets a broken one. This reads it only.
    """
    return go.Figure(figure.to_dict())
