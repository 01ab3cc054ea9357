"""Prints the mask brief: a PDF for the booth wall, or the same pages as pictures to look at first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bodymap.briefs.glyphs import first_of, lost
from bodymap.briefs.mask_pages import made_ready, pages_of, texts_in
from bodymap.briefs.pdf_tail import printed_at_true_size
from bodymap.briefs.photographs import print_ready
from bodymap.briefs.typeset import moment_of, pdf_of, pictures_of
from bodymap.model.journal import Head
from bodymap.progress import Step, silent, spread, stretch
from bodymap.views.brief import BriefView

_TEMPLATE = "mask_brief.typ"
# The largest frame a picture gets on its page.
_PHOTO_MM = (190.0, 110.0)


@dataclass(frozen=True)
class Printed:
    """A print as PDF, and its pages as PNG pictures."""

    pdf: bytes
    pages: tuple[bytes, ...]


def mask_brief_pdf(
    view: BriefView,
    head: Head | None,
    printed_at: str,
    photos: Mapping[str, bytes] | None = None,
    step: Step = silent,
) -> bytes:
    """The mask brief as a tagged A4 PDF; the same bytes for the same input.

    Args:
        view: what the brief says.
        head: where the journal stands: the issue of the print. None: the record has no journal, which is said.
        printed_at: ISO 8601 date or date-time of the print; one without an offset is taken as UTC.
        photos: picture files by the name of their media file (`view.photo_files`); what is not there, or is no picture, is
            named on the sheet and said to be missing.
        step: is told how far it is; what it raises stops the work.

    Raises:
        ValueError: `printed_at` is no ISO 8601 date or date-time.
    """
    names, ready = _made_ready(view, photos or {}, stretch(step, 0.0, 0.4))
    step("Setting the print", 0.4)
    data = _data(view, head, printed_at, names)
    made = printed_at_true_size(pdf_of(_TEMPLATE, data, moment_of(printed_at), ready))
    step("Setting the print", 1.0)
    return made


def mask_brief_print(
    view: BriefView, head: Head | None, printed_at: str, photos: Mapping[str, bytes], step: Step = silent, ppi: float = 110
) -> Printed:
    """PDF and pages at once: the pictures are made ready and the pages set but once. Arguments as for `mask_brief_pdf`."""
    names, ready = _made_ready(view, photos, stretch(step, 0.0, 0.25))
    step("Setting the print", 0.25)
    data = _data(view, head, printed_at, names)
    pdf = printed_at_true_size(pdf_of(_TEMPLATE, data, moment_of(printed_at), ready))
    step("Drawing its pages for the screen", 0.5)
    pages = tuple(pictures_of(_TEMPLATE, data, ppi, ready))
    step("Drawing its pages for the screen", 1.0)
    return Printed(pdf, pages)


def mask_brief_png(
    view: BriefView, head: Head | None, printed_at: str, ppi: float = 110, photos: Mapping[str, bytes] | None = None
) -> list[bytes]:
    """The pages of the mask brief as PNG pictures, for a preview; arguments as for `mask_brief_pdf`."""
    names, ready = _made_ready(view, photos or {})
    return pictures_of(_TEMPLATE, _data(view, head, printed_at, names), ppi, ready)


def _made_ready(
    view: BriefView, photos: Mapping[str, bytes], step: Step = silent
) -> tuple[dict[str, str], dict[str, bytes]]:
    """Names beside the template by media file, and the pictures by those names: sized, upright, without EXIF."""

    def sized(file: str) -> bytes | None:
        return print_ready(photos[file], *_PHOTO_MM) if file in photos else None

    names, ready = {}, {}
    made = spread(sized, view.photo_files, "Sizing the pictures for the print", step)
    for number, (file, picture) in enumerate(made):
        if picture:
            names[file] = f"photo-{number}.jpg"
            ready[names[file]] = picture
    return names, ready


def unprintable(view: BriefView) -> tuple[str, ...]:
    """The characters in the brief that the print cannot show, each by number and name; the sheet says so as well."""
    return lost(texts_in(pages_of(view, None, "")))


def _data(view: BriefView, head: Head | None, printed_at: str, photos: Mapping[str, str]) -> dict[str, Any]:
    pages = pages_of(view, head, moment_of(printed_at).date().isoformat(), photos)
    return {**made_ready(pages), "unprintable": first_of(lost(texts_in(pages)))}
