"""Steps of the repaint plan in words: what is done to what, as a list shows it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bodymap.finish.verdict import Verdict
from bodymap.history.as_found import LayersSeen
from bodymap.model import Record, Step
from bodymap.model.plan import Action, StripMethod

AS_FOUND = "As found, before the first step"
ACTIONS: Mapping[Action, str] = {
    "remove": "Take off",
    "fit": "Fit",
    "mask": "Mask",
    "unmask": "Unmask",
    "strip": "Strip",
    "coat": "Coat",
}
METHODS: Mapping[StripMethod, str] = {
    "blast": "blasting",
    "soft_media": "soft media",
    "chemical": "paint stripper",
    "blade": "blade",
    "hand": "by hand",
}
VERDICTS: Mapping[Verdict, str] = {
    "match": "as wanted",
    "missing": "coat missing",
    "extra": "coat too many",
    "order": "wrong order",
    "kept harmed": "kept area harmed",
}
_NAMED = 3


def step_words(record: Record, step: Step, *, short: bool = False) -> str:
    """One step in one line, without its number; `short`: also without the parts painted beside the vehicle.

    What a target is called that the record has not (any more) is its id.
    """
    return f"{ACTIONS[step.action]} {_target(record, step)}{'' if short else _beside(record, step)}"


def _target(record: Record, step: Step) -> str:
    if step.action in ("remove", "fit"):
        names = [record.part[one].name if one in record.part else one for one in step.target]
    elif step.action in ("mask", "unmask"):
        names = [record.area[one].title if one in record.area else one for one in step.target]
    elif step.action == "coat":
        names = [record.coat[one].name if one in record.coat else one for one in step.target]
    else:
        names = [record.zone[one].title if one in record.zone else one for one in step.target]
    how = f" ({METHODS[step.method]})" if step.method else ""
    return listed(names) + how


def _beside(record: Record, step: Step) -> str:
    if not step.parts:
        return ""
    beside = listed([record.part[one].name if one in record.part else one for one in step.parts_beside])
    return f": only {beside}, beside the vehicle" if step.parts_only else f", and beside the vehicle {beside}"


def listed(names: Sequence[str], most: int = _NAMED) -> str:
    """The first few names, and how many more there are.

    >>> listed(["a", "b", "c", "d", "e"])
    'a, b, c and 2 more'
    """
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def stack_said(record: Record, stack: LayersSeen) -> str:
    """Layers from the substrate outward by the names of their coats."""
    said = [
        f"{record.coat[coat].name if coat in record.coat else coat}{' (mist)' if extent == 'mist' else ''}"
        for coat, extent in stack
    ]
    return " › ".join(said) or "bare"


def stack_ids(stack: LayersSeen) -> str:
    """Layers from the substrate outward by their ids.

    >>> stack_ids((("n1", "full"), ("n4", "mist")))
    'n1 › n4 (mist)'
    """
    return " › ".join(f"{coat} (mist)" if extent == "mist" else coat for coat, extent in stack) or "bare"


def steps_said(steps: Sequence[int]) -> str:
    """Guilty steps: `step 30`, `steps 1, 30`; where none is, it was so as found."""
    if not steps:
        return "as found"
    return f"step{'s' if len(steps) > 1 else ''} {', '.join(map(str, steps))}"
