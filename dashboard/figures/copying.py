"""A copy of a figure that several windows share, and figures of parts that were looked at before."""

from __future__ import annotations

import plotly.graph_objects as go


def copied(figure: go.Figure) -> go.Figure:
    """A figure of one's own to draw on.

    `go.Figure(figure)` takes the kind out of each trace of the figure it copies while it does so, and puts it back: a
    window that is shown the shared figure in that moment gets a broken one. This reads it only.
    """
    return as_said(figure.to_dict())


def as_said(said: dict[str, object]) -> go.Figure:
    """A figure of what another one said of itself. Not looked through once more: that takes longer than all the rest."""
    return go.Figure(said, _validate=False)
