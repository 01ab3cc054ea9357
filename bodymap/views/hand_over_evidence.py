"""The evidence in a hand-over file: sources with their files, findings, what nobody has seen, the record's own history."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bodymap.film.summary import zone_film
from bodymap.history.read import read_history
from bodymap.history.text import by_zone
from bodymap.history.words import why_look
from bodymap.model import JournalEntry, Record, Source
from bodymap.views.hand_over_parts import (
    NONE,
    NOT_STATED,
    Block,
    Column,
    Plate,
    Plates,
    Row,
    Table,
    Words,
    listed,
    stated,
    table,
)

How = Literal["re-encoded", "unchanged", "left out"]
_LOOKS_MOST = 15


@dataclass(frozen=True)
class MediaCopy:
    """What became of one media file in the hand-over.

    Attributes:
        original: its name in the record, and `original_sha256` its hash there.
        file: its name in the folder; empty where it was left out.
        taken: when the camera says the picture was taken; empty: it does not say.
        picture: it can be shown on a page.
        why: why it was left out, or what was done to it.
    """

    original: str
    original_sha256: str
    file: str
    sha256: str
    size_bytes: int
    how: How
    why: str
    taken: str = ""
    picture: bool = False
    width_px: int = 0
    height_px: int = 0


def source_blocks(record: Record, copies: Sequence[MediaCopy]) -> Iterator[Block]:
    """The chapter on sources: each with its file, and every file with its hash; what tells of the work stands there."""
    by_file = {copy.file: copy for copy in copies if copy.file}
    yield _sources(record, by_file)
    yield _files(copies)
    plates = tuple(_plates(record, by_file))
    if plates:
        yield Plates(plates)


def _sources(record: Record, copies: Mapping[str, MediaCopy]) -> Table:
    rows = []
    for source in record.sources:
        if source.tells_of_work:
            continue
        copy = copies.get(source.file or "")
        left_out = source.more.get("file_left_out")
        there = source.file or (f"left out: {left_out}" if left_out else "no file")
        taken = f"; camera: {copy.taken}" if copy and copy.taken else ""
        cells = (
            source.source_id,
            source.kind,
            source.title,
            ", ".join(filter(None, (source.by, source.date))) + taken or NOT_STATED,
            listed(source.about, 8),
            stated(source.rights),
            there,
        )
        sha256 = f"SHA-256 {copy.sha256}" if copy else ""
        if copy and copy.sha256 != copy.original_sha256:
            sha256 += f"\nmade from SHA-256 {copy.original_sha256}"
        rows.append(Row(cells, under=sha256))
    columns = (
        Column("Source", 0.7), Column("Kind", 1.1), Column("Title", 2.6), Column("By, on", 1.4), Column("Speaks of", 1.6),
        Column("Rights", 1.2), Column("File in media/", 1.3),
    )  # fmt: skip
    return table("Sources", columns, rows, "No source is recorded.")


def _files(copies: Sequence[MediaCopy]) -> Table:
    rows = [Row((copy.original, copy.file or "not in this folder", copy.how, copy.why)) for copy in copies]
    columns = (
        Column("File of the record", 2),
        Column("In this folder as", 2),
        Column("How", 1),
        Column("Why, or what was done", 4),
    )
    return table("Which files are there", columns, rows, "The record has no files beside it.")


def _plates(record: Record, copies: Mapping[str, MediaCopy]) -> Iterator[Plate]:
    shown: dict[str, Source] = {}
    for source in record.sources:
        copy = copies.get(source.file or "")
        if copy and copy.picture:
            shown.setdefault(copy.file, source)
    for file, source in shown.items():
        about = f", about {listed(source.about, 6)}" if source.about else ""
        when = f" ({source.date})" if source.date else ""
        yield Plate(file, f"{source.source_id}: {source.title}{when}", f"{source.kind}: {source.title}{about}")


def finding_blocks(record: Record) -> Iterator[Block]:
    """What was found on the surface."""
    rows = [
        Row(
            (
                one.finding_id,
                one.kind,
                record.drawing[one.drawing_id].name if one.drawing_id in record.drawing else one.drawing_id,
                NOT_STATED if one.severity is None else f"{one.severity} of 5",
                NOT_STATED if one.depth is None else f"{one.depth:g}",
                (one.note or NONE) + ("" if one.shape else " (no place drawn)"),
            )
        )
        for one in record.findings
    ]
    columns = (
        Column("Finding", 0.8), Column("Kind", 0.9), Column("Drawing", 1.6), Column("Severity", 0.8),
        Column("Depth mm", 0.8, right=True), Column("Note", 4),
    )  # fmt: skip
    note = "Depth below the surface; with a minus it stands up. A finding bears no name: who entered it, and when, stands "
    note += "in the journal (record/journal.csv; sheet journal of tables.xlsx)."
    nothing = "No finding is recorded: that nothing was found is not said by that."
    yield table("Findings", columns, rows, nothing, note if rows else "")


def unseen_blocks(record: Record) -> Iterator[Block]:
    """The chapter on what nobody has seen."""
    yield Words(("What is named here was not looked at, or was not stated. It is not “none”.",))
    rows = [Row((what, str(len(names)), listed(names, 40) if names else NONE)) for what, names in _lacking(record)]
    columns = (Column("What lacks", 2.2), Column("Count", 0.6, right=True), Column("Where", 6))
    yield table("Not seen, not measured, not stated", columns, rows, "")
    history = read_history(record)
    looks = [
        Row((record.zone[zone].title, f"{why_look(record, found[0])}.", str(sum(len(look.settles) for look in found))))
        for zone, found in list(by_zone(history.looks).items())[:_LOOKS_MOST]
    ]
    columns = (Column("Zone", 1.8), Column("What it would tell", 6), Column("Facts it settles", 0.9, right=True))
    empty = (
        "The relations between coats run in a circle: that has to be settled first." if history.order.circles else "Nothing."
    )
    yield table("Where a look would tell most", columns, looks, empty)


def _lacking(record: Record) -> Iterator[tuple[str, tuple[str, ...]]]:
    zones = record.zones
    seen = record.stacks_of
    yield "Zones nobody has looked at", tuple(zone.title for zone in zones if zone.zone_id not in seen)
    yield (
        "Zones looked at, not down to the substrate",
        tuple(
            zone.title
            for zone in zones
            if zone.zone_id in seen and not any(stack.reaches_substrate for stack in seen[zone.zone_id])
        ),
    )
    yield (
        "Zones without a film reading that counts",
        tuple(zone.title for zone in zones if not zone_film(record, zone.zone_id).n),
    )
    yield "Zones without a measured surface ratio", tuple(zone.title for zone in zones if zone.surface_ratio is None)
    yield "Zones without a stated intent", tuple(zone.title for zone in zones if zone.intent is None)
    yield (
        "Drawings that are not to scale",
        tuple(drawing.name for drawing in record.drawings if drawing.schematic),
    )
    yield "Findings without a place", tuple(one.finding_id for one in record.findings if one.shape is None)
    named = {layer.coat_id for layer in record.layers}
    planned = {coat for step in record.steps if step.action == "coat" for coat in step.target}
    yield (
        "Coats of the list that no stack shows and no step lays",
        tuple(coat.name for coat in record.coats if coat.coat_id not in named | planned),
    )
    yield (
        "Sources without a file",
        tuple(one.source_id for one in record.sources if one.file is None and not one.tells_of_work),
    )


def journal_blocks(journal: Sequence[JournalEntry]) -> Iterator[Block]:
    """The record's own history, gathered by day, hand and reason."""
    groups: dict[tuple[str, str, str], list[JournalEntry]] = {}
    for entry in journal:
        groups.setdefault((entry.at[:10], entry.by, entry.why), []).append(entry)
    rows = [
        Row((day, by, why or NOT_STATED, str(len(entries)), _kinds(entries))) for (day, by, why), entries in groups.items()
    ]
    columns = (
        Column("Day", 0.9), Column("By", 1.2), Column("Why", 3), Column("Entries", 0.7, right=True), Column("Of what", 2.4)
    )  # fmt: skip
    empty = "This record has no journal: nothing tells who entered what, and when."
    note = "Nothing in a journal is ever changed: a correction is a new entry. Every entry is in tables.xlsx and the record."
    yield table("The journal of this record", columns, rows, empty, note if rows else "")


def _kinds(entries: Sequence[JournalEntry]) -> str:
    counts: dict[str, int] = {}
    for entry in entries:
        counts[entry.kind] = counts.get(entry.kind, 0) + 1
    return listed(tuple(f"{count} {kind}" for kind, count in counts.items()), 6)
