"""Prints the strip sheet: a PDF for the bench, or the same pages as pictures to look at first."""

from __future__ import annotations

from typing import Any

from bodymap.briefs.glyphs import first_of, lost
from bodymap.briefs.mask_pages import made_ready, texts_in
from bodymap.briefs.pdf_tail import printed_at_true_size
from bodymap.briefs.strip_pages import strip_pages
from bodymap.briefs.typeset import moment_of, pdf_of, pictures_of
from bodymap.model.journal import Head
from bodymap.progress import Step, silent
from bodymap.views.strip_sheet import StripSheetView

_TEMPLATE = "strip_sheet.typ"


def strip_sheet_pdf(view: StripSheetView, head: Head | None, printed_at: str) -> bytes:
    """The strip sheet as a tagged PDF, A4 or A3 upright; the same bytes for the same input.

    Args:
        view: what the sheet says.
        head: where the journal stands: the issue of the print. None: the record has no journal, which is said.
        printed_at: ISO 8601 date or date-time of the print; one without an offset is taken as UTC.

    Raises:
        ValueError: `printed_at` is no ISO 8601 date or date-time.
    """
    return printed_at_true_size(pdf_of(_TEMPLATE, _data(view, head, printed_at), moment_of(printed_at)))


def strip_sheet_print(
    view: StripSheetView, head: Head | None, printed_at: str, step: Step = silent, ppi: float = 90
) -> tuple[bytes, tuple[bytes, ...]]:
    """PDF and pages at once; arguments as for `strip_sheet_pdf`. `step` is told how far it is, and may stop it."""
    step("Setting the print", 0.0)
    data = _data(view, head, printed_at)
    pdf = printed_at_true_size(pdf_of(_TEMPLATE, data, moment_of(printed_at)))
    step("Drawing its pages for the screen", 0.5)
    pages = tuple(pictures_of(_TEMPLATE, data, ppi))
    step("Drawing its pages for the screen", 1.0)
    return pdf, pages


def unprintable(view: StripSheetView) -> tuple[str, ...]:
    """The characters in the sheet that the print cannot show, each by number and name; the sheet says so as well."""
    return lost(texts_in(strip_pages(view, None, "")))


def _data(view: StripSheetView, head: Head | None, printed_at: str) -> dict[str, Any]:
    pages = strip_pages(view, head, moment_of(printed_at).date().isoformat())
    return {**made_ready(pages), "unprintable": first_of(lost(texts_in(pages)))}
