"""What the repaint rehearsal keeps for one browser window: the plan that is tried, the step shown, what is typed."""

from __future__ import annotations

from dataclasses import dataclass, field

from bodymap.finish.plan_edit import Plan
from bodymap.model import Step
from dashboard.state import forget

OWN, WHAT_IF = "own", "what_if"
_PAST_MOST = 50


@dataclass
class StepForm:
    """What was typed about a step that is added or amended."""

    action: str = "coat"
    target: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    only: bool = False
    method: str | None = None
    batch: str = ""
    note: str = ""


@dataclass
class Rehearsal:
    """Choices and unsaved work of one window.

    Attributes:
        card: the card at the maps.
        shown: which plan is run: the record's own or the one that is tried.
        what_if: the plan that is tried; None: none yet. `name`: where it came from.
        notes: what is to be said of where it came from.
        past: plans before each change of it, the last one last. `did`: the last change in words.
        step: how far the plan is run; None: to its end.
        zone_id: the face that is looked at; empty: none. `all_steps`: the list shows all of them, not those round `step`.
    """

    card: str = "plan"
    shown: str = OWN
    what_if: Plan | None = None
    name: str = ""
    notes: tuple[str, ...] = ()
    past: list[Plan] = field(default_factory=list)
    did: str = ""
    fault: str = ""
    step: int | None = None
    zone_id: str = ""
    all_steps: bool = False
    form: StepForm = field(default_factory=StepForm)
    why: str = ""

    def to_card(self, card: str) -> None:
        """Show another card."""
        self.card = card
        forget("rehearsal_card")

    def try_plan(self, plan: Plan, name: str, notes: tuple[str, ...] = ()) -> None:
        """Try another plan, from its beginning."""
        self.what_if, self.name, self.notes, self.shown = plan, name, notes, WHAT_IF
        self.past, self.did, self.fault, self.step = [], "", "", None
        self.form = StepForm()
        forget("rehearsal_")

    def change(self, own: Plan, steps: tuple[Step, ...], did: str, step: int) -> None:
        """Change the plan that is tried; where the record's own is shown, a copy of it."""
        before = self.what_if if self.shown == WHAT_IF and self.what_if else own
        if self.shown == OWN or self.what_if is None:
            self.name, self.notes, self.past = "copy of the record's plan", (), []
        self.past = [*self.past[-_PAST_MOST:], before]
        self.what_if = Plan(steps, before.areas, before.goals)
        self.shown, self.did, self.fault, self.step = WHAT_IF, did, "", step
        forget("rehearsal_step")
        forget("rehearsal_shown")

    def back(self) -> None:
        """Take the last change back."""
        if self.past:
            self.what_if, self.did, self.fault, self.step = self.past.pop(), "", "", None
            forget("rehearsal_step")

    def put_away(self) -> None:
        """Give the tried plan up."""
        self.what_if, self.name, self.notes, self.past, self.did, self.shown = None, "", (), [], "", OWN
        self.step, self.fault = None, ""
        forget("rehearsal_")

    def go(self, step: int) -> None:
        """Run the plan to a step."""
        self.step = step
        forget("rehearsal_step")


@dataclass
class DoneForm:
    """What was typed about a step that is done. `after`: the one told done last; the next behind it is offered."""

    step: int | None = None
    after: int = 0
    on: str = ""
    batch: str = ""
    air_c: float | None = None
    humidity_pct: float | None = None
    surface_c: float | None = None
    note: str = ""
    accepted: bool = False


@dataclass
class ReadingForm:
    """What was typed about readings after a coat."""

    coat_id: str | None = None
    zone_id: str | None = None
    principle: str = "magnetic"
    typed: str = ""
    instrument: str = ""
