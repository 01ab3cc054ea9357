"""What is being entered on the survey and not saved yet: one `Survey` for each browser window, kept through a reload."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace

from bodymap.exchange.photo import Photo
from bodymap.model import Layer
from dashboard import state
from dashboard.components.kept_map import KeptMap, untouched
from dashboard.components.sheet_map import Placed
from dashboard.loaders import Opened, begun
from dashboard.state import Workspace, forget

WHAT = {
    "stack": "Stack",
    "reading": "Reading",
    "finding": "Finding",
    "line": "Line",
    "source": "Source",
    "unseen": "Not yet seen",
}
# What a touch on the map does at first, by what is entered.
TOUCH_FOR = {"finding": "lasso"}
# What is entered is marked on the map, so that each entry is seen there once it is saved.
MARK_FOR = {"stack": "stacks", "reading": "readings", "finding": "findings", "line": "lines"}


@dataclass
class StackForm:
    """A stack being built. `number`: as typed, blank: the one that is offered; `zone_id`: where its first layer was put.

    `layers` from the metal out; `spot`: on the zone's drawing [mm], None: the middle of the zone.
    """

    number: str = ""
    zone_id: str = ""
    layers: list[Layer] = field(default_factory=list)
    reaches: str | None = None
    method: str | None = None
    confidence: str | None = None
    spot: tuple[float, float] | None = None
    note: str = ""
    photo: Photo | None = None

    @property
    def begun(self) -> bool:
        """Whether anything was entered that belongs to this stack alone."""
        return bool(self.number or self.layers or self.photo or self.note)


@dataclass
class ReadingForm:
    """Repeats of one spot."""

    spot_name: str = ""
    typed: str = ""
    principle: str | None = None
    phase: str = "as found"
    instrument: str = ""
    targeted: bool = False
    keep_refused: bool = False
    spot: tuple[float, float] | None = None
    spot_zone: str = ""


@dataclass
class FindingForm:
    """Something found; where it is comes from the map."""

    kind: str | None = None
    severity: int | None = None
    depth_mm: float | None = None
    note: str = ""


@dataclass
class LineForm:
    """A painted line by its offsets from a datum."""

    datum_id: str | None = None
    typed: str = ""
    width_mm: float | None = None
    colour: str | None = None
    hand: str | None = None
    note: str = ""


@dataclass
class SourceForm:
    """A piece of evidence. `about` None: the chosen zones."""

    kind: str | None = None
    title: str = ""
    date: str = ""
    by: str = ""
    rights: str = ""
    about: list[str] | None = None
    photo: Photo | None = None
    document: bytes | None = None


@dataclass
class CoatForm:
    """A coat that the record has not yet."""

    name: str = ""
    kind: str | None = None
    colour: str | None = None
    um_low: float | None = None
    um_high: float | None = None


@dataclass
class Survey(KeptMap):
    """Everything one window has begun.

    `looked`: revision up to which this window was told what others wrote; None: not opened yet. `own`: its own entries.
    `keep_place`: photos keep the place they say they were taken at; `taken`: raised with each photo, so
    that the fields that bring them begin again.
    `theirs`: the stack of somebody else that is looked at.
    """

    what: str = "stack"
    placed: Placed = field(default_factory=Placed)
    stack: StackForm = field(default_factory=StackForm)
    reading: ReadingForm = field(default_factory=ReadingForm)
    finding: FindingForm = field(default_factory=FindingForm)
    line: LineForm = field(default_factory=LineForm)
    source: SourceForm = field(default_factory=SourceForm)
    coat: CoatForm = field(default_factory=CoatForm)
    lack: str = "look"
    keep_place: bool = False
    looked: int | None = None
    own: set[int] = field(default_factory=set)
    taken: int = 0
    camera: bool = False
    theirs: str = ""

    @property
    def begun(self) -> bool:
        """Whether anything is entered that would be missed."""
        plain = (
            self.reading.typed,
            self.finding.kind,
            self.finding.note,
            self.line.typed,
            self.source.title,
            self.coat.name,
        )
        return self.stack.begun or any(plain) or self.source.photo is not None or self.source.document is not None

    def begin_again(self, what: str) -> None:
        """A blank form of one kind; what is the same from entry to entry (how, by which gauge) stays."""
        if what == "stack":
            self.stack = StackForm(method=self.stack.method)
        elif what == "reading":
            self.reading = replace(self.reading, spot_name="", typed="", targeted=False, keep_refused=False, spot=None)
        elif what == "line":
            self.line = LineForm(datum_id=self.line.datum_id)
        else:
            kinds = {one.name: one.default_factory for one in fields(self)}
            setattr(self, what, kinds[what]())  # type: ignore[misc, operator]
        forget(f"{what}_")


def current(now: Opened) -> Survey:
    """What this window is entering. After a reload the Workspace is put back as it was."""
    found = begun.current(now.path, Survey)
    if found.first and untouched(state.current()):
        found.draft.put_back_map(state.current())
    if found.again:
        put_back(found.draft, state.current())
    return found.draft


def put_back(survey: Survey, workspace: Workspace) -> None:
    """The place that was touched as it was when this was entered, and what a touch does."""
    placed = state.of(Placed)
    placed.zone_id, placed.x, placed.y = survey.placed.zone_id, survey.placed.x, survey.placed.y
    workspace.touch = TOUCH_FOR.get(survey.what, "place")


def turn_to(survey: Survey, workspace: Workspace, what: str) -> None:
    """Enter something else: what a touch on the map does is set for it."""
    if what != survey.what:
        survey.what, workspace.touch = what, TOUCH_FOR.get(what, "place")
        forget("touch")


def worn(survey: Survey, workspace: Workspace) -> Workspace:
    """The Workspace as the survey's map shows it: with what is entered marked, or what was not seen tinted.

    A copy: the marks and the tint that were chosen for the other screens stay as they are.
    """
    mark = MARK_FOR.get(survey.what)
    marks = [*dict.fromkeys([*workspace.marks, *((mark,) if mark else ())])]
    return replace(workspace, marks=marks, tint="not_seen" if survey.what == "unseen" else workspace.tint)


def keep(survey: Survey, workspace: Workspace) -> None:
    """Keep what is chosen on the map with what is entered."""
    survey.keep_map(workspace)
    survey.placed = replace(state.of(Placed))


def zone_of(now: Opened, workspace: Workspace) -> str:
    """The one zone that is chosen; empty: none, or several."""
    return workspace.chosen[0] if len(workspace.chosen) == 1 and workspace.chosen[0] in now.record.zone else ""
