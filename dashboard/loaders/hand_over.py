"""What the hand-over screen reads: the file and its pages, retained finish, the journal in words, files to take out."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path

from bodymap.briefs.hand_over import hand_over_png
from bodymap.briefs.typeset import moment_of
from bodymap.cli.hand_over import Made, hand_over
from bodymap.exchange.bundle import zipped
from bodymap.exchange.open_folder import write_folder
from bodymap.exchange.workbook import workbook_bytes
from bodymap.exchange.zone_measures import zone_measures_bytes
from bodymap.model.journal import against_head, broken_links, out_of_step
from bodymap.progress import Step, counted, silent, stretch
from bodymap.store.record_file import RecordFile
from bodymap.views.as_left import as_left
from bodymap.views.hand_over_tables import sheets_of
from bodymap.views.journal_words import EntryWords, journal_words
from bodymap.views.retained import RetainedFigures, retained_figures
from dashboard.loaders import Opened, media_path, once

_REVISIONS, _MADE = 2, 2
_PAGE_PPI = 90.0
# Of the time a file takes to make, what goes before the packing.
_PACKING_FROM = 0.9
NAMED, NAMELESS, ORIGINALS = "usual", "nameless", "originals"
FOLDER, BACKUP, TABLES, ZONES = "folder", "backup", "tables", "zones"
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_ZIP, _GEOJSON = "application/zip", "application/geo+json"


@once(_REVISIONS, "Adding up what is retained …")
def retained(now: Opened) -> RetainedFigures:
    """How much original finish is retained, and what was made again. Raises BodymapError, in words."""
    return retained_figures(now.record, now.settings)


@once(_REVISIONS)
def told(now: Opened) -> tuple[EntryWords, ...]:
    """Every entry of the journal in words."""
    return journal_words(now.journal)


@dataclass(frozen=True)
class MadeFile:
    """A hand-over folder, packed."""

    made: Made
    packed: bytes


@once(_MADE)
def made(now: Opened, by: str, at: str, names: str, _step: Step = silent) -> MadeFile:
    """The hand-over file as it was made at a moment. Raises BodymapError, in words."""
    with tempfile.TemporaryDirectory(prefix="bodymap-hand-over-") as place:
        folder = Path(place) / "hand-over"
        done = hand_over(
            now.path,
            folder,
            by=by,
            at=at,
            without_names=names == NAMELESS,
            with_originals=names == ORIGINALS,
            step=stretch(_step, 0.0, _PACKING_FROM),
        )
        return MadeFile(done, zipped(folder, stretch(_step, _PACKING_FROM, 1.0)))


@once(_MADE)
def pages(now: Opened, by: str, at: str, names: str, _step: Step = silent) -> tuple[bytes, ...]:
    """The pages of its print, as pictures."""
    done = made(now, by, at, names, _step=stretch(_step, 0.0, 0.7)).made
    _step("Drawing its pages for the screen", 0.7)
    return tuple(hand_over_png(done.view, done.maps, _PAGE_PPI, done.photos))


@dataclass(frozen=True)
class Taken:
    """A file to take out of the record."""

    name: str
    kind: str
    data: bytes


@once(_MADE)
def taken_out(now: Opened, what: str, at: str, _step: Step = silent) -> Taken:
    """The record in another form. Raises BodymapError, in words."""
    stem = f"{now.record.vehicle.vehicle_id}-{now.head.count}"
    if what == TABLES:
        _step("Gathering the tables", 0.0)
        pieces = as_left(now.record, now.settings)
        sheets = sheets_of(now.record, now.settings, pieces, now.journal)
        book = workbook_bytes(sheets, now.record.vehicle.name, moment_of(at), stretch(_step, 0.15, 1.0))
        return Taken(f"tables-{stem}.xlsx", _XLSX, book)
    if what == ZONES:
        return Taken(f"zones-{stem}.geojson", _GEOJSON, zone_measures_bytes(now.record))
    with tempfile.TemporaryDirectory(prefix="bodymap-out-") as place:
        folder = Path(place) / stem
        packing = stretch(_step, _PACKING_FROM, 1.0)
        if what == BACKUP:
            folder.mkdir()
            RecordFile(now.path).backup(folder / now.path.name, stretch(_step, 0.0, _PACKING_FROM))
            return Taken(f"backup-{stem}.zip", _ZIP, zipped(folder, packing))
        held = {item.name: media_path(now, item.name) for item in now.record.media}
        media = {name: path for name, path in held.items() if path is not None}
        write_folder(folder, now.record, now.journal, media, stretch(_step, 0.0, _PACKING_FROM))
        return Taken(f"open-folder-{stem}.zip", _ZIP, zipped(folder, packing))


@once(_MADE)
def verified(now: Opened, head: str, at: str, _step: Step = silent) -> tuple[str, ...]:  # noqa: ARG001 - each check anew
    """What is wrong with the record, read anew from the disk at a moment; `head`: as printed, or blank.

    Raises:
        BodymapError: it cannot be read, or the head is no head.
    """
    if not now.path.is_dir():
        return RecordFile(now.path).verify(head or None, _step)
    chain = counted(now.journal, len(now.journal), "Checking the chain", _step)
    wrong = [words for _, words in broken_links(chain)]
    wrong += out_of_step(now.journal, now.record)
    return (*wrong, *(against_head(head, now.journal) if head else ()))
