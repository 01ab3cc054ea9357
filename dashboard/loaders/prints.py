"""The mask brief, made once for each state of the record."""

from __future__ import annotations

from dataclasses import dataclass

from bodymap.briefs.mask_brief import mask_brief_print, unprintable
from bodymap.progress import Step, silent, stretch
from bodymap.views.brief import BriefView, brief_view
from dashboard.loaders import Opened, media_bytes, moment, once
from dashboard.loaders.templates import head_of_print

_BRIEFS = 2


@dataclass(frozen=True)
class MaskBrief:
    """The mask brief as it is shown and as it is printed. `notes`: what the print cannot show."""

    view: BriefView
    pdf: bytes
    pages: tuple[bytes, ...]
    notes: tuple[str, ...]


@once(_BRIEFS)
def mask_brief(now: Opened, _step: Step = silent) -> MaskBrief:
    """The mask brief of the record as it stands. Raises BodymapError, in words."""
    view = brief_view(now.record, now.settings, step=stretch(_step, 0.0, 0.25))
    photos = media_bytes(now, view.photo_files)
    made = mask_brief_print(view, head_of_print(now), moment(), photos, stretch(_step, 0.25, 1.0))
    return MaskBrief(view, made.pdf, made.pages, unprintable(view))
