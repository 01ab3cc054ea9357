"""The repaint plan, run in order over the polygons: what every face ends up with, and which step harmed what.

The meaning is the one of the open folder ("Replay"): every zone starts as its as-found stack; `strip` empties the
stack outside kept areas; `coat` adds its coat in full, in mist, or not at all, by what covers the zone and what is
masked. Inside a kept area the goal is the as-found stack.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import Literal

from shapely import union_all
from shapely.geometry.base import BaseGeometry

from bodymap.finish.exposure import Coating, exposed, off_vehicle
from bodymap.geometry.convert import to_shapely
from bodymap.history.as_found import LayersSeen, as_found_stack, layers_seen
from bodymap.model.area import Area
from bodymap.model.plan import Step
from bodymap.model.record import Record
from bodymap.model.stack import Extent
from bodymap.model.zone import Zone
from bodymap.settings import Settings

Verdict = Literal["match", "missing", "extra", "order", "kept harmed"]

# Left over where two exact boundaries meet; far below anything that can be masked or measured.
_SLIVER_MM2 = 1e-6
_RANK: dict[Extent, int] = {"none": 0, "mist": 1, "full": 2}


@dataclass(frozen=True)
class Missed:
    """A coat that was sprayed and did not reach a piece: the coat's step, and the step that kept it off."""

    coat_id: str
    step: int
    because: int | None


@dataclass(frozen=True)
class Laid:
    """A layer on a piece, and the step that laid it (None: as found)."""

    coat_id: str
    extent: Extent
    step: int | None


@dataclass(frozen=True)
class Patch:
    """A part of a zone with one finish, on its way through the plan."""

    surface: BaseGeometry
    kept: bool
    layers: tuple[Laid, ...]
    known: bool
    missed: tuple[Missed, ...] = ()
    stripped: int | None = None


@dataclass(frozen=True)
class Piece:
    """A part of a zone with one finish after the last step; `area_mm2` is drawn area.

    `known`: False where nobody looked down to the substrate and nothing was stripped, so what lies below is not known.
    """

    zone_id: str
    surface: BaseGeometry = field(repr=False)
    kept: bool
    known: bool
    stack: LayersSeen
    goal: LayersSeen
    area_mm2: float
    verdict: Verdict
    steps: tuple[int, ...]


@dataclass(frozen=True)
class Violation:
    """A step that coated inside a kept area."""

    step: int
    area_id: str
    action: str
    area_mm2: float


@dataclass(frozen=True)
class HandWork:
    """Margin of kept areas that a strip step must leave to the hand."""

    step: int
    zone_id: str
    area_mm2: float


@dataclass(frozen=True)
class Replay:
    """What the plan comes to."""

    pieces: tuple[Piece, ...]
    violations: tuple[Violation, ...]
    hand_work: tuple[HandWork, ...]
    without_goal: tuple[str, ...]

    @property
    def total_mm2(self) -> float:
        """Drawn area compared."""
        return sum(piece.area_mm2 for piece in self.pieces)

    @property
    def match_mm2(self) -> float:
        """Drawn area that ends as it should."""
        return sum(piece.area_mm2 for piece in self.pieces if piece.verdict == "match")


@dataclass
class _Run:
    """Where the plan stands between two steps."""

    record: Record
    settings: Settings
    patches: dict[str, list[Patch]]
    keeps: dict[str, list[tuple[Area, BaseGeometry]]]
    removed: dict[str, int] = field(default_factory=dict)
    masked: dict[str, int] = field(default_factory=dict)
    violations: list[Violation] = field(default_factory=list)
    hand_work: list[HandWork] = field(default_factory=list)


def replay(record: Record, settings: Settings, steps: Iterable[Step] | None = None, upto: int | None = None) -> Replay:
    """Run the record's steps (or others), in the order of their numbers, as far as step `upto`.

    Zones without goals are run but not compared outside kept areas: no goal stated is not "nothing wanted".
    """
    run = _start(record, settings)
    for step in sorted(record.steps if steps is None else steps, key=lambda step: step.step):
        if upto is None or step.step <= upto:
            _do(run, step)
    goals = _goals(record)
    pieces = [piece for zone in record.zones for piece in _pieces(record, zone, run.patches[zone.zone_id], goals)]
    without = tuple(zone.zone_id for zone in record.zones if zone.zone_id not in goals)
    return Replay(tuple(pieces), tuple(run.violations), tuple(run.hand_work), without)


def _start(record: Record, settings: Settings) -> _Run:
    keeps: dict[str, list[tuple[Area, BaseGeometry]]] = defaultdict(list)
    for area in record.areas:
        if area.purpose == "keep":
            keeps[area.drawing_id].append((area, to_shapely(area.shape)))
    patches = {}
    for zone in record.zones:
        kept = union_all([shape for _, shape in keeps[zone.drawing_id]])
        patches[zone.zone_id] = list(_first_patches(record, zone, kept))
    return _Run(record, settings, patches, keeps)


def _first_patches(record: Record, zone: Zone, kept: BaseGeometry) -> Iterator[Patch]:
    stack = as_found_stack(record, zone.zone_id)
    layers = tuple(Laid(coat, extent, None) for coat, extent in layers_seen(record, stack)) if stack else ()
    surface = to_shapely(zone.shape)
    for part, inside in ((surface.intersection(kept), True), (surface.difference(kept), False)):
        if part.area > _SLIVER_MM2:
            yield Patch(part, inside, layers, known=stack is not None)


def _do(run: _Run, step: Step) -> None:
    target = step.target[0] if step.target else ""
    if step.action == "remove":
        run.removed[target] = step.step
    elif step.action == "fit":
        run.removed.pop(target, None)
    elif step.action == "mask":
        run.masked[target] = step.step
    elif step.action == "unmask":
        run.masked.pop(target, None)
    elif step.action == "strip":
        for zone_id in step.target:
            _strip(run, step, run.record.zone[zone_id])
    else:
        _coat(run, step, target)


def _strip(run: _Run, step: Step, zone: Zone) -> None:
    patches = run.patches[zone.zone_id]
    run.patches[zone.zone_id] = [
        patch if patch.kept else replace(patch, layers=(), known=True, missed=(), stripped=step.step) for patch in patches
    ]
    bands = [shape.buffer(area.margin) for area, shape in run.keeps[zone.drawing_id] if area.margin]
    margin = union_all([patch.surface for patch in patches if not patch.kept]).intersection(union_all(bands))
    if margin.area > _SLIVER_MM2:
        run.hand_work.append(HandWork(step.step, zone.zone_id, margin.area))


def _coat(run: _Run, step: Step, coat_id: str) -> None:
    coating = Coating(frozenset(run.removed), frozenset(step.parts_beside), only=step.parts_only)
    blocked: dict[str, tuple[BaseGeometry, BaseGeometry, int | None]] = {}
    for zone in run.record.zones:
        extent = exposed(run.record, zone, coating)
        because = run.removed.get(zone.part_id) if off_vehicle(zone, coating) else None
        if zone.drawing_id not in blocked:
            blocked[zone.drawing_id] = _masks(run, zone.drawing_id)
        shut, rim, mask_step = blocked[zone.drawing_id]
        after: list[Patch] = []
        for patch in run.patches[zone.zone_id]:
            after.extend(_coated(patch, Laid(coat_id, extent, step.step), shut, rim, because, mask_step))
        _harm(run, step, zone, after)
        run.patches[zone.zone_id] = after


def _masks(run: _Run, drawing_id: str) -> tuple[BaseGeometry, BaseGeometry, int | None]:
    """What masks shut off on a drawing, the rims where mist gets under a soft edge, and the first mask's step."""
    on = [(run.record.area[area_id], step) for area_id, step in run.masked.items()]
    on = [(area, step) for area, step in on if area.drawing_id == drawing_id]
    mist_mm = run.settings.value("soft_edge_mist_mm")
    shut, rims = [], []
    for area, _ in on:
        shape = to_shapely(area.shape)
        inner = shape.buffer(-mist_mm) if area.edge == "soft" else shape
        shut.append(inner)
        rims.append(shape.difference(inner))
    closed = union_all(shut)
    return closed, union_all(rims).difference(closed), min((step for _, step in on), default=None)


def _coated(
    patch: Patch, laid: Laid, shut: BaseGeometry, rim: BaseGeometry, because: int | None, mask_step: int | None
) -> Iterator[Patch]:
    if laid.extent == "none":
        yield _missing(patch, laid, because)
        return
    if not patch.surface.intersects(shut) and not patch.surface.intersects(rim):
        yield replace(patch, layers=(*patch.layers, laid))
        return
    shares: tuple[tuple[BaseGeometry, Extent], ...] = (
        (patch.surface.intersection(shut), "none"),
        (patch.surface.intersection(rim), "mist"),
        (patch.surface.difference(shut).difference(rim), laid.extent),
    )
    for surface, extent in shares:
        if surface.area <= _SLIVER_MM2:
            continue
        part = replace(patch, surface=surface)
        yield (
            _missing(part, laid, mask_step)
            if extent == "none"
            else replace(part, layers=(*patch.layers, replace(laid, extent=extent)))
        )


def _missing(patch: Patch, laid: Laid, because: int | None) -> Patch:
    return replace(patch, missed=(*patch.missed, Missed(laid.coat_id, laid.step or 0, because)))


def _harm(run: _Run, step: Step, zone: Zone, after: list[Patch]) -> None:
    harmed = [patch.surface for patch in after if patch.kept and patch.layers and patch.layers[-1].step == step.step]
    if not harmed:
        return
    for area, shape in run.keeps[zone.drawing_id]:
        hurt = union_all(harmed).intersection(shape)
        if hurt.area > _SLIVER_MM2:
            run.violations.append(Violation(step.step, area.area_id, step.action, hurt.area))


def _goals(record: Record) -> dict[str, LayersSeen]:
    goals: dict[str, list[tuple[int, str, Extent]]] = defaultdict(list)
    for goal in record.goals:
        goals[goal.zone_id].append((goal.position, goal.coat_id, goal.extent))
    return {
        zone: tuple((coat, extent) for _, coat, extent in sorted(rows) if extent != "none") for zone, rows in goals.items()
    }


def _pieces(record: Record, zone: Zone, patches: list[Patch], goals: dict[str, LayersSeen]) -> Iterator[Piece]:
    found = as_found_stack(record, zone.zone_id)
    as_found = layers_seen(record, found) if found else ()
    groups: dict[tuple[object, ...], list[tuple[Patch, Piece]]] = defaultdict(list)
    for patch in patches:
        if not patch.kept and zone.zone_id not in goals:
            continue
        goal = as_found if patch.kept else goals[zone.zone_id]
        stack = tuple((laid.coat_id, laid.extent) for laid in patch.layers)
        verdict = _verdict(patch, stack, goal)
        piece = Piece(
            zone.zone_id,
            patch.surface,
            patch.kept,
            patch.known,
            stack,
            goal,
            0.0,
            verdict,
            _guilty(patch, stack, goal, verdict),
        )
        groups[patch.kept, stack, verdict, piece.steps].append((patch, piece))
    for group in groups.values():
        surface = union_all([patch.surface for patch, _ in group])
        yield replace(group[0][1], surface=surface, area_mm2=surface.area)


def _verdict(patch: Patch, stack: LayersSeen, goal: LayersSeen) -> Verdict:
    if patch.kept:
        return "kept harmed" if any(laid.step is not None for laid in patch.layers) else "match"
    if stack == goal and patch.known:
        return "match"
    lacking, surplus = _lacking(goal, stack), _lacking(stack, goal)
    if lacking or (not surplus and not patch.known):
        return "missing"
    return "extra" if surplus else "order"


def _lacking(wanted: LayersSeen, there: LayersSeen) -> list[str]:
    """Coats of which `wanted` has more (in full or at all) than `there`."""
    want: Counter[str] = Counter()
    have: Counter[str] = Counter()
    for count, layers in ((want, wanted), (have, there)):
        for coat, extent in layers:
            count[coat] += _RANK[extent]
    return [coat for coat in want if want[coat] > have[coat]]


def _guilty(patch: Patch, stack: LayersSeen, goal: LayersSeen, verdict: Verdict) -> tuple[int, ...]:
    """The steps that made a piece other than its goal."""
    laid = [layer for layer in patch.layers if layer.step is not None]
    if verdict == "match":
        return ()
    if verdict == "kept harmed":
        return tuple(sorted({layer.step for layer in laid if layer.step is not None}))
    if verdict == "missing":
        lacking = set(_lacking(goal, stack))
        missed = [miss for miss in patch.missed if miss.coat_id in lacking]
        thin = {layer.step for layer in laid if layer.coat_id in lacking and layer.step is not None}
        steps = thin | {miss.step for miss in missed} | {miss.because for miss in missed if miss.because is not None}
        return tuple(sorted(steps or ({patch.stripped} if patch.stripped is not None else set())))
    if verdict == "extra":
        surplus = set(_lacking(stack, goal))
        return tuple(sorted({layer.step for layer in laid if layer.coat_id in surplus and layer.step is not None}))
    first = next(n for n, (got, want) in enumerate(zip(stack, goal, strict=True)) if got != want)
    return tuple(sorted({layer.step for layer in patch.layers[first:] if layer.step is not None}))
