"""What owners, judges and insurers ask for first: how much original finish is retained, and what was made again.

Kept is what lies in kept areas, as `bodymap areas` and the hand-over file count it. What the plan leaves alone besides is
told apart from it, and a kept area with a new coat on it too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bodymap.geometry.areas import areas_of
from bodymap.model import Record
from bodymap.settings import Settings
from bodymap.views.as_left import NEW, STATE_WORDS, LeftPiece, State, as_left
from bodymap.views.hand_over_again import edges_lost
from bodymap.views.hand_over_kept import Retained, retained_by


@dataclass(frozen=True)
class Share:
    """Retained finish of the vehicle or of a part [mm², %].

    Attributes:
        name: of the part; empty for the whole vehicle.
        drawn_mm2, surface_mm2: of its zones, on the drawing and true.
        kept_drawn_mm2, kept_surface_mm2: of that, in kept areas.
        left_mm2: true surface outside kept areas that no step of the plan touches.
        estimate: part of it lies on a drawing that is not to scale.
    """

    name: str
    drawn_mm2: float
    surface_mm2: float
    kept_drawn_mm2: float
    kept_surface_mm2: float
    left_mm2: float
    estimate: bool


@dataclass(frozen=True)
class Surface:
    """Surface that ends in one state [mm²]; `again`: something was made again there."""

    state: State
    words: str
    drawn_mm2: float
    surface_mm2: float
    again: bool


@dataclass(frozen=True)
class NewCoat:
    """A coat that the plan lays: on how much true surface [mm²], and who accepted it (None: nobody signed)."""

    coat_id: str
    name: str
    surface_mm2: float
    accepted_by: str | None


@dataclass(frozen=True)
class RetainedFigures:
    """The whole vehicle, its parts, what each surface ends as, new coats, and ids of areas whose edge was made again.

    `unstated`: ids of areas of which nobody has said whether the edge is original.
    """

    whole: Share | None
    parts: tuple[Share, ...]
    surfaces: tuple[Surface, ...]
    coats: tuple[NewCoat, ...]
    edges_again: tuple[str, ...]
    unstated: tuple[str, ...]
    planned: bool

    @property
    def harmed_mm2(self) -> float:
        """True surface in kept areas that gets a new coat all the same."""
        return sum(one.surface_mm2 for one in self.surfaces if one.state == "kept_harmed")


def retained_figures(record: Record, settings: Settings) -> RetainedFigures:
    """All figures of a record, with the vehicle as its own plan leaves it."""
    areas, pieces, lost = areas_of(record), as_left(record, settings), edges_lost(record)
    whole = retained_by(record, areas, pieces, lambda _: "")
    parts = retained_by(record, areas, pieces, lambda zone: zone.part_id)
    named = [_share(one, record.part[one.name].name) for one in parts]
    return RetainedFigures(
        whole=_share(whole[0], "") if whole else None,
        parts=tuple(named),
        surfaces=_surfaces(pieces),
        coats=_coats(record, pieces),
        edges_again=tuple(one.area_id for one in record.areas if one.origin == "recreated" or one.area_id in lost),
        unstated=tuple(one.area_id for one in record.areas if one.origin is None and one.area_id not in lost),
        planned=bool(record.steps),
    )


def _share(one: Retained, name: str) -> Share:
    return Share(name, **vars(one.totals), left_mm2=one.left_mm2, estimate=one.estimate)


def _surfaces(pieces: Sequence[LeftPiece]) -> tuple[Surface, ...]:
    groups: dict[State, list[LeftPiece]] = {}
    for piece in pieces:
        groups.setdefault(piece.state, []).append(piece)
    return tuple(
        Surface(
            state,
            words,
            sum(piece.drawn_mm2 for piece in groups[state]),
            sum(piece.surface_mm2 for piece in groups[state]),
            state in NEW,
        )
        for state, words in STATE_WORDS.items()
        if state in groups
    )


def _coats(record: Record, pieces: Sequence[LeftPiece]) -> tuple[NewCoat, ...]:
    signed = {one.subject: one.by for one in record.signoffs if one.what == "coat accepted"}
    laid: dict[str, float] = {}
    for piece in pieces:
        for coat_id in piece.new:
            laid[coat_id] = laid.get(coat_id, 0.0) + piece.surface_mm2
    return tuple(
        NewCoat(coat.coat_id, coat.name, laid[coat.coat_id], signed.get(coat.coat_id))
        for coat in record.coats
        if coat.coat_id in laid
    )
