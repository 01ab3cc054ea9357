"""Tape and masking film that the plan takes, by step: every time a mask is put on, it is taped anew."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bodymap.model import Record, Step
from bodymap.settings import Settings
from bodymap.units import mm_to_m
from bodymap.views.brief import film_need
from bodymap.views.brief_pieces import TapeRow, behind_m, piece_rows, tape_rows, tape_total
from bodymap.views.edge_words import edge_words

_FIGURES = ("tape_lap_pct", "mask_film_lap_pct")


@dataclass(frozen=True)
class MaskMaterials:
    """What one mask step takes, laps included.

    `tape`: metres by tape, along the edge; `behind_m`: wide tape behind fine-line tape; `film_m2`: masking film.
    `basis`: what the figures rest on. `estimate`: the area is on a schematic drawing.
    """

    step: int
    area_id: str
    title: str
    tape: tuple[TapeRow, ...]
    behind_m: float
    film_m2: float
    basis: tuple[str, ...]
    estimate: bool


def mask_materials(record: Record, settings: Settings, steps: Iterable[Step] | None = None) -> tuple[MaskMaterials, ...]:
    """Tape and film of every mask step of the record's plan (or of other steps), in the order of their numbers."""
    planned = sorted(record.steps if steps is None else steps, key=lambda step: step.step)
    return tuple(_materials(record, settings, step) for step in planned if step.action == "mask")


def _materials(record: Record, settings: Settings, step: Step) -> MaskMaterials:
    area = record.area[step.target[0]]
    pieces, film = piece_rows(area, edge_words(area.edge), settings), film_need(record, area, settings)
    basis = [f"edge {mm_to_m(sum(piece.length_mm for piece in pieces)):.2f} m, surface {film.surface_m2:.2f} m²"]
    for key in _FIGURES:
        figure = settings.figures[key]
        basis.append(f"{figure.value:g} % {figure.meaning}: {figure.basis}; {figure.source or 'no source stated'}")
    if area.edge is None:
        basis.append("kind of edge not stated: no tape chosen")
    if film.not_measured:
        basis.append(f"{', '.join(film.not_measured)}: no measured surface ratio, counted as flat")
    drawing = record.drawing[area.drawing_id]
    return MaskMaterials(
        step.step,
        area.area_id,
        area.title,
        tape_rows(pieces, settings),
        behind_m(pieces, settings),
        film.with_lap_m2,
        tuple(basis),
        drawing.schematic,
    )


def tape_of_all(rows: Iterable[MaskMaterials]) -> tuple[TapeRow, ...]:
    """Metres of each tape over all steps; wide tape behind fine-line tape is one of them."""
    rows = tuple(rows)
    behind = sum(row.behind_m for row in rows)
    return tape_total(
        [tape for row in rows for tape in row.tape] + ([TapeRow("wide tape behind", behind)] if behind else [])
    )
