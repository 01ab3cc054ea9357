"""Whether a patch ended as it should, and which steps made it other than that."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from itertools import zip_longest
from typing import Literal

from bodymap.finish.patches import Laid, Patch
from bodymap.history.as_found import LayersSeen
from bodymap.model.stack import Extent

Verdict = Literal["match", "missing", "extra", "order", "kept harmed"]
_RANK: dict[Extent, int] = {"none": 0, "mist": 1, "full": 2}


def stack_of(patch: Patch) -> LayersSeen:
    """(coat_id, extent) of the layers on a patch, from the substrate outward."""
    return tuple((laid.coat_id, laid.extent) for laid in patch.layers)


def verdict_of(patch: Patch, goal: LayersSeen) -> Verdict:
    """Inside a kept area: whether anything was laid. Elsewhere: `missing` before `extra` before `order`.

    Where the start is not known, a stack that looks like the goal is not one: what lies below was never seen.
    """
    if patch.kept:
        return "kept harmed" if any(laid.step is not None for laid in patch.layers) else "match"
    stack = stack_of(patch)
    if stack == goal and patch.known:
        return "match"
    lacking, surplus = lacks(goal, stack), lacks(stack, goal)
    if lacking or (not surplus and not patch.known):
        return "missing"
    return "extra" if surplus else "order"


def lacks(wanted: LayersSeen, there: LayersSeen) -> frozenset[str]:
    """Coats of which `wanted` has a layer that `there` has not, or has as mist only."""
    want, have = _ranks(wanted), _ranks(there)
    return frozenset(
        coat for coat, ranks in want.items() if any(w > h for w, h in zip_longest(ranks, have[coat], fillvalue=0))
    )


def guilty(patch: Patch, goal: LayersSeen, verdict: Verdict) -> tuple[int, ...]:
    """The steps that made a patch other than its goal, in order; empty where none did (it was so as found)."""
    if verdict == "match":
        return ()
    if verdict == "kept harmed":
        return _steps(patch.layers)
    stack = stack_of(patch)
    if verdict == "order":
        wrong = [place for place, (got, want) in enumerate(zip(stack, goal, strict=True)) if got != want]
        return _steps(patch.layers[wrong[0] : wrong[-1] + 1])
    surplus = lacks(stack, goal)
    steps = set(_steps(laid for laid in patch.layers if laid.coat_id in surplus))
    for coat in lacks(goal, stack):
        steps |= _kept_off(patch, coat)
    return tuple(sorted(steps))


def _kept_off(patch: Patch, coat: str) -> set[int]:
    """Why a coat is not there, or only as mist: the step that sprayed past, and what was in its way; else the strip."""
    steps: set[int] = set()
    for missed in patch.missed:
        if missed.coat_id == coat:
            steps |= {missed.step, *missed.because}
    for laid in patch.layers:
        if laid.coat_id == coat and laid.step is not None and laid.extent == "mist":
            steps |= {laid.step, *laid.because}
    if not steps and coat in patch.lost and patch.stripped is not None:
        steps.add(patch.stripped)
    return steps


def _steps(layers: Iterable[Laid]) -> tuple[int, ...]:
    return tuple(sorted({laid.step for laid in layers if laid.step is not None}))


def _ranks(layers: LayersSeen) -> dict[str, list[int]]:
    """How far each layer of a coat goes, the fullest first."""
    ranks: dict[str, list[int]] = defaultdict(list)
    for coat, extent in sorted(layers, key=lambda layer: -_RANK[layer[1]]):
        ranks[coat].append(_RANK[extent])
    return ranks
