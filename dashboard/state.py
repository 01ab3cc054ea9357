"""What one browser window is busy with: one `Workspace`, reached through `current()`.

Widgets lose their values when another page is shown, so each value is copied in here as soon as it is read. Ids and
choices are held, never loaded records.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeVar

import streamlit as st

from bodymap.model import Area
from bodymap.views.palette import Theme

_KEY = "workspace"
_T = TypeVar("_T")
WHOLE_SHEET = ""
CHOSEN_ZONES = "*"
DRAWN_SURFACE = "+"


@dataclass
class Drawn:
    """A surface drawn by hand on the sheet: its ring as (x, y) in sheet mm, not closed."""

    kind: str
    ring: tuple[tuple[float, float], ...]


@dataclass
class AreaForm:
    """What was typed about the area that is being marked. `area_id`: an area that is being amended."""

    area_id: str = ""
    purpose: str = "keep"
    name: str = ""
    reason: str = ""
    edge: str | None = None
    margin_mm: float | None = None
    origin: str | None = None
    way: str = "drawn"
    only_inside: bool = True
    zone_id: str | None = None
    piece: int = 0
    width_mm: float = 50.0
    datum_id: str | None = None
    stations: tuple[tuple[float | None, float | None, float | None], ...] = ((None, None, None),) * 3

    @property
    def begun(self) -> bool:
        """Whether anything is entered that would be missed."""
        measured = any(one is not None for row in self.stations for one in row)
        said = (self.area_id, self.name.strip(), self.reason.strip(), self.edge, self.origin)
        return any(said) or self.margin_mm is not None or measured

    @classmethod
    def amending(cls, area: Area) -> AreaForm:
        """The form in which an area is amended where it is."""
        return cls(
            area_id=area.area_id,
            purpose=area.purpose,
            name=area.name or "",
            reason=area.reason or "",
            edge=area.edge,
            margin_mm=area.margin,
            origin=area.origin,
            way="as_it_is",
        )


@dataclass
class Workspace:
    """Choices and unfinished work of one browser window.

    `seen`: revision of the record which this window showed last. `turn`: raised when the map or the form has to forget
    what was selected or typed in the browser. `told`: messages to show once, as (icon, text).
    `forgotten`: how often fields had to begin again, by the beginning of their names. `aside`: stacks, joined by blanks,
    that the coat order is read without; None: not chosen yet. `chart_zones`: None: those that tell the most. `told_of`:
    which sentences of the coat order are shown. `local_too`: also what coats of other parts say of a part.
    """

    sheet: str = "outside"
    look_at: str = WHOLE_SHEET
    tint: str = "plain"
    coat_id: str | None = None
    marks: list[str] = field(default_factory=lambda: ["kept"])
    touch: str = "pick"
    chosen: list[str] = field(default_factory=list)
    drawn: Drawn | None = None
    form: AreaForm = field(default_factory=AreaForm)
    by: str = ""
    seen: int = 0
    turn: int = 0
    told: list[tuple[str, str]] = field(default_factory=list)
    forgotten: dict[str, int] = field(default_factory=dict)
    aside: str | None = None
    chart_zones: list[str] | None = None
    told_of: str = ""
    local_too: bool = False

    def choose(self, zone_ids: list[str]) -> None:
        """Choose these zones and no others."""
        self.chosen = list(dict.fromkeys(zone_ids))
        forget("chosen")

    def go_to(self, zone_id: str, drawing_id: str, sheet: str) -> None:
        """Choose a zone, with its drawing in view and the spots marked."""
        self.choose([zone_id])
        self.sheet, self.look_at, self.touch = sheet, drawing_id, "pick"
        self.marks = [*dict.fromkeys([*self.marks, "stacks"])]
        for name in ("sheet", "look_at", "touch", "marks"):
            forget(name)
        self.put_away_drawing()

    def put_away_drawing(self) -> None:
        """Forget the surface drawn on the map."""
        self.drawn = None
        self.turn += 1

    def begin_form(self, form: AreaForm | None = None) -> None:
        """Begin a new area, or amend the one the form speaks of."""
        self.form = form or AreaForm(way=self.form.way, purpose=self.form.purpose, only_inside=self.form.only_inside)
        self.put_away_drawing()
        forget("form_")

    def look_closer(self) -> None:
        """Look at what is drawn, or else at what is chosen."""
        self.look_at = DRAWN_SURFACE if self.drawn else CHOSEN_ZONES
        forget("look_at")

    def tell(self, icon: str, text: str) -> None:
        """Show a message once, after the next run of the page."""
        self.told.append((icon, text))


def current() -> Workspace:
    """The Workspace of this browser window."""
    if _KEY not in st.session_state:
        st.session_state[_KEY] = Workspace()
    return st.session_state[_KEY]


def theme() -> Theme:
    """How this window is shown: what charts are drawn for."""
    return "dark" if st.context.theme.type == "dark" else "light"


def of(kind: type[_T]) -> _T:
    """What one screen keeps for this browser window: an instance of its own dataclass, begun where there is none."""
    key = f"{_KEY}_{kind.__module__}_{kind.__qualname__}"
    if key not in st.session_state:
        st.session_state[key] = kind()
    return st.session_state[key]


def held(name: str) -> str:
    """Key of the field `name`: it changes when the field has to begin again with what the Workspace holds."""
    begun = sum(times for prefix, times in current().forgotten.items() if name.startswith(prefix))
    return f"{name}_{begun}"


def forget(prefix: str) -> None:
    """Let the fields whose names begin like this begin again with what the Workspace holds."""
    forgotten = current().forgotten
    forgotten[prefix] = forgotten.get(prefix, 0) + 1
