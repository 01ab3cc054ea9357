"""Prints the quantities of a repaint: what to buy, what each step takes, and what every figure rests on."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from bodymap.briefs.glyphs import first_of, lost
from bodymap.briefs.mask_pages import issue_of, made_ready, shortened, texts_in
from bodymap.briefs.pdf_tail import printed_at_true_size
from bodymap.briefs.typeset import moment_of, pdf_of
from bodymap.model.journal import Head
from bodymap.views.quantities_sheet import QuantitiesView

_TEMPLATE = "quantities.typ"
_NAME_MOST = 70
Data = dict[str, Any]


def quantities_pdf(view: QuantitiesView, head: Head | None, printed_at: str) -> bytes:
    """The quantities as a tagged A4 PDF; the same bytes for the same input.

    Args:
        view: what the sheet says.
        head: where the journal stands: the issue of the print. None: the record has no journal, which is said.
        printed_at: ISO 8601 date or date-time of the print; one without an offset is taken as UTC.

    Raises:
        ValueError: `printed_at` is no ISO 8601 date or date-time.
    """
    return printed_at_true_size(pdf_of(_TEMPLATE, _data(view, head, printed_at), moment_of(printed_at)))


def unprintable(view: QuantitiesView) -> tuple[str, ...]:
    """The characters in the sheet that the print cannot show, each by number and name; the sheet says so as well."""
    return lost(texts_in(_pages(view, None, "")))


def _data(view: QuantitiesView, head: Head | None, printed_at: str) -> Data:
    pages = _pages(view, head, moment_of(printed_at).date().isoformat())
    return {**made_ready(pages), "unprintable": first_of(lost(texts_in(pages)))}


def _pages(view: QuantitiesView, head: Head | None, printed_on: str) -> Data:
    return {
        "title": f"Quantities: {view.vehicle}",
        "vehicle": shortened(view.vehicle, 80),
        "issue": issue_of(head),
        "printed": printed_on,
        "totals": [{**asdict(row), "name": shortened(row.name, _NAME_MOST)} for row in view.totals],
        "coats": [
            {**asdict(row), "name": shortened(row.name, _NAME_MOST), "lacks": list(row.lacks), "basis": []}
            for row in view.coats
        ],
        "strips": [{**asdict(row), "basis": []} for row in view.strips],
        "strip_totals": [list(row) for row in view.strip_totals],
        "masks": [{**asdict(row), "title": shortened(row.title, _NAME_MOST), "basis": []} for row in view.masks],
        "tape_totals": [list(row) for row in view.tape_totals],
        "film_total": view.film_total,
        "basis": list(_basis(view)),
        "notes": list(view.notes),
        "cautions": list(view.cautions),
    }


def _basis(view: QuantitiesView) -> Iterable[Data]:
    """What the figures rest on: a line that holds for several steps is printed once, with all of them."""
    held: dict[str, dict[str, list[str]]] = {kind: defaultdict(list) for kind in ("Paint", "Strip", "Masks")}
    for kind, rows in (("Paint", view.coats), ("Strip", view.strips), ("Masks", view.masks)):
        for row in rows:
            for line in row.basis:
                held[kind][line].append(str(row.step))
    for kind, lines in held.items():
        if lines:
            yield {"kind": kind, "lines": [{"text": text, "steps": ", ".join(steps)} for text, steps in lines.items()]}
