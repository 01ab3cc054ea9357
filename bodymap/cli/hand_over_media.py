"""The files of a record on their way into a hand-over: pictures written anew, papers as they are, and the journal told.

A picture that was written anew is another file with another hash. The record that is handed over names the new one, and
the journal goes on with an entry for it that names the hash of the file it was made from: so nothing in the folder claims
to be what it is not, and its chain holds from the first entry of the record as it was kept.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from bodymap.cli.hand_over_content import Content
from bodymap.errors import BodymapError
from bodymap.exchange.pictures import Anew, looked_at, suited, written_anew
from bodymap.model import JournalEntry, MediaFile, Record, Source
from bodymap.model.entry import Entry
from bodymap.model.journal import FIRST_HASH, body_of, chained
from bodymap.progress import Step, silent, spread
from bodymap.views.hand_over_evidence import MediaCopy
from bodymap.views.people import People

ORIGINAL_SHA256, ORIGINAL_FILE, TAKEN, LEFT_OUT = "original_sha256", "original_file", "taken_by_camera", "file_left_out"
_UNREADABLE = "a picture or film that could not be written anew; it may bear the place where it was taken"
_PAPER = "no picture, so names in it could not be looked for"


@dataclass(frozen=True)
class Staged:
    """The record as it is handed over, its journal so far, its files by name, and what became of each."""

    record: Record
    journal: tuple[JournalEntry, ...]
    files: dict[str, Path]
    copies: tuple[MediaCopy, ...]


def staged_media(
    content: Content,
    record: Record,
    folder: Path,
    *,
    by: str,
    at: str,
    nameless: bool,
    originals: bool,
    people: People,
    step: Step = silent,
) -> Staged:
    """Lays the files ready in `folder`. `record` is that of the content, or that with names replaced (same order).

    Raises:
        BodymapError: a file is not the one that was recorded.
    """
    folder.mkdir()
    copies: list[MediaCopy] = []
    files: dict[str, Path] = {}
    taken_names: set[str] = set()

    def named(kept: MediaFile) -> str:
        return people.without(kept.name) if nameless else kept.name

    def copied(kept: MediaFile) -> tuple[MediaCopy, bytes | None]:
        path = content.media[kept.name]
        _refuse_other(kept, path)
        return _copied(kept, path, named(kept), nameless=nameless, originals=originals)

    for kept, (copy, data) in spread(copied, content.record.media, "Writing the pictures anew", step):
        if copy.file:
            copy = _unlike(copy, taken_names)
            files[copy.file] = _laid(folder, copy.file, data, content.media[kept.name])
        # The list of what was left out is in the folder as well.
        copies.append(copy if not nameless else _renamed(copy, named(kept)))
    becomes = {kept.name: copy for kept, copy in zip(content.record.media, copies, strict=True)}
    if nameless:
        becomes = {people.without(name): copy for name, copy in becomes.items()}
    media = tuple(MediaFile(name=c.file, sha256=c.sha256, size_bytes=c.size_bytes) for c in copies if c.file)
    sources = tuple(_source(source, becomes) for source in record.sources)
    handed = record.with_kind(MediaFile.KIND, media).with_kind(Source.KIND, sources)
    journal = content.journal if nameless else _told(content, handed, copies, by=by, at=at)
    return Staged(handed, journal, files, tuple(copies))


def _refuse_other(kept: MediaFile, path: Path) -> None:
    if not path.is_file():
        raise BodymapError(f"media file {kept.name} is missing; allowed: the file that was recorded; nothing was written")
    with path.open("rb") as stream:
        found = hashlib.file_digest(stream, "sha256").hexdigest()
    if found != kept.sha256:
        raise BodymapError(
            f"media file {kept.name} is not the one that was recorded: found SHA-256 {found}, recorded {kept.sha256}; "
            "nothing was written"
        )


def _copied(kept: MediaFile, path: Path, name: str, *, nameless: bool, originals: bool) -> tuple[MediaCopy, bytes | None]:
    """What becomes of one file; its bytes where they are new."""
    if originals:
        anew = written_anew(path)
        shown = anew is not None and path.suffix.lower() in (".jpg", ".jpeg", ".png", ".webp")
        return _as_it_is(kept, name, "as it was, with whatever the camera wrote into it", anew if shown else None), None
    kind, anew = looked_at(path)
    if kind == "other":
        return (_left_out(kept, _PAPER) if nameless else _as_it_is(kept, name, "no picture: as it was")), None
    if anew is None:
        return _left_out(kept, _UNREADABLE), None
    if hashlib.sha256(anew.data).hexdigest() == kept.sha256:
        return _as_it_is(kept, name, "written anew it is the same, byte for byte", anew), None
    said = f"upright, {anew.width_px} × {anew.height_px} pixels, without camera data"
    copy = MediaCopy(
        kept.name,
        kept.sha256,
        suited(name, anew.suffix),
        hashlib.sha256(anew.data).hexdigest(),
        len(anew.data),
        "re-encoded",
        said,
        anew.taken,
        picture=True,
        width_px=anew.width_px,
        height_px=anew.height_px,
    )
    return copy, anew.data


def _as_it_is(kept: MediaFile, name: str, why: str, anew: Anew | None = None) -> MediaCopy:
    return MediaCopy(
        kept.name,
        kept.sha256,
        name,
        kept.sha256,
        kept.size_bytes,
        "unchanged",
        why,
        anew.taken if anew else "",
        anew is not None,
    )


def _left_out(kept: MediaFile, why: str) -> MediaCopy:
    return MediaCopy(kept.name, kept.sha256, "", "", 0, "left out", why)


def _renamed(copy: MediaCopy, name: str) -> MediaCopy:
    return replace(copy, original=name)


def _unlike(copy: MediaCopy, taken: set[str]) -> MediaCopy:
    """The copy under a name that no other file has, on systems too where capitals make no difference."""
    name, number = copy.file, 1
    while name.casefold() in taken:
        number += 1
        path = Path(copy.file)
        name = f"{path.stem} {number}{path.suffix}"
    taken.add(name.casefold())
    return replace(copy, file=name)


def _laid(folder: Path, name: str, data: bytes | None, path: Path) -> Path:
    if data is None:
        return path
    laid = folder / name
    laid.write_bytes(data)
    return laid


def _source(source: Source, becomes: dict[str, MediaCopy]) -> Source:
    """The source with the file as it is in the folder; what it was made from stands beside it."""
    copy = becomes.get(source.file or "")
    if copy is None or copy.how == "unchanged":
        return source if copy is None else source.model_copy(update={"file": copy.file})
    more = {**source.more, ORIGINAL_SHA256: copy.original_sha256}
    if copy.how == "left out":
        return source.model_copy(update={"file": None, "sha256": None, "more": {**more, LEFT_OUT: copy.why}})
    if copy.file != copy.original:
        more[ORIGINAL_FILE] = copy.original
    if copy.taken:
        more[TAKEN] = copy.taken
    return source.model_copy(update={"file": copy.file, "sha256": copy.sha256, "more": more})


# --- the journal -----------------------------------------------------------------------------------------------------


def _told(content: Content, handed: Record, copies: Sequence[MediaCopy], *, by: str, at: str) -> tuple[JournalEntry, ...]:
    """The journal with an entry for each thing that the hand-over made other; as it was where there is none."""
    if not content.journal:
        return ()
    journal = list(content.journal)
    place = {(entry.kind, entry.ident): entry.place for entry in journal}
    last = max((entry.place for entry in journal if entry.kind == MediaFile.KIND), default=0)
    held = {item.name: item for item in handed.media}
    for copy in copies:
        if copy.how == "unchanged":
            continue
        why = f"for the hand-over: {copy.original} ({copy.original_sha256}) {copy.how}: {copy.why}"
        where = place.get((MediaFile.KIND, copy.original), last + 1)
        if copy.file != copy.original:
            _add(journal, MediaFile.KIND, copy.original, where, None, by=by, why=why, at=at)
            last += 1
            where = last
        if copy.file:
            _add(journal, MediaFile.KIND, copy.file, where, held[copy.file], by=by, why=why, at=at)
        for source, before in zip(handed.sources, content.record.sources, strict=True):
            if before.file == copy.original:
                at_place = place.get((Source.KIND, source.source_id), 1)
                _add(journal, Source.KIND, source.source_id, at_place, source, by=by, why=why, at=at)
    return tuple(journal)


def _add(
    journal: list[JournalEntry], kind: str, ident: str, place: int, entry: Entry | None, *, by: str, why: str, at: str
) -> None:
    before = journal[-1] if journal else None
    journal.append(
        chained(
            before.hash if before else FIRST_HASH,
            seq=(before.seq if before else 0) + 1,
            at=at,
            by=by,
            why=why,
            act="put" if entry is not None else "withdraw",
            kind=kind,
            ident=ident,
            place=place,
            body=body_of(entry) if entry is not None else {},
        )
    )
