"""Short cautions, and which of them a job calls for. Reminders only: product data sheets and local law come first."""

from __future__ import annotations

from collections.abc import Collection, Mapping

CAUTIONS: Mapping[str, str] = {
    "old finish": (
        "Old finishes may hold lead or chromate. Test before sanding; wet methods and a fitted respirator keep dust out of "
        "the air. Local law decides what is allowed."
    ),
    "two-pack": (
        "Two-pack paints and many lacquers contain isocyanates. Do not spray them without supplied air and a tested booth."
    ),
    "stripper": (
        "Strippers with dichloromethane are banned or restricted in many places. Check the label and your local rules first."
    ),
    "blasting": (
        "Blast only with media free of silica, in a closed booth with supplied air. Dust from old paint may hold lead; its "
        "waste goes to a licensed place."
    ),
    "aluminium": "Aluminium dust and sparks from steel burn together. Keep tools, media and extraction for aluminium apart.",
    "grp": "Dust of GRP harms skin and lungs. Work wet or with extraction; no open flame, no heat gun.",
    "spraying": (
        "Spray mist and solvent vapour burn. No flames, sparks or unprotected electrics; ventilate; keep an extinguisher."
    ),
    "old sealer": (
        "Old sealer, undercoat or sound-deadening may contain asbestos. Do not scrape or sand until a laboratory says "
        "otherwise."
    ),
    "dust": "Dust from filler and paint harms the lungs. Extract it at the source.",
    "always": (
        "These notes are reminders, not a safety plan. Product data sheets, your local code and a qualified person take "
        "precedence."
    ),
}


def cautions_for(work: Collection[str]) -> tuple[str, ...]:
    """The cautions for the kinds of work named (keys of CAUTIONS), in the order of CAUTIONS; `always` is always there."""
    unknown = set(work) - set(CAUTIONS)
    if unknown:
        raise KeyError(f"no caution for {', '.join(sorted(unknown))}")
    return tuple(words for key, words in CAUTIONS.items() if key in work or key == "always")
