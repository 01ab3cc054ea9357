"""The map and the name as they were when something was entered: kept with it, so that a reload shows it where it belongs."""

from __future__ import annotations

from dataclasses import dataclass, field

from dashboard.state import WHOLE_SHEET, Drawn, Workspace


def untouched(workspace: Workspace) -> bool:
    """Whether nothing was chosen, drawn or looked at since this window was opened or loaded anew."""
    return not (workspace.chosen or workspace.drawn or workspace.look_at != WHOLE_SHEET or workspace.sheet != "outside")


@dataclass
class KeptMap:
    """What is kept of the Workspace; part of everything that is kept through a reload (`loaders.begun`)."""

    by: str = ""
    chosen: list[str] = field(default_factory=list)
    sheet: str = "outside"
    look_at: str = ""
    drawn: Drawn | None = None

    def keep_map(self, workspace: Workspace) -> None:
        """Keep what the map shows now."""
        self.by, self.chosen = workspace.by, list(workspace.chosen)
        self.sheet, self.look_at, self.drawn = workspace.sheet, workspace.look_at, workspace.drawn

    def put_back_map(self, workspace: Workspace) -> None:
        """Show the map as it was; a name that was given since stays."""
        workspace.by = workspace.by or self.by
        workspace.sheet, workspace.look_at, workspace.drawn = self.sheet, self.look_at, self.drawn
        workspace.chosen = list(self.chosen)
