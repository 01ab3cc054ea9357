"""A copy of a figure that several windows share, and figures of parts that were looked at before."""

from __future__ import annotations

import plotly.graph_objects as go


def copied(figure: go.Figure) -> go.Figure:
    """A figure of one's own to draw on.

    `go.Figure(figure)` takes the kind out of each trace of the figure it copies while it does so, and puts it back: a
    window that is shown the shared figure in that moment gets a broken one. This reads it only.
    """
    return as_said(figure.to_dict())


class Shared(go.Figure):
    """A figure that is shown to all windows and changed by none: what it says of itself is put together once."""

    def to_dict(self) -> dict[str, object]:
        """What it says of itself, always the same one: not to be changed."""
        if "_said_once" not in self.__dict__:
            self._said_once = super().to_dict()
        return self._said_once


def shared(said: dict[str, object]) -> Shared:
    """A figure to be shared, of what was put together of parts that were looked at before."""
    return Shared(said, _validate=False)


def as_said(said: dict[str, object]) -> go.Figure:
    """A figure of what another one said of itself. Not looked through once more: that takes longer than all the rest."""
    return go.Figure(said, _validate=False)
