"""The repaint plan, run in order over the polygons: what every face ends up with, and which step harmed what.

The meaning is the one of the open folder ("Replay"): every zone starts as its as-found stack; `strip` empties the
stack outside kept areas; `coat` adds its coat in full, in mist, or not at all, by what covers the zone and what is
masked. Inside a kept area the goal is the as-found stack.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from shapely import union_all
from shapely.geometry.base import BaseGeometry

from bodymap.finish.exposure import Coating, exposed, hiding, off_vehicle
from bodymap.finish.patches import SLIVER_MM2, Laid, Mask, Patch, coated, divided, mask_of
from bodymap.finish.plan_notes import plan_notes
from bodymap.finish.verdict import Verdict, guilty, stack_of, verdict_of
from bodymap.geometry.areas import QUARTER_SEGMENTS
from bodymap.geometry.convert import to_shapely
from bodymap.history.as_found import LayersSeen, as_found_stack, layers_seen
from bodymap.model.area import Area
from bodymap.model.plan import Step
from bodymap.model.record import Record
from bodymap.model.stack import Extent
from bodymap.model.zone import Zone
from bodymap.settings import Settings


@dataclass(frozen=True)
class Piece:
    """A part of a zone with one finish after the last step; `area_mm2` is drawn area.

    Attributes:
        known: False where nobody looked down to the substrate and nothing was stripped, so what lies below is not known.
        goal: None where the zone has no goal, which is not "nothing wanted": such a piece is not compared.
        verdict: None where it is not compared.
        steps: the steps that made it other than its goal.
    """

    zone_id: str
    surface: BaseGeometry = field(repr=False)
    kept: bool
    known: bool
    stack: LayersSeen
    goal: LayersSeen | None
    area_mm2: float
    verdict: Verdict | None
    steps: tuple[int, ...]


@dataclass(frozen=True)
class Violation:
    """A step that coated inside a kept area, in one zone."""

    step: int
    area_id: str
    action: str
    area_mm2: float
    zone_id: str


@dataclass(frozen=True)
class HandWork:
    """Margin of kept areas that a strip step must leave to the hand."""

    step: int
    zone_id: str
    area_mm2: float


@dataclass(frozen=True)
class Replay:
    """What the plan comes to.

    Attributes:
        pieces: what is compared.
        others: pieces of zones without a goal: run, shown, not compared.
        without_goal: those zones.
        notes: what is odd in the plan: steps that change nothing, parts left off, masks left on.
    """

    pieces: tuple[Piece, ...]
    others: tuple[Piece, ...]
    violations: tuple[Violation, ...]
    hand_work: tuple[HandWork, ...]
    without_goal: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def total_mm2(self) -> float:
        """Drawn area compared."""
        return sum(piece.area_mm2 for piece in self.pieces)

    @property
    def match_mm2(self) -> float:
        """Drawn area that ends as it should."""
        return sum(piece.area_mm2 for piece in self.pieces if piece.verdict == "match")

    @property
    def clean(self) -> bool:
        """Nothing to look at: every piece compared matches, and no step harms a kept area."""
        return not self.violations and all(piece.verdict == "match" for piece in self.pieces)


@dataclass
class _Run:
    """Where the plan stands between two steps.

    `removed`, `masked`: the step that took the part off, put the mask on. `fitted`: the step that fitted a part again.
    """

    record: Record
    settings: Settings
    patches: dict[str, list[Patch]]
    keeps: dict[str, list[tuple[Area, BaseGeometry]]]
    removed: dict[str, int] = field(default_factory=dict)
    fitted: dict[str, int] = field(default_factory=dict)
    masked: dict[str, int] = field(default_factory=dict)
    violations: list[Violation] = field(default_factory=list)
    hand_work: list[HandWork] = field(default_factory=list)


def replay(record: Record, settings: Settings, steps: Iterable[Step] | None = None, upto: int | None = None) -> Replay:
    """Run the record's steps (or others), in the order of their numbers, as far as step `upto`.

    Zones without goals are run but not compared outside kept areas: no goal stated is not "nothing wanted".
    """
    planned = sorted(record.steps if steps is None else steps, key=lambda step: step.step)
    done = [step for step in planned if upto is None or step.step <= upto]
    run = _start(record, settings)
    for step in done:
        _do(run, step)
    goals = goals_of(record)
    pieces = [piece for zone in record.zones for piece in _pieces(record, zone, run.patches[zone.zone_id], goals)]
    return Replay(
        tuple(piece for piece in pieces if piece.verdict is not None),
        tuple(piece for piece in pieces if piece.verdict is None),
        tuple(run.violations),
        tuple(run.hand_work),
        tuple(zone.zone_id for zone in record.zones if zone.zone_id not in goals),
        plan_notes(record, done),
    )


def goals_of(record: Record) -> dict[str, LayersSeen]:
    """(coat_id, extent) wanted on each zone that has a goal, from the substrate outward."""
    goals: dict[str, list[tuple[int, str, Extent]]] = defaultdict(list)
    for goal in record.goals:
        goals[goal.zone_id].append((goal.position, goal.coat_id, goal.extent))
    return {
        zone: tuple((coat, extent) for _, coat, extent in sorted(rows) if extent != "none") for zone, rows in goals.items()
    }


def _start(record: Record, settings: Settings) -> _Run:
    keeps: dict[str, list[tuple[Area, BaseGeometry]]] = defaultdict(list)
    for area in record.areas:
        if area.purpose == "keep":
            keeps[area.drawing_id].append((area, to_shapely(area.shape)))
    kept = {drawing: union_all([shape for _, shape in held]) for drawing, held in keeps.items()}
    patches = {zone.zone_id: list(_first_patches(record, zone, kept.get(zone.drawing_id))) for zone in record.zones}
    return _Run(record, settings, patches, keeps)


def _first_patches(record: Record, zone: Zone, kept: BaseGeometry | None) -> Iterator[Patch]:
    stack = as_found_stack(record, zone.zone_id)
    layers = tuple(Laid(coat, extent, None) for coat, extent in layers_seen(record, stack)) if stack else ()
    inside, outside = None, to_shapely(zone.shape)
    if kept is not None:
        inside, outside = divided(outside, kept)
    if inside is not None:
        yield Patch(inside, kept=True, layers=layers, known=stack is not None)
    if outside.area > SLIVER_MM2:
        yield Patch(outside, kept=False, layers=layers, known=stack is not None)


def _do(run: _Run, step: Step) -> None:
    target = step.target[0] if step.target else ""
    if step.action == "remove":
        run.removed.setdefault(target, step.step)
        run.fitted.pop(target, None)
    elif step.action == "fit":
        if run.removed.pop(target, None) is not None:
            run.fitted[target] = step.step
    elif step.action == "mask":
        run.masked.setdefault(target, step.step)
    elif step.action == "unmask":
        run.masked.pop(target, None)
    elif step.action == "strip":
        for zone_id in step.target:
            _strip(run, step, run.record.zone[zone_id])
    else:
        _coat(run, step, target)


def _strip(run: _Run, step: Step, zone: Zone) -> None:
    patches = run.patches[zone.zone_id]
    run.patches[zone.zone_id] = [patch if patch.kept else patch.bare(step.step) for patch in patches]
    bands = [
        shape.buffer(area.margin, quad_segs=QUARTER_SEGMENTS) for area, shape in run.keeps[zone.drawing_id] if area.margin
    ]
    if bands:
        margin = union_all([patch.surface for patch in patches if not patch.kept]).intersection(union_all(bands))
        if margin.area > SLIVER_MM2:
            run.hand_work.append(HandWork(step.step, zone.zone_id, margin.area))


def _coat(run: _Run, step: Step, coat_id: str) -> None:
    coating = Coating(frozenset(run.removed), frozenset(step.parts_beside), only=step.parts_only)
    masks: dict[str, list[Mask]] = {}
    for zone in run.record.zones:
        if zone.drawing_id not in masks:
            masks[zone.drawing_id] = _masks(run, zone.drawing_id)
        laid = Laid(coat_id, exposed(run.record, zone, coating), step.step, _because(run, zone, coating))
        before = run.patches[zone.zone_id]
        run.patches[zone.zone_id] = [part for patch in before for part in coated(patch, laid, masks[zone.drawing_id])]
        _harm(run, step, zone)


def _because(run: _Run, zone: Zone, coating: Coating) -> tuple[int, ...]:
    """The steps by which a coat does not reach a zone in full: its part taken off, or covers fitted again."""
    if off_vehicle(zone, coating):
        return () if zone.part_id in coating.beside else (run.removed[zone.part_id],)
    covers = hiding(run.record, zone, coating)
    return tuple(sorted({run.fitted[cover.part_id] for cover in covers if cover.part_id in run.fitted}))


def _masks(run: _Run, drawing_id: str) -> list[Mask]:
    """The masks that are on on a drawing, in the order in which they were put on."""
    mist_mm = run.settings.value("soft_edge_mist_mm")
    on = [(step, run.record.area[area_id]) for area_id, step in sorted(run.masked.items(), key=lambda item: item[1])]
    return [mask_of(area, step, mist_mm) for step, area in on if area.drawing_id == drawing_id]


def _harm(run: _Run, step: Step, zone: Zone) -> None:
    after = run.patches[zone.zone_id]
    harmed = [patch.surface for patch in after if patch.kept and patch.layers and patch.layers[-1].step == step.step]
    if not harmed:
        return
    for area, shape in run.keeps[zone.drawing_id]:
        hurt = union_all(harmed).intersection(shape)
        if hurt.area > SLIVER_MM2:
            run.violations.append(Violation(step.step, area.area_id, step.action, hurt.area, zone.zone_id))


def _pieces(record: Record, zone: Zone, patches: list[Patch], goals: dict[str, LayersSeen]) -> Iterator[Piece]:
    found = as_found_stack(record, zone.zone_id)
    as_found = layers_seen(record, found) if found else ()
    groups: dict[tuple[object, ...], list[tuple[Patch, Piece]]] = defaultdict(list)
    for patch in patches:
        piece = _piece(zone, patch, as_found if patch.kept else goals.get(zone.zone_id))
        groups[piece.kept, piece.known, piece.stack, piece.steps].append((patch, piece))
    for group in groups.values():
        surface = union_all([patch.surface for patch, _ in group])
        yield replace(group[0][1], surface=surface, area_mm2=surface.area)


def _piece(zone: Zone, patch: Patch, goal: LayersSeen | None) -> Piece:
    verdict = None if goal is None else verdict_of(patch, goal)
    steps = () if goal is None or verdict is None else guilty(patch, goal, verdict)
    return Piece(
        zone_id=zone.zone_id,
        surface=patch.surface,
        kept=patch.kept,
        known=patch.known,
        stack=stack_of(patch),
        goal=goal,
        area_mm2=patch.surface.area,
        verdict=verdict,
        steps=steps,
    )
