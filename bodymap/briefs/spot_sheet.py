"""Prints the spot sheet: route and map, a table to write the readings in by hand, and a sheet of numbered stickers."""

from __future__ import annotations

from typing import Any

from bodymap.briefs.drawn import drawn
from bodymap.briefs.glyphs import first_of, lost
from bodymap.briefs.mask_pages import issue_of, made_ready, shortened, texts_in
from bodymap.briefs.pdf_tail import printed_at_true_size
from bodymap.briefs.typeset import moment_of, pdf_of
from bodymap.model.journal import Head
from bodymap.views.spot_sheet import SpotRow, SpotSheet, SpotZone

_TEMPLATE = "spot_sheet.typ"
_NOTES_MOST = 8
_CELLS_MOST = 3


def spot_sheet_pdf(view: SpotSheet, head: Head | None, printed_at: str) -> bytes:
    """The spot sheet as a tagged A4 PDF; the same bytes for the same input.

    Args:
        view: what is on it.
        head: where the journal stands: the issue of the print. None: the record has no journal, which is said.
        printed_at: ISO 8601 date or date-time of the print; one without an offset is taken as UTC.

    Raises:
        ValueError: `printed_at` is no ISO 8601 date or date-time.
    """
    return printed_at_true_size(pdf_of(_TEMPLATE, _data(view, head, printed_at), moment_of(printed_at)))


def unprintable(view: SpotSheet) -> tuple[str, ...]:
    """The characters on the sheet that the print cannot show, each by number and name; the sheet says so as well."""
    return lost(texts_in(_pages(view, None, "")))


def _data(view: SpotSheet, head: Head | None, printed_at: str) -> dict[str, Any]:
    pages = _pages(view, head, moment_of(printed_at).date().isoformat())
    return {**made_ready(pages), "unprintable": first_of(lost(texts_in(pages)))}


def _pages(view: SpotSheet, head: Head | None, printed_on: str) -> dict[str, Any]:
    left_out = len(view.notes) - _NOTES_MOST
    return {
        "title": f"Spot sheet: {view.vehicle}",
        "vehicle": shortened(view.vehicle, 80),
        "issue": issue_of(head),
        "printed": printed_on,
        "standard": view.standard,
        "spots": view.spots,
        "readings": view.readings,
        "cells": min(view.repeats_most, _CELLS_MOST),
        "edge": f"{view.edge_mm:g}",
        "notes": [
            *(shortened(note, 600) for note in view.notes[:_NOTES_MOST]),
            *([f"and {left_out} more"] if left_out > 0 else []),
        ],
        "drawings": [
            {
                "name": shortened(drawing.name, 60),
                "estimate": drawing.estimate,
                "scale": f"1 : {drawing.picture.scale:g}",
                "picture": drawn(drawing.picture),
                "zones": [_zone(zone) for zone in drawing.zones],
            }
            for drawing in view.drawings
        ],
        "stickers": [{"number": str(number), "zone": shortened(zone, 34)} for number, zone in view.stickers],
    }  # fmt: skip


def _zone(zone: SpotZone) -> dict[str, Any]:
    return {
        "title": shortened(zone.title, 60),
        "part": shortened(zone.part, 50),
        "gauge": f"{zone.gauge} gauge, on {zone.substrate}" if zone.gauge else f"on {zone.substrate}",
        "why": zone.why,
        "rows": [_row(row) for row in zone.rows],
    }


def _row(row: SpotRow) -> dict[str, Any]:
    return {
        "number": str(row.number),
        "across": "" if row.across_mm is None else f"{row.across_mm:.0f}",
        "up": "" if row.up_mm is None else f"{row.up_mm:.0f}",
        "twin": str(row.twin) if row.twin else "–",
        "repeats": row.repeats,
    }
