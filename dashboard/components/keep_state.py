"""What the screen Keep and strip keeps for a browser window, and its few words."""

from __future__ import annotations

from dataclasses import dataclass, field

from dashboard import state

STAGES = {
    "decide": "Decide",
    "edges": "Kept edges",
    "methods": "Methods",
    "areas": "Areas",
    "release": "Release",
    "sheet": "Strip sheet",
}
OVERLAY_OF = {
    "decide": "intent",
    "edges": "method",
    "methods": "method",
    "areas": "method",
    "release": "release",
    "sheet": "release",
}


@dataclass
class KeepState:
    """Choices and unfinished words.

    `code`, `blocked`: which code, and which zone, of the release is looked at. `area_id`: the kept area looked at.
    `signing`: what is being signed in the release: the release itself, hazards, or an override. `leave_for`: the page that
    a touch has asked for.
    """

    stage: str = "decide"
    intent: str | None = None
    reason: str = ""
    area_id: str | None = None
    margin_mm: float | None = None
    why_margin: str = ""
    method: str | None = None
    why_method: str = ""
    code: str | None = None
    blocked: str | None = None
    signing: str = "release"
    note: str = ""
    subject: str = "vehicle"
    override_codes: list[str] = field(default_factory=list)
    paper: str = "a4"
    which: str = "planned"
    leave_for: str = ""

    def leave(self) -> str:
        """The page that a touch has asked for, once."""
        page, self.leave_for = self.leave_for, ""
        return page


def current() -> KeepState:
    """The KeepState of this browser window."""
    return state.of(KeepState)


def show_stage(stage: str) -> None:
    """Shows another stage from the next run on."""
    current().stage = stage
    state.forget("keep_stage")


def begin_again(*names: str) -> None:
    """Let these fields begin again."""
    for name in names:
        state.forget(name)
