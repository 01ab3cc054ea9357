"""The method of a strip, stated for zones: the strip steps of a plan told anew, and nothing else of it.

A step has one method. Zones that get another one leave their step; they join a strip step with that method which stands
beside it, with nothing but strips between (what is fitted and masked is the same there), or else get a step of their own
right behind it. Later steps move on by one number only as far as there is no gap.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from bodymap.finish.methods import METHODS, method_refusal
from bodymap.model.plan import Step, StripMethod
from bodymap.model.record import Record


def refusals(record: Record, zones: Collection[str], method: StripMethod) -> tuple[str, ...]:
    """Why a method must not be used on some of these zones, one sentence for each part."""
    parts = dict.fromkeys(record.zone[zone].part_id for zone in zones)
    found = ((record.part[part], method_refusal(method, record.part[part].substrate)) for part in parts)
    return tuple(f"{part.name} is not to be stripped by {METHODS[method].words}: {why}" for part, why in found if why)


def with_method(record: Record, zones: Sequence[str], method: StripMethod) -> tuple[Step, ...]:
    """The plan of a record in which these zones are stripped by this method.

    A zone that several steps strip gets it in each of them. Zones that no step strips yet go to the first strip step with
    this method, or to a new step: before the first coat, or last where nothing is coated.
    """
    wanted = list(dict.fromkeys(zones))
    steps = sorted(record.steps, key=lambda step: step.step)
    planned = {zone for step in steps if step.action == "strip" for zone in step.target}
    while (place := _otherwise(steps, wanted, method)) is not None:
        steps = _restated(steps, place, wanted, method)
    missing = tuple(zone for zone in wanted if zone not in planned)
    return tuple(_added(steps, missing, method) if missing else steps)


def _otherwise(steps: Sequence[Step], wanted: Collection[str], method: StripMethod) -> int | None:
    """Where the first step stands that strips something of what is wanted by another method."""
    for place, step in enumerate(steps):
        if step.action == "strip" and step.method != method and set(step.target) & set(wanted):
            return place
    return None


def _restated(steps: list[Step], place: int, wanted: Collection[str], method: StripMethod) -> list[Step]:
    step = steps[place]
    moved = tuple(zone for zone in step.target if zone in wanted)
    stays = tuple(zone for zone in step.target if zone not in wanted)
    beside = _beside(steps, place, method)
    if beside is not None:
        joined = steps[beside].model_copy(update={"target": tuple(dict.fromkeys((*steps[beside].target, *moved)))})
        left = [step.model_copy(update={"target": stays})] if stays else []
        told = {place: left, beside: [joined]}
        return [one for at, old in enumerate(steps) for one in told.get(at, [old])]
    if not stays:
        return [*steps[:place], step.model_copy(update={"method": method}), *steps[place + 1 :]]
    own = Step(step=step.step + 1, action="strip", target=moved, method=method)
    return [*steps[:place], step.model_copy(update={"target": stays}), own, *_moved_on(steps[place + 1 :], own.step)]


def _beside(steps: Sequence[Step], place: int, method: StripMethod) -> int | None:
    """A strip step with this method before or behind a step, with only strips between them."""
    for way in (1, -1):
        at = place + way
        while 0 <= at < len(steps) and steps[at].action == "strip":
            if steps[at].method == method:
                return at
            at += way
    return None


def _added(steps: list[Step], zones: tuple[str, ...], method: StripMethod) -> list[Step]:
    for place, step in enumerate(steps):
        if step.action == "strip" and step.method == method:
            return [*steps[:place], step.model_copy(update={"target": (*step.target, *zones)}), *steps[place + 1 :]]
    place = next((at for at, step in enumerate(steps) if step.action == "coat"), len(steps))
    number = steps[place].step if place < len(steps) else (steps[-1].step + 1 if steps else 1)
    own = Step(step=number, action="strip", target=zones, method=method)
    return [*steps[:place], own, *_moved_on(steps[place:], own.step)]


def _moved_on(steps: Sequence[Step], taken: int) -> list[Step]:
    """The steps behind a number that is taken, moved on by one as far as there is no gap."""
    moved = []
    for step in steps:
        number = max(step.step, taken + 1)
        moved.append(step if number == step.step else step.model_copy(update={"step": number}))
        taken = number
    return moved
