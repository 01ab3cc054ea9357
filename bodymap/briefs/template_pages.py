"""A full-size template as plain data for the typesetter: texts ready to print."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from bodymap.briefs.drawn import drawn
from bodymap.briefs.mask_pages import issue_of, shortened
from bodymap.model.journal import Head
from bodymap.views.line_strip_chart import TRACKS, strip_chart
from bodymap.views.line_strip_parts import LineStrip
from bodymap.views.template import Template
from bodymap.views.template_sheets import Sheet, TemplateSheets

Data = dict[str, Any]
# A hundredth of the width of the thinnest line; a template is exact to what its lines can show.
_DIGITS = 4
_CROSS = ("cross", "cross: lay on that of the neighbour")
_CHART_MM, _CHART_LOW_MM = (194.0, 92.0), 66.0
_ROWS_MOST, _ROWS_MOST_LOW = 48, 24
_LEGEND = (
    ("edge", "edge: cut and mark here"),
    ("centre", "centre of the line"),
    ("hatch", "the side that stays or is covered"),
    ("margin", "margin worked by hand only"),
    ("datum", "datum: lay the template by it"),
    ("other", "other areas"),
    ("shut_line", "shut line"),
    ("body_line", "body line"),
    ("zone", "edge of a zone"),
    ("finding", "finding"),
)


def template_pages(view: TemplateSheets, head: Head | None, printed_on: str, strip: LineStrip | str | None = None) -> Data:
    """The whole print as data, its texts as they stand in the record; `strip`: of a painted line, or why there is none."""
    template, count = view.template, len(view.sheets)
    styles = _styles(view)
    return {
        "title": f"Full-size template: {template.title}",
        "name": shortened(template.title, 90),
        "ident": template.ident,
        "drawing": shortened(template.drawing, 60),
        "vehicle": shortened(template.vehicle, 60),
        "issue": issue_of(head),
        "printed": printed_on,
        "banners": list(template.banners),
        "stays": template.stays,
        "short": " ".join(_short(template)),
        "corrected": _corrected(view.factors),
        "frame": asdict(view.frame),
        "bars_mm": list(view.bars_mm),
        "cross_mm": view.cross_mm,
        "plotter": view.overview is None,
        "count_words": sheets_words(count, view.empty),
        "steps": _steps(view),
        "legend": [list(row) for row in _LEGEND if row[0] in styles] + ([list(_CROSS)] if count > 1 else []),
        "notes": [shortened(note, 260) for note in _notes(view)],
        "overview": view.overview and drawn(view.overview, _DIGITS),
        "sheets": [_sheet(sheet) for sheet in view.sheets],
        "strip": None if strip is None else _strip(strip, view),
    }


def _strip(strip: LineStrip | str, view: TemplateSheets) -> Data:
    if isinstance(strip, str):
        return {"title": shortened(view.template.title, 90), "why": strip}
    portrait = view.overview is None or view.frame.height_mm > view.frame.width_mm
    width = (_CHART_MM[0] + 16 if view.overview is None else view.frame.width_mm) - 2 * view.frame.margin_mm - 1
    chart = strip_chart(strip, width, _CHART_MM[1] if portrait else _CHART_LOW_MM)
    most = _ROWS_MOST if portrait else _ROWS_MOST_LOW
    return {
        "title": shortened(strip.title, 90),
        "why": "",
        "datum": shortened(strip.datum, 60),
        "tracks": [
            [style, shortened(f"{one.title} ({one.drawing})", 70)] for style, one in zip(TRACKS, strip.tracks, strict=False)
        ],
        "exaggeration": f"{chart.exaggeration:.0f}",
        "chart": drawn(chart.picture, _DIGITS),
        "said": [shortened(line, 260) for line in strip.said],
        "rows": [
            [f"{row.station_mm:g}", *map(_tenth, (row.offset_mm, row.twin_mm, row.difference_mm))]
            for row in strip.rows[:most]
        ],
        "more": max(len(strip.rows) - most, 0),
    }


def _tenth(value_mm: float | None) -> str:
    return "–" if value_mm is None else f"{value_mm:.1f}".replace("-", "−")


def sheets_words(count: int, empty: int) -> str:
    """How many sheets there are.

    >>> sheets_words(1, 0), sheets_words(18, 2)
    ('1 sheet', '18 sheets, 2 empty left out')
    """
    return f"{count} sheet{'' if count == 1 else 's'}" + (f", {empty} empty left out" if empty else "")


def _short(template: Template) -> list[str]:
    said = ["MIRRORED: lay it face down."] if template.mirrored else []
    said += ["RE-CREATED edge, not original."] if any(one.startswith("RE-CREATED") for one in template.banners) else []
    return [*said, template.stays]


def _corrected(factors: tuple[float, float]) -> str:
    if factors == (1.0, 1.0):
        return ""
    return f"Corrected: level × {factors[0]:.4f}, upright × {factors[1]:.4f}."


def _styles(view: TemplateSheets) -> set[str]:
    return {stroke.style for sheet in view.sheets for stroke in sheet.picture.strokes}


def _steps(view: TemplateSheets) -> list[str]:
    said = [
        "Print at 100 %: no “fit to page”, no “shrink”. One printer, one paper, one go.",
        (
            "Measure both bars of a sheet with a steel rule, along and across: 100 mm each. Where one is off, type what you "
            "measured on an uncorrected print as printed x (level bar) and printed y (upright bar), and print again."
        ),
    ]
    if len(view.sheets) > 1:
        said += [
            (
                "Lay the sheets row by row, A from the top, 1 from the left. Trim one of two neighbours along the dotted "
                "joint and lay cross on cross; tape on the back."
            ),
            "Check the laid sheets with a steel rule: a long edge must run on without a step.",
        ]
    said.append("Lay it on the vehicle by a datum and check two offsets with the rule before you cut or mark.")
    return said


def _notes(view: TemplateSheets) -> list[str]:
    template = view.template
    x0, y0, x1, y1 = template.bounds
    said = [f"Size over all {x1 - x0:.1f} × {y1 - y0:.1f} mm. Scale of the drawing: {template.scale_from}.", *template.notes]
    if _corrected(view.factors):
        said.append(_corrected(view.factors) + " Good for this printer, this paper and this way up only.")
    if len(view.sheets) > 1:
        said.append(f"Sheets overlap by {view.overlap_mm:g} mm.")
    said.append("Paper grows in damp air: check the bars again on the day you cut.")
    return said


def _sheet(sheet: Sheet) -> Data:
    return {
        "name": sheet.name,
        "number": sheet.number,
        "picture": drawn(sheet.picture, _DIGITS),
        "crosses": [list(spot) for spot in sheet.crosses],
        "neighbours": [asdict(one) for one in sheet.neighbours],
    }
