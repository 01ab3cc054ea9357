"""The replay as one JSON object, with the keys that scripts rely on, and as lines to be read in a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bodymap.finish.replay import Piece, Replay
from bodymap.history.as_found import LayersSeen
from bodymap.model.record import Record
from bodymap.units import mm2_to_m2

Json = dict[str, Any]
_MM2_SHOWN = 10_000.0


def replay_json(result: Replay) -> Json:
    """What `bodymap replay --json` prints. `uncompared` are pieces of zones without a goal."""
    return {
        "match_mm2": result.match_mm2,
        "total_mm2": result.total_mm2,
        "pieces": [_piece(piece) for piece in result.pieces],
        "violations": [
            {"step": one.step, "area": one.area_id, "action": one.action, "area_mm2": one.area_mm2, "zone": one.zone_id}
            for one in result.violations
        ],
        "hand_work": [{"step": one.step, "zone": one.zone_id, "area_mm2": one.area_mm2} for one in result.hand_work],
        "uncompared": [_piece(piece) for piece in result.others],
        "notes": list(result.notes),
    }


def replay_lines(record: Record, result: Replay) -> Iterator[str]:
    """What `bodymap replay` prints for a reader: what is wrong and the guilty steps, and nothing of what is right."""
    share = result.match_mm2 / result.total_mm2 if result.total_mm2 else 1.0
    ends = f"{mm2_to_m2(result.match_mm2):.3f} of {mm2_to_m2(result.total_mm2):.3f} m² end as wanted ({share:.1%})"
    yield f"{ends}, drawn area" if result.total_mm2 else "no zone has a goal: nothing to compare"
    for piece in result.pieces:
        if piece.verdict != "match":
            title = record.zone[piece.zone_id].title
            yield f"  {piece.verdict}: {title} ({piece.zone_id}), {area_words(piece.area_mm2)}{_steps(piece)}"
            yield f"    is {stack_words(piece.stack)}; wanted {stack_words(piece.goal or ())}"
    for one in result.violations:
        yield (
            f"  violation: step {one.step} ({one.action}) goes over the kept area {one.area_id} in {one.zone_id}, "
            f"{area_words(one.area_mm2)}"
        )
    for work in result.hand_work:
        yield f"  by hand: step {work.step} leaves {area_words(work.area_mm2)} of {work.zone_id} to hand work (margin)"
    if result.without_goal:
        yield f"  not compared, no goal: {', '.join(result.without_goal)}"
    for note in result.notes:
        yield f"  note: {note}"


def stack_words(stack: LayersSeen) -> str:
    """Layers from the substrate outward in words.

    >>> stack_words((("n1", "full"), ("n4", "mist")))
    'n1 n4(mist)'
    """
    return " ".join(coat if extent == "full" else f"{coat}({extent})" for coat, extent in stack) or "bare"


def area_words(area_mm2: float) -> str:
    """An area in mm² where it is small, else in m²."""
    return f"{area_mm2:.0f} mm²" if area_mm2 < _MM2_SHOWN else f"{mm2_to_m2(area_mm2):.3f} m²"


def _piece(piece: Piece) -> Json:
    told: Json = {
        "zone": piece.zone_id,
        "stack": [list(layer) for layer in piece.stack],
        "area_mm2": piece.area_mm2,
        "kept": piece.kept,
    }
    if piece.verdict is not None:
        told |= {
            "goal": [list(layer) for layer in piece.goal or ()],
            "verdict": piece.verdict,
            "steps": list(piece.steps),
        }
    if not piece.known:
        told["start"] = "not seen"
    return told


def _steps(piece: Piece) -> str:
    if not piece.steps:
        return ", as found" if piece.known else ", never seen to the substrate"
    return f", by step{'s' if len(piece.steps) > 1 else ''} {', '.join(map(str, piece.steps))}"
