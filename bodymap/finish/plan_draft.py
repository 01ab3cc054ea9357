"""A plan drafted from the goals and the history: "repeat as found".

It strips what is to be repainted, takes parts off and fits them again so that every face gets its coats as it should,
masks what must not get them, and proposes masks where the record has none. The draft is run over the polygons before it is
handed out; whatever does not end as wanted is said in its notes, never left out silently.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from shapely.geometry.base import BaseGeometry

from bodymap.finish.draft_masks import MaskDesk, shields_of, wet_surfaces
from bodymap.finish.draft_states import Pass, Search, States, Surroundings, smooth
from bodymap.finish.draft_targets import Targets, coat_order_of, targets_of
from bodymap.finish.naming import zone_said, zones_said
from bodymap.finish.replay import Replay, replay
from bodymap.finish.replay_report import area_words, stack_words
from bodymap.history.read import History, read_history
from bodymap.history.rules import PartState
from bodymap.model.area import Area
from bodymap.model.part import Substrate
from bodymap.model.plan import ONLY, Action, Goal, Step
from bodymap.model.record import Record
from bodymap.model.stack import Extent
from bodymap.settings import Settings


@dataclass(frozen=True)
class Draft:
    """A drafted plan.

    Attributes:
        steps: the plan. Strip steps bear no method: that is the restorer's to choose.
        areas: masks which it needs and the record has not.
        notes: what it could not do, and what it took for granted.
        goals: what it was drafted to reach: the record's goals, and the finish as found of zones that have none.
        result: the draft run over the record with those areas and goals.
    """

    steps: tuple[Step, ...]
    areas: tuple[Area, ...]
    notes: tuple[str, ...]
    goals: tuple[Goal, ...]
    result: Replay


@dataclass(frozen=True)
class _Coating:
    """One pass with what comes of it: the surfaces that get the coat, by drawing, and the masks that it needs."""

    going: Pass
    wet: Mapping[str, BaseGeometry]
    masks: Mapping[str, None]


@dataclass
class _Work:
    """A draft in the making."""

    record: Record
    desk: MaskDesk
    around: Surroundings
    targets: Targets
    history: History
    notes: list[str]
    passes: list[Pass] = field(default_factory=list)


def draft_plan(record: Record, settings: Settings, history: History | None = None) -> Draft:
    """Draft a plan for a record. `history`: where it has been read already."""
    history = history or read_history(record)
    targets = targets_of(record, history)
    around = Surroundings(record, targets.zones)
    work = _Work(record, MaskDesk(record, settings), around, targets, history, list(targets.notes))
    _plan_coats(work)
    smooth(around, work.passes)
    coatings = [_coating(work, one) for one in work.passes]
    steps = tuple(_numbered(_Schedule(work, coatings).run()))
    goals = (*record.goals, *_repeated(record, targets))
    areas = tuple(work.desk.proposed.values())
    whole = record.with_kind(Area.KIND, (*record.areas, *areas)).with_kind(Goal.KIND, goals)
    result = replay(whole, settings, steps)
    return Draft(steps, areas, tuple(dict.fromkeys((*work.notes, *_shortfalls(record, result)))), goals, result)


def _plan_coats(work: _Work) -> None:
    """Coat after coat, each in as few passes as its zones can be painted in together."""
    waiting = {zone: list(target.layers) for zone, target in work.targets.zones.items()}
    order, notes = coat_order_of(work.record, {zone: target.layers for zone, target in work.targets.zones.items()})
    work.notes += notes
    states = States(dict.fromkeys(work.around.removable, "fitted"))
    for coat_id in order:
        wanted = {zone: layers[0][1] for zone, layers in waiting.items() if layers and layers[0][0] == coat_id}
        for zone in wanted:
            waiting[zone].pop(0)
        states = _plan_coat(work, Pass(coat_id, states, wanted, _told(work, coat_id)))


def _plan_coat(work: _Work, going: Pass) -> States:
    """Passes of one coat until every zone has it that can have it; returns the states after the last one."""
    states = going.states
    while going.wanted:
        search = Search(work.around, states, going)
        found = search.best()
        met = search.met(found)
        if not met:
            work.notes += (_why_not(work, zone, going.coat_id, extent) for zone, extent in going.wanted.items())
            break
        states = found
        work.passes.append(Pass(going.coat_id, states, met, going.told))
        left = {zone: extent for zone, extent in going.wanted.items() if zone not in met}
        if left:
            names = zones_said(work.record, list(left))
            work.notes.append(f"{going.coat_id} takes more than one pass: {names} cannot be reached with the rest")
        going = Pass(going.coat_id, states, left)
    return states


def _coating(work: _Work, going: Pass) -> _Coating:
    reached = [sight.zone for sight in work.around.sights if work.around.reach(sight, going.states) != "nothing"]
    wet = wet_surfaces(work.record, going.wanted)
    return _Coating(going, wet, work.desk.needed(list(shields_of(work.record, reached, frozenset(going.wanted))), wet))


def _told(work: _Work, coat_id: str) -> dict[str, PartState]:
    """What history says of the parts at a coat, proven or likely; a part that was not there yet was away."""
    explanation = work.history.explanation
    if explanation is None or coat_id not in explanation.scene.coats:
        return {}
    there = set(explanation.scene.moving[coat_id])
    told: dict[str, PartState] = {part: "away" for part in work.around.removable if part not in there}
    for part in there:
        fact = explanation.parts[coat_id, part]
        if fact.grade != "open":
            told[part] = fact.values[0]
    return told


def _why_not(work: _Work, zone_id: str, coat_id: str, extent: Extent) -> str:
    zone = zone_said(work.record, zone_id)
    if extent == "full":
        return f"{zone}: {coat_id} cannot reach it in full: parts that cannot be taken off hide it"
    explanation = work.history.explanation
    crept = explanation is not None and (coat_id, zone_id) in explanation.taped
    why = "it seems to have crept under tape" if crept else "nothing that leaves a gap covers it"
    return f"{zone}: {coat_id} as mist cannot be planned: {why}; dust it on by hand, or mask it with a soft edge"


def _repeated(record: Record, targets: Targets) -> Iterator[Goal]:
    """The finish as found as goals, for worked zones without any."""
    stated = {goal.zone_id for goal in record.goals}
    for zone_id, target in targets.zones.items():
        if zone_id not in stated:
            for position, (coat_id, extent) in enumerate(target.layers, start=1):
                yield Goal(zone_id=zone_id, position=position, coat_id=coat_id, extent=extent)


def _shortfalls(record: Record, result: Replay) -> Iterator[str]:
    for piece in result.pieces:
        if piece.verdict != "match":
            ends = f"{area_words(piece.area_mm2)} end as {stack_words(piece.stack)}"
            yield f"{zone_said(record, piece.zone_id)}: {ends}, wanted {stack_words(piece.goal or ())}"
    for one in result.violations:
        over = f"step {one.step} goes over {area_words(one.area_mm2)} of the kept area {one.area_id}"
        yield f"{zone_said(record, one.zone_id)}: {over}"
    yield from result.notes


def draft_json(draft: Draft) -> dict[str, Any]:
    """The draft as it is added to the JSON of a replay: steps and areas with the columns of their files."""
    steps = [
        {"step": one.step, "action": one.action, "target": list(one.target), "parts": list(one.parts)} for one in draft.steps
    ]
    areas = [{**one.model_dump(exclude={"shape", "more"}), "geometry": one.shape.geojson()} for one in draft.areas]
    return {"draft": {"steps": steps, "areas": areas, "notes": list(draft.notes)}}


def draft_lines(draft: Draft) -> Iterator[str]:
    """The draft for a reader."""
    for step in draft.steps:
        beside = f" ({', '.join(step.parts)})" if step.parts else ""
        yield f"{step.step:4d} {step.action} {', '.join(step.target)}{beside}"
    for area in draft.areas:
        yield f"  proposed mask {area.area_id}: {area.name}"
    for note in draft.notes:
        yield f"  note: {note}"


_Bare = tuple[Action, tuple[str, ...], tuple[str, ...]]


def _numbered(steps: Iterator[_Bare]) -> Iterator[Step]:
    for number, (action, target, parts) in enumerate(steps, start=1):
        yield Step(step=number, action=action, target=target, parts=parts)


class _Schedule:
    """The passes as steps, with parts and masks moved between them as little as they have to be."""

    def __init__(self, work: _Work, coatings: list[_Coating]) -> None:
        self.work = work
        self.coatings = coatings
        used = dict.fromkeys(mask for one in coatings for mask in one.masks)
        # masks that no pass has to do without: on before the strip, off after the last coat
        self.lasting = [mask for mask in used if not any(work.desk.harms(mask, one.wet) for one in coatings)]
        self.removed: dict[str, None] = {}
        self.on: dict[str, None] = {}

    def run(self) -> Iterator[_Bare]:
        """Every step in order: open up, protect, strip, paint, close up."""
        first = self.coatings[0].going.states.removed if self.coatings else frozenset[str]()
        yield from self._move(first | self._over_stripped())
        for mask in self.lasting:
            self.on[mask] = None
            yield "mask", (mask,), ()
        for zones in self._stripped_by_substrate().values():
            yield "strip", tuple(zones), ()
        for number, one in enumerate(self.coatings):
            states = one.going.states
            yield from self._move(states.removed)
            yield from self._mask(number)
            yield "coat", (one.going.coat_id,), (ONLY, *states.beside) if states.only else states.beside
        yield from self._move(frozenset())
        for mask in self.on:
            yield "unmask", (mask,), ()

    def _move(self, removed: frozenset[str]) -> Iterator[_Bare]:
        for part in self.work.around.removable:
            if part in removed and part not in self.removed:
                self.removed[part] = None
                yield "remove", (part,), ()
            elif part not in removed and part in self.removed:
                del self.removed[part]
                yield "fit", (part,), ()

    def _mask(self, number: int) -> Iterator[_Bare]:
        """Take off what is in the way of this pass or never needed again, put on what it needs."""
        later = {mask for one in self.coatings[number:] for mask in one.masks} | set(self.lasting)
        for mask in list(self.on):
            if mask not in later or self.work.desk.harms(mask, self.coatings[number].wet):
                del self.on[mask]
                yield "unmask", (mask,), ()
        for mask in self.coatings[number].masks:
            if mask not in self.on:
                self.on[mask] = None
                yield "mask", (mask,), ()

    def _over_stripped(self) -> frozenset[str]:
        """Removable parts that hide a face which is stripped."""
        stripped = {zone for zone, target in self.work.targets.zones.items() if target.strip}
        return frozenset(part for sight in self.work.around.sights if sight.zone in stripped for part, _ in sight.covers)

    def _stripped_by_substrate(self) -> dict[Substrate, list[str]]:
        """Zones to strip, one list for each substrate, because no method suits all."""
        record = self.work.record
        found: dict[Substrate, list[str]] = {}
        for zone_id, target in self.work.targets.zones.items():
            if target.strip:
                found.setdefault(record.part[record.zone[zone_id].part_id].substrate, []).append(zone_id)
        return found
