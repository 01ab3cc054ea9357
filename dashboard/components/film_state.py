"""What the film screen keeps for one browser window."""

from __future__ import annotations

from dataclasses import dataclass, field

from bodymap.exchange.gauge_csv import GaugeMapping
from bodymap.film.report import Specification
from bodymap.film.summary import AS_FOUND
from dashboard.state import of

LOOKS = {
    "film": "Map",
    "sides": "Left against right",
    "judged": "Judged",
    "unexplained": "Unexplained",
    "filler": "Filler",
    "polish": "Polishing",
    "gauge": "Gauge file",
    "plan": "Spot plan",
}
SURFACES = {"film": "Film", "error": "Standard error", "none": "Readings only"}
SPREADS = {"part": "By part", "zone": "By zone"}
JUDGES = {"iso19840": "ISO 19840", "sspc_pa2": "SSPC-PA 2"}
STANDARDS = {"shop": "Shop figure", "iso19840": "ISO 19840", "sspc_pa2": "SSPC-PA 2"}
ROUNDS = {"phase": "By phase", "day": "By day"}


@dataclass
class Film:
    """What is looked at. Films are in µm; blank is not stated."""

    look: str = "film"
    phase: str = AS_FOUND
    surface: str = "film"
    spread: str = "part"
    judge: str = "iso19840"
    nominal_um: float | None = None
    min_um: float | None = None
    max_um: float | None = None
    rounds: str = "phase"
    before: str = AS_FOUND
    after: str | None = None
    day: str | None = None


@dataclass
class Plan:
    """How spots are planned. `zone_ids` None: every outer zone; `counts`: spots of single zones, where others are wanted."""

    zone_ids: list[str] | None = None
    standard: str = "shop"
    counts: dict[str, int] = field(default_factory=dict)


@dataclass
class Gauge:
    """A gauge file that is being taken in. `foils`: (foil, before, after) [µm] of the check on foils.

    `asks`: the file leaves something open that only the user can say, so that its columns lie open.
    """

    name: str = ""
    data: bytes = b""
    mapping: GaugeMapping | None = None
    remembered_as: str = ""
    by: str = "order"
    zone_ids: list[str] = field(default_factory=list)
    leave_out: list[int] = field(default_factory=list)
    first_spot: int = 1
    not_read: list[int] = field(default_factory=list)
    swapped: list[tuple[int, int]] = field(default_factory=list)
    principle: str | None = None
    instrument: str = ""
    phase: str = AS_FOUND
    targeted: bool = False
    foils: tuple[tuple[float | None, float | None, float | None], ...] = ((None, None, None),) * 3
    asks: bool = False
    turn: int = 0

    def put_away(self) -> None:
        """Forget the file and what was said of it; the gauge stays, the next file is often of the same one."""
        kept = {"principle": self.principle, "instrument": self.instrument, "phase": self.phase, "turn": self.turn + 1}
        vars(self).update(vars(Gauge(**kept)))


def film() -> Film:
    """What this window looks at."""
    return of(Film)


def specification(said: Film) -> Specification:
    """The film asked for, as far as it was stated. Raises BodymapError where it does not hold together."""
    return Specification(said.nominal_um, said.min_um, said.max_um)
