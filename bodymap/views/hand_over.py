"""The hand-over file: everything that owner, judges and the next conservator are to be told, chapter by chapter.

All arithmetic and all words are made here and in the modules beside this one; print and page only lay them out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bodymap import __version__
from bodymap.geometry.areas import areas_of
from bodymap.model import JournalEntry, Record
from bodymap.progress import Step, each, silent
from bodymap.release.late import Late
from bodymap.settings import in_force
from bodymap.units import mm2_to_m2
from bodymap.views.as_left import LeftPiece, as_left
from bodymap.views.hand_over_again import again_blocks, not_known_to_be_done
from bodymap.views.hand_over_evidence import MediaCopy, finding_blocks, journal_blocks, source_blocks, unseen_blocks
from bodymap.views.hand_over_film import film_blocks
from bodymap.views.hand_over_history import history_blocks
from bodymap.views.hand_over_kept import kept_blocks
from bodymap.views.hand_over_maps import maps_as_left, maps_of, maps_old_and_new
from bodymap.views.hand_over_parts import (
    NOT_STATED,
    Banner,
    Block,
    Chapter,
    Column,
    Facts,
    HandOverView,
    Row,
    Standing,
    Words,
    stated,
    table,
)
from bodymap.views.hand_over_reading import reading_blocks
from bodymap.views.hand_over_work import deviation_blocks, materials_blocks
from bodymap.views.zone_card import INTENT_WORDS


@dataclass(frozen=True)
class HandedOver:
    """What is handed over.

    Attributes:
        record: as it is handed over (names replaced, pictures re-encoded).
        journal: its history, with names replaced where that was asked for.
        late: as-found evidence entered after a release, told by the journal as it was kept.
        standing: where the journal stood; printed on every page.
        ends: where the journal in the folder ends, with the entries of the hand-over itself.
        nameless: names of persons were replaced.
        originals: pictures go along as they are.
    """

    record: Record
    journal: Sequence[JournalEntry]
    copies: Sequence[MediaCopy]
    late: Sequence[Late]
    standing: Standing
    ends: Standing
    at: str
    nameless: bool = False
    originals: bool = False


def hand_over_view(given: HandedOver, step: Step = silent) -> HandOverView:
    """All chapters of a hand-over file.

    Raises:
        Faults: figures of the record that make no sense.
    """
    record, settings = given.record, in_force(given.record.settings)
    pieces = as_left(record, settings)
    chapters = (
        ("job", "The job and the vehicle", _job(given)),
        ("found", "As found", _found(record)),
        ("left", "As left", _left(record, pieces)),
        ("kept", "Retained original finish", kept_blocks(record, pieces)),
        ("again", "What was made again", again_blocks(record, pieces)),
        ("history", "The history and its evidence", history_blocks(record, settings)),
        ("film", "Film before and after", film_blocks(record, settings)),
        ("materials", "Steps, materials, quantities", materials_blocks(record, settings)),
        ("deviations", "Deviations and decisions", deviation_blocks(record, settings, given.late)),
        ("unseen", "What nobody has seen", _unseen(record)),
        ("sources", "Sources and files", (*source_blocks(record, given.copies), *journal_blocks(given.journal))),
        (
            "reading",
            "How to read this folder in fifty years",
            _reading(given),
        ),
    )
    made = tuple(
        Chapter(ident, title, tuple(blocks)) for ident, title, blocks in each(chapters, "Gathering the chapters", step)
    )
    return HandOverView(record.vehicle.name, given.at, given.standing, made)


def _reading(given: HandedOver) -> Iterator[Block]:
    return reading_blocks(given.standing, given.ends, nameless=given.nameless, originals=given.originals)


def _job(given: HandedOver) -> Iterator[Block]:
    record, vehicle = given.record, given.record.vehicle
    stood = tuple(
        (one.words, f"{one.count} entries, last hash {one.sha256}") for one in dict.fromkeys((given.standing, given.ends))
    )
    if given.nameless:
        yield Banner("Names of persons are left out: each is called by a number. The record as it was kept has the names.")
    yield Facts(
        (
            ("Vehicle", f"{vehicle.name} ({vehicle.vehicle_id})"),
            ("Maker", stated(vehicle.maker)),
            ("Year", stated(vehicle.year)),
            ("Serial number", stated(vehicle.serial)),
            ("Owner", stated(vehicle.owner)),
            ("Notes", stated(vehicle.notes)),
            ("Handed over", given.at),
            ("Made with", f"bodymap {__version__}; nothing of it is needed to read this folder"),
            *stood,
        ),
        frozenset(label for label, _ in stood),
    )
    yield _contents(record)
    yield _intents(record)


def _contents(record: Record) -> Block:
    rows = [
        (f"{len(record.drawings)} drawings", ", ".join(drawing.name for drawing in record.drawings)),
        (f"{len(record.parts)} parts, {len(record.zones)} zones", "a zone is a surface with one finish history"),
        (f"{len(record.stacks)} stacks, {len(record.layers)} layers", "places where the layers were looked at"),
        (f"{len(record.readings)} film readings", "each with its gauge where that was stated"),
        (f"{len(record.findings)} findings, {len(record.lines)} painted lines", "as they were before the work"),
        (
            f"{sum(not one.tells_of_work for one in record.sources)} sources, {len(record.media)} files",
            "papers, pictures, samples, statements",
        ),
        (f"{len(record.steps)} steps, {len(record.signoffs)} decisions signed", "the work"),
    ]
    return Facts(tuple(rows))


def _intents(record: Record) -> Block:
    counts: dict[str, list[float]] = {}
    areas = areas_of(record)
    for zone in record.zones:
        held = counts.setdefault(INTENT_WORDS[zone.intent] if zone.intent else NOT_STATED, [0, 0.0])
        held[0] += 1
        held[1] += areas.zones[zone.zone_id].surface_mm2
    rows = [Row((intent, f"{zones:.0f}", f"{mm2_to_m2(mm2):.2f}")) for intent, (zones, mm2) in counts.items()]
    columns = (Column("Finish wanted", 3), Column("Zones", 1, right=True), Column("True m²", 1, right=True))
    return table("What was asked for, zone by zone", columns, rows, "No zone is drawn.")


def _found(record: Record) -> Iterator[Block]:
    settings = in_force(record.settings)
    yield Words(
        (
            (
                "The finish of each zone as its best stack shows it, before the work. White with "
                "short strokes: nobody looked. "
                "Colours are those that the record gives each coat, not measured colours."
            ),
        )
    )
    yield from maps_of(record, settings, "as-found", "As found", "finish", frozenset({"kept", "findings", "lines"}))
    yield from finding_blocks(record)


def _left(record: Record, pieces: Sequence[LeftPiece]) -> Iterator[Block]:
    settings = in_force(record.settings)
    if not record.steps:
        yield Banner("No step is planned: as far as this record tells, the vehicle is as it was found.")
        return
    accepted = [one for one in record.signoffs if one.what == "coat accepted"]
    yield Words(
        (
            (
                f"What the {len(record.steps)} steps of the plan come to when they are run over the "
                "drawings. A record cannot see "
                "the vehicle: this is the plan, borne out where a coat was accepted by name "
                f"({len(accepted)} of {sum(step.action == 'coat' for step in record.steps)} coat steps)."
            ),
        )
    )
    yield from not_known_to_be_done(record)
    yield from maps_as_left(record, settings, pieces)
    yield from maps_old_and_new(record, settings, pieces)


def _unseen(record: Record) -> Iterator[Block]:
    yield from unseen_blocks(record)
    yield from maps_of(
        record, in_force(record.settings), "not-seen", "How far each zone was looked at", "not_seen", frozenset()
    )
