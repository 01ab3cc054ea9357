"""The kinds of masking edge in words: what each looks like, how it is made, how it fails and what to look at after.

Common practice of the trade, no source. Tolerances are settings, so that a shop can have its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class EdgeWords:
    """One kind of edge: `tape` says which tape makes the edge, `to_be_stated` what the record has no column for."""

    title: str
    make: str
    fails: str
    check: str
    tape: str
    fine_line: bool
    tolerance_key: str
    to_be_stated: tuple[str, ...] = ()


EDGE_WORDS: Mapping[str, EdgeWords] = {
    "hard": EdgeWords(
        "Hard taped edge",
        "Fine-line tape on the line, then wide tape behind it. Never bridge an inside corner. Burnish the edge only.",
        "bleed under the tape, old paint lifted with it, a ridge",
        "Raking light and lens along the edge; offsets against this sheet.",
        "fine-line tape",
        fine_line=True,
        tolerance_key="edge_hard_tolerance_mm",
    ),
    "soft": EdgeWords(
        "Soft edge (foam)",
        "Foam roll along the line, no paper edge. Do not crush the foam.",
        "foam fibre in the paint, a hard line where the foam was crushed",
        "Width of the fade and its centre; lens for fibre.",
        "foam roll",
        fine_line=False,
        tolerance_key="edge_soft_tolerance_mm",
        to_be_stated=("width of the fade",),
    ),
    "part_edge": EdgeWords(
        "Wrap round a part edge",
        "Take the film round the edge by the stated depth and no further; mask the back face.",
        "film bridges the joint and chips when it is opened",
        "Open the joint early; measure the wrap.",
        "masking tape",
        fine_line=False,
        tolerance_key="edge_part_tolerance_mm",
        to_be_stated=("wrap depth", "tape width"),
    ),
    "body_line": EdgeWords(
        "Edge on a body line",
        "Tape to the named side of the crest or root, all along.",
        "the line wanders across the radius",
        "Sight along it from both ends.",
        "fine-line tape",
        fine_line=True,
        tolerance_key="edge_body_line_tolerance_mm",
        to_be_stated=("crest or root",),
    ),
    "left_in_seal": EdgeWords(
        "Under a seal that stays in",
        "Tape on the rubber, tucked flush. Do NOT lift the lip; never beyond the lip.",
        "creep under the lip, a torn lip, grit in the paint",
        "Feeler along the lip; photo.",
        "masking tape",
        fine_line=False,
        tolerance_key="edge_seal_tolerance_mm",
        to_be_stated=("tape width",),
    ),
}

NOT_STATED = EdgeWords(
    "Edge kind not stated",
    "Do not tape yet: ask which kind of edge this is.",
    "",
    "Ask before taping.",
    "tape not chosen yet",
    fine_line=False,
    tolerance_key="",
)

CHECKS_AFTER = (
    "Paired photo with scale, same light as before.",
    "Kept surface unchanged: gloss, lens.",
    "No adhesive left. Signed the same day.",
)


def edge_words(edge: str | None) -> EdgeWords:
    """The words for a kind of edge; for a blank, that it is not stated."""
    return NOT_STATED if edge is None else EDGE_WORDS[edge]
