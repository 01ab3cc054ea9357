"""Prints a full-size template: a PDF whose millimetres are millimetres."""

from __future__ import annotations

from typing import Any

from bodymap.briefs.glyphs import first_of, lost
from bodymap.briefs.mask_pages import made_ready, texts_in
from bodymap.briefs.pdf_tail import printed_at_true_size
from bodymap.briefs.template_pages import template_pages
from bodymap.briefs.typeset import moment_of, pdf_of, pictures_of
from bodymap.model.journal import Head
from bodymap.units import MM_PER_INCH
from bodymap.views.line_strip_parts import LineStrip
from bodymap.views.template_sheets import TemplateSheets

_TEMPLATE = "template.typ"
_TOLD_MOST = 6
_PREVIEW_PPI, _PREVIEW_MOST_PX = 96.0, 1600.0


def template_pdf(view: TemplateSheets, head: Head | None, printed_at: str, strip: LineStrip | str | None = None) -> bytes:
    """The template as a tagged PDF; the same bytes for the same input.

    Args:
        view: what is on each sheet.
        head: where the journal stands: the issue of the print. None: the record has no journal, which is said.
        printed_at: ISO 8601 date or date-time of the print; one without an offset is taken as UTC.
        strip: the strip chart of a painted line, or in words why there is none; None: no such page.

    Raises:
        ValueError: `printed_at` is no ISO 8601 date or date-time.
    """
    return printed_at_true_size(pdf_of(_TEMPLATE, _data(view, head, printed_at, strip), moment_of(printed_at)))


def template_png(
    view: TemplateSheets, head: Head | None, printed_at: str, strip: LineStrip | str | None = None, ppi: float = 110
) -> list[bytes]:
    """The pages of the template as PNG pictures, for a preview; arguments as for `template_pdf`."""
    return pictures_of(_TEMPLATE, _data(view, head, printed_at, strip), ppi)


def first_page_png(view: TemplateSheets, head: Head | None, printed_at: str) -> bytes:
    """The first page as a PNG picture of at most 1600 pixels a side: the map of the sheets, or the one plotter page."""
    data = _data(view, head, printed_at, None)
    if view.overview is not None:
        data["sheets"] = []  # a whole side takes two hundred of them
    longest = max(view.frame.width_mm, view.frame.height_mm)
    return pictures_of(_TEMPLATE, data, min(_PREVIEW_PPI, _PREVIEW_MOST_PX * MM_PER_INCH / longest))[0]


def _data(view: TemplateSheets, head: Head | None, printed_at: str, strip: LineStrip | str | None) -> dict[str, Any]:
    pages = template_pages(view, head, moment_of(printed_at).date().isoformat(), strip)
    return {**made_ready(pages), "unprintable": first_of(lost(texts_in(pages)), _TOLD_MOST)}
