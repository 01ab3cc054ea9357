"""What the mask brief screen reads of full-size templates and painted lines."""

from __future__ import annotations

from dataclasses import dataclass

import plotly.graph_objects as go

from bodymap.briefs.template_print import first_page_png, template_pdf
from bodymap.errors import BodymapError
from bodymap.exchange.template_dxf import template_dxf
from bodymap.exchange.template_svg import template_svg
from bodymap.model import Head
from bodymap.progress import Step, silent, stretch
from bodymap.views.line_strip import LineStrip, line_strip
from bodymap.views.template import Template, template_of
from bodymap.views.template_page import TemplateChoice
from bodymap.views.template_sheets import template_sheets
from bodymap.views.template_whole import template_whole
from dashboard.figures.line_strip import line_strip_figure
from dashboard.loaders import Opened, faults_of, moment, once

_PRINTS, _STRIPS = 2, 24
NO_JOURNAL = "not stated (no journal)"


@dataclass(frozen=True)
class TemplatePrint:
    """A template, made: its files, its first page as a picture, and what the sheets come to.

    `page_mm`: width and height of one sheet; `no_strip`: why a painted line has no strip chart.
    """

    template: Template
    sheets: int
    empty: int
    page_mm: tuple[float, float]
    pdf: bytes
    svg: bytes
    dxf: bytes
    first_page: bytes
    no_strip: str


@once(_PRINTS)
def template_print(
    now: Opened,
    ident: str,
    choice: TemplateChoice,
    mirror: bool,  # noqa: FBT001
    _step: Step = silent,
) -> TemplatePrint:
    """The template of one thing. Raises BodymapError, in words."""
    _step("Gathering what is printed", 0.0)
    template = template_of(now.record, ident, now.settings, mirror=mirror)
    view = template_sheets(template, now.settings, choice, stretch(_step, 0.1, 0.3))
    head, at = head_of_print(now), moment()
    strip, why = _strip_or_why(now, template)
    whole = template_whole(template, head.short if head else NO_JOURNAL, at[:10])
    _step("Setting the print", 0.3)
    return TemplatePrint(
        template,
        len(view.sheets),
        view.empty,
        (view.frame.width_mm, view.frame.height_mm),
        template_pdf(view, head, at, strip or (why or None)),
        template_svg(whole),
        template_dxf(whole),
        first_page_png(view, head, at),
        why,
    )


def head_of_print(now: Opened) -> Head | None:
    """Where the journal stands, for a print; None where it is none that fits the record."""
    return now.head if now.head.count and not (now.path.is_dir() and faults_of(now)) else None


def _strip_or_why(now: Opened, template: Template) -> tuple[LineStrip | None, str]:
    if template.kind != "line":
        return None, ""
    try:
        return strip(now, template.ident, None, None), ""
    except BodymapError as error:
        return None, f"No strip chart: {error}"


@once(_STRIPS)
def strip(now: Opened, line_id: str, datum_id: str | None, twin_id: str | None) -> LineStrip:
    """The strip chart of a painted line. Raises BodymapError, in words."""
    return line_strip(now.record, line_id, now.settings, datum_id=datum_id, twin_id=twin_id)


@once(_STRIPS)
def strip_figure(now: Opened, line_id: str, datum_id: str | None, twin_id: str | None, theme: str) -> go.Figure:
    """The same, drawn."""
    return line_strip_figure(strip(now, line_id, datum_id, twin_id), theme)
