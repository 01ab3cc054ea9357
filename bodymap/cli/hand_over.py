"""Makes a hand-over folder: joins rooms, and writes the folder whole or not at all. A dashboard may call it as well."""

from __future__ import annotations

import csv
import hashlib
import io
import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from bodymap.briefs.hand_over import hand_over_pdf, plates_ready, unprintable
from bodymap.briefs.typeset import moment_of
from bodymap.cli.hand_over_content import Content, content_of
from bodymap.cli.hand_over_media import staged_media
from bodymap.errors import BodymapError
from bodymap.exchange.hand_over_page import page_html
from bodymap.exchange.open_folder import write_folder
from bodymap.exchange.sheet_svg import sheet_svg
from bodymap.exchange.workbook import workbook_bytes
from bodymap.exchange.zone_measures import zone_measures_bytes
from bodymap.model.journal import head_of
from bodymap.progress import Step, cleared, each, silent, stretch
from bodymap.release.late import after_release
from bodymap.settings import in_force
from bodymap.store import record_file
from bodymap.store.media import sync_folder
from bodymap.views.as_left import as_left
from bodymap.views.hand_over import HandedOver, hand_over_view
from bodymap.views.hand_over_evidence import MediaCopy
from bodymap.views.hand_over_parts import HandOverView, Standing
from bodymap.views.hand_over_reading import read_me
from bodymap.views.hand_over_tables import sheets_of
from bodymap.views.palette import LIGHT
from bodymap.views.people import journal_without_names, people_of, record_without_names

_CHUNK_BYTES = 1 << 20
NAMELESS_HAND = "hand-over"


@dataclass(frozen=True)
class Made:
    """A hand-over folder that was made: where, how many files, where its journal ends, and what is to be told.

    `view`, `maps` and `photos`: what its print was made from (`hand_over_pdf`), so that its pages can be shown.
    """

    folder: Path
    files: int
    standing: Standing
    ends: Standing
    notes: tuple[str, ...]
    view: HandOverView
    maps: Mapping[str, str]
    photos: Mapping[str, bytes]


def hand_over(
    source: Path,
    folder: Path,
    *,
    by: str,
    at: str,
    without_names: bool = False,
    with_originals: bool = False,
    step: Step = silent,
) -> Made:
    """Makes the hand-over folder of a record file or an open folder.

    Args:
        source: a record file (.gpkg) or an open folder.
        folder: where; not there yet, or an empty folder.
        by: who hands over; written into the journal of the folder, not into the record.
        at: when, ISO 8601 in UTC with Z.
        without_names: call every person by a number; see `views.people`.
        with_originals: take pictures along as they are, camera data and all.
        step: is told how far it is; what it raises stops the work, and nothing is written.

    Raises:
        BodymapError: the place is taken, the record is not whole, or both choices are asked for. Nothing is written.
    """
    if without_names and with_originals:
        raise BodymapError("found --without-names and --with-originals; allowed: one of them: originals bear names")
    target = folder.resolve()
    _refuse_taken(folder, target)
    content = content_of(source, stretch(step, 0.0, 0.03))
    work = Path(tempfile.mkdtemp(prefix=f".{target.name}.", dir=target.parent))
    try:
        made = work / target.name
        made.mkdir()
        told = _fill(made, work, content, step, by=by, at=at, nameless=without_names, originals=with_originals)
        _sync(made)
        step("Giving it its name", 1.0)
        if target.exists():
            target.rmdir()  # refuses if it is no longer empty
        made.rename(target)
        sync_folder(target.parent)
    except OSError as error:
        raise BodymapError(f"{folder} could not be written: {error.strerror or error}; nothing was written") from error
    finally:
        cleared(work)
    return replace(told, folder=folder)


def _refuse_taken(folder: Path, target: Path) -> None:
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        found = "a folder with files in it" if target.is_dir() else "a file"
        raise BodymapError(f"{folder}: found {found}; allowed: a folder that is not there yet, or an empty one")
    if not target.parent.is_dir():
        raise BodymapError(f"{folder}: found no folder {target.parent}; allowed: a folder that is there")


def _fill(
    made: Path, work: Path, content: Content, step: Step, *, by: str, at: str, nameless: bool, originals: bool
) -> Made:
    """Everything of the folder, but its name. The shares are those of a record with many pictures."""
    record, kept = content.record, content.journal
    people = people_of(record, kept, (by,))
    late = after_release(record, kept)
    if nameless:
        record = record_without_names(record, people)
    media = staged_media(
        content, record, work / "media", by=by, at=at, nameless=nameless, originals=originals, people=people,
        step=stretch(step, 0.03, 0.35),
    )  # fmt: skip
    why = "handed over without names of persons" if nameless else f"handed over from {content.name}"
    journal = () if nameless else media.journal
    hand = NAMELESS_HAND if nameless else by
    making = stretch(step, 0.35, 0.53)
    record_file.create(
        made / "map.gpkg", media.record, by=hand, why=why, at=at, media=media.files, journal=journal, step=making
    )
    record, journal = record_file.RecordFile(made / "map.gpkg").whole(stretch(step, 0.53, 0.56))
    write_folder(made / "record", record, journal, media.files, stretch(step, 0.56, 0.66))
    _lay_media(made / "media", media.files, stretch(step, 0.66, 0.68))
    end = head_of(journal)
    ends = Standing(end.count, end.hash, "Journal of this folder")
    standing = Standing(content.head.count, content.head.hash, "Record as it was kept") if content.head.count else ends
    shown = journal_without_names(kept, people) if nameless and kept else journal
    given = HandedOver(record, shown, media.copies, late, standing, ends, at, nameless, originals)
    view = hand_over_view(given, stretch(step, 0.68, 0.74))
    maps = _drawn(view, stretch(step, 0.74, 0.77))
    photos = plates_ready(view, lambda name: _read(made / "media" / name), stretch(step, 0.77, 0.87))
    lost = _write_prints(made, view, maps, photos, stretch(step, 0.87, 0.93))
    _write_tables(made, given, stretch(step, 0.93, 0.97))
    _write(made / "READ-ME.txt", read_me(view).encode())
    files = _write_manifest(made, media.copies, stretch(step, 0.97, 1.0))
    notes = [f"{copy.original}: {copy.why}" for copy in media.copies if copy.how == "left out"]
    notes += [f"the print has no sign for {char}; it says so" for char in lost]
    return Made(made, files, standing, ends, (*content.notes, *notes), view, maps, photos)


def _read(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None


def _drawn(view: HandOverView, step: Step) -> dict[str, str]:
    return {
        one.ident: sheet_svg(one.view, ident=one.ident, title=one.title, alt=one.alt, paint=_light, names=False)
        for one in each(view.maps, "Drawing the maps", step)
    }


def _write_prints(
    made: Path, view: HandOverView, maps: Mapping[str, str], photos: Mapping[str, bytes], step: Step
) -> tuple[str, ...]:
    step("Setting the print", 0.0)
    _write(made / "hand-over.pdf", hand_over_pdf(view, maps, photos))
    step("Writing the page", 0.9)
    present = {"hand-over.pdf", "tables.xlsx", "record/", "map.gpkg", "manifest.csv"}
    present |= {"media/"} if (made / "media").is_dir() else set()
    _write(made / "index.html", page_html(view, present))
    return unprintable(view, maps)


def _light(paint: str) -> str:
    return paint if paint.startswith("#") else LIGHT[paint]


def _write_tables(made: Path, given: HandedOver, step: Step) -> None:
    step("Gathering the tables", 0.0)
    settings = in_force(given.record.settings)
    sheets = sheets_of(given.record, settings, as_left(given.record, settings), given.journal)
    title = f"Hand-over file: {given.record.vehicle.name}"
    _write(made / "tables.xlsx", workbook_bytes(sheets, title, moment_of(given.at), stretch(step, 0.2, 0.95)))
    step("Writing the zones", 0.95)
    _write(made / "zones.geojson", zone_measures_bytes(given.record))


def _lay_media(folder: Path, files: dict[str, Path], step: Step) -> None:
    if files:
        folder.mkdir()
        for name, path in each(tuple(files.items()), "Laying the pictures beside the page", step):
            shutil.copyfile(path, folder / name)


# --- manifest --------------------------------------------------------------------------------------------------------

_WHAT = {
    "index.html": "the hand-over file as a page",
    "hand-over.pdf": "the hand-over file as a print",
    "READ-ME.txt": "how to read this folder",
    "tables.xlsx": "the record as tables",
    "zones.geojson": "zones with their measures",
    "map.gpkg": "the record as a database (GeoPackage)",
}
_FOLDERS = {"record": "the record as plain files", "media": "a file of the record", "map.media": "a file of the record"}


def _write_manifest(made: Path, copies: Sequence[MediaCopy], step: Step) -> int:
    by_hash = {copy.sha256: copy for copy in copies if copy.file}
    there = each(sorted(_files(made)), "Listing every file with its hash", step)
    rows = [_manifest_row(made, path, by_hash) for path in there]
    rows += [
        ["", "", "", f"left out: {copy.original} ({copy.why})", copy.original_sha256] for copy in copies if not copy.file
    ]
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(["file", "sha256", "bytes", "what", "made_from_sha256"])
    writer.writerows(rows)
    _write(made / "manifest.csv", text.getvalue().encode())
    return len(rows) + 1


def _manifest_row(made: Path, path: Path, by_hash: dict[str, MediaCopy]) -> list[str]:
    name = path.relative_to(made).as_posix()
    sha256 = _sha256(path)
    copy = by_hash.get(sha256) if "media/" in name else None
    what = _WHAT.get(name) or _FOLDERS[name.partition("/")[0]]
    if copy:
        what = f"{what}: {copy.file}, {copy.how}"
    made_from = copy.original_sha256 if copy and copy.original_sha256 != sha256 else ""
    return [name, sha256, str(path.stat().st_size), what, made_from]


def _sha256(path: Path) -> str:
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


# --- writing ---------------------------------------------------------------------------------------------------------


def _files(folder: Path) -> Iterator[Path]:
    return (path for path in folder.rglob("*") if path.is_file())


def _write(file: Path, data: bytes) -> None:
    file.write_bytes(data)


def _sync(folder: Path) -> None:
    """Bring every file and every folder to the disk before the whole gets its name."""
    for path in _files(folder):
        with path.open("rb") as stream:
            os.fsync(stream.fileno())
    for path in (*(path for path in folder.rglob("*") if path.is_dir()), folder):
        sync_folder(path)
