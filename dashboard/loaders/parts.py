"""What the parts screen reads, each reckoned once for each revision of the record."""

from __future__ import annotations

from dataclasses import dataclass

from bodymap.briefs.labels import labels_pdf, labels_png, unprintable
from bodymap.geometry.areas import areas_of
from bodymap.views.part_labels import LabelSheet, StickerSheet, label_sheet, sticker_sheet
from bodymap.views.parts import PartCard, part_cards
from dashboard.loaders import Opened, moment, once
from dashboard.loaders.survey import used_idents

_REVISIONS, _PRINTS = 4, 4


@dataclass(frozen=True)
class Labels:
    """Labels or numbers as they are printed, and the first page as it looks. `notes`: what the print cannot show."""

    pdf: bytes
    first_page: bytes
    count: int
    notes: tuple[str, ...]


@once(_REVISIONS)
def cards(now: Opened) -> tuple[PartCard, ...]:
    """Every part as it is handled."""
    return part_cards(now.record, areas_of(now.record), now.settings)


@once(_PRINTS, "Setting the labels …")
def labels(now: Opened, chosen: tuple[str, ...], size: str) -> Labels:
    """Labels of the chosen parts. Raises BodymapError where none is chosen."""
    sheet = label_sheet(now.record.vehicle.name, cards(now), chosen, size)
    return _printed(sheet, len(sheet.labels))


@once(_PRINTS, "Setting the numbers …")
def stickers(now: Opened, kind: str, count: int) -> Labels:
    """The next free numbers for stacks or for spots. Raises BodymapError on a count that is none."""
    record = now.record
    if kind == "spot":
        same = [one.spot for one in record.readings if one.spot]
        sheet = sticker_sheet(record.vehicle.name, same, set(same), "P001", count)
    else:
        sheet = sticker_sheet(record.vehicle.name, [one.stack_id for one in record.stacks], used_idents(now), "S01", count)
    return _printed(sheet, len(sheet.numbers))


def _printed(sheet: LabelSheet | StickerSheet, count: int) -> Labels:
    at = moment()
    return Labels(labels_pdf(sheet, at), labels_png(sheet, at)[0], count, unprintable(sheet))
