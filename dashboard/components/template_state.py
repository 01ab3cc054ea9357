"""What the mask brief screen keeps for a window: its side, the template that is asked for, the line that is looked at."""

from __future__ import annotations

from dataclasses import dataclass

from bodymap.views.template_page import TemplateChoice

SIDES = {"brief": "Brief", "order": "Order of work", "template": "Full-size template", "lines": "Lines"}
SORTS = {"area": "Area", "zone": "Zone", "line": "Painted line", "drawing": "Whole drawing"}
PAPERS = {"A4": "A4", "A3": "A3", "plotter": "One plotter page"}


@dataclass(frozen=True)
class TemplateAsked:
    """A template as it was asked for: of what (`area:K1`), how, and of the record in which state."""

    stamp: str
    ident: str
    choice: TemplateChoice
    mirror: bool


@dataclass
class Templates:
    """The screen as a whole.

    `ident`: of the thing asked for; blank: none chosen yet. `printed_x_mm`, `printed_y_mm`: what the 100 mm bars of a test
    print measured. `line_id`, `datum_id`, `twin_id`: of the strip chart; blank: as the program chooses.
    """

    side: str = "brief"
    sort: str = "area"
    ident: str = ""
    paper: str = "A4"
    landscape: bool = False
    overlap_mm: float | None = None
    printed_x_mm: float | None = None
    printed_y_mm: float | None = None
    mirror: bool = False
    made: TemplateAsked | None = None
    line_id: str = ""
    datum_id: str = ""
    twin_id: str = ""

    def asked(self, stamp: str) -> TemplateAsked:
        """What the form says now."""
        plotter = self.paper == "plotter"
        choice = TemplateChoice(
            paper="A3" if self.paper == "A3" else "A4",
            landscape=self.landscape and not plotter,
            plotter=plotter,
            overlap_mm=None if plotter else self.overlap_mm,
            printed_x_mm=self.printed_x_mm,
            printed_y_mm=self.printed_y_mm,
        )
        return TemplateAsked(stamp, f"{self.sort}:{self.ident}", choice, self.mirror)
