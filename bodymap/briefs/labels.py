"""Prints part labels and sticker numbers on A4, at true size."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from bodymap.briefs.glyphs import lost, readied
from bodymap.briefs.pdf_tail import printed_at_true_size
from bodymap.briefs.typeset import moment_of, pdf_of, pictures_of
from bodymap.views.part_labels import LabelSheet, LabelSize, StickerSheet

_TEMPLATE = "labels.typ"
_MARKS_MOST = 160


def labels_pdf(sheet: LabelSheet | StickerSheet, printed_at: str) -> bytes:
    """The labels or numbers as an A4 PDF; the same bytes for the same input.

    Raises:
        ValueError: `printed_at` is no ISO 8601 date or date-time.
    """
    return printed_at_true_size(pdf_of(_TEMPLATE, _data(sheet, printed_at), moment_of(printed_at)))


def labels_png(sheet: LabelSheet | StickerSheet, printed_at: str, ppi: float = 70) -> list[bytes]:
    """The same pages as PNG pictures, for a preview."""
    return pictures_of(_TEMPLATE, _data(sheet, printed_at), ppi)


def unprintable(sheet: LabelSheet | StickerSheet) -> tuple[str, ...]:
    """The characters which the print cannot show, each by number and name."""
    return lost(_texts(sheet))


def _texts(sheet: LabelSheet | StickerSheet) -> Iterable[str]:
    yield sheet.vehicle
    if isinstance(sheet, LabelSheet):
        for label in sheet.labels:
            yield from asdict(label).values()


def _data(sheet: LabelSheet | StickerSheet, printed_at: str) -> dict[str, Any]:
    shared = {
        "vehicle": readied(sheet.vehicle),
        "printed": moment_of(printed_at).date().isoformat(),
        "size": _size(sheet.size),
        "labels": [],
        "numbers": [],
    }
    if isinstance(sheet, StickerSheet):
        return {**shared, "numbers": list(sheet.numbers)}
    labels = [{name: readied(text) for name, text in asdict(label).items()} for label in sheet.labels]
    for label in labels:
        label["marks"] = label["marks"][:_MARKS_MOST] + ("…" if len(label["marks"]) > _MARKS_MOST else "")
    return {**shared, "labels": labels}


def _size(size: LabelSize) -> dict[str, Any]:
    return {
        "width_mm": size.width_mm,
        "height_mm": size.height_mm,
        "across": size.across,
        "on_a_sheet": size.on_a_sheet,
        "hole": size.hole,
    }
