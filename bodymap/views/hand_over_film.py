"""Film before and after, zone by zone, in a hand-over file."""

from __future__ import annotations

from collections.abc import Iterator

from bodymap.film.before_after import loss_between_phases
from bodymap.film.known import known_stack, unexplained
from bodymap.film.summary import AS_FOUND, ZoneFilm, phase_of, zone_film
from bodymap.model import Record
from bodymap.settings import Settings
from bodymap.views.hand_over_parts import NONE, NOT_STATED, Block, Column, Row, Words, table

NOT_READ = "not read"


def film_blocks(record: Record, settings: Settings) -> Iterator[Block]:
    """The chapter on film: as found against what the layers come to, and against every later round of readings."""
    yield Words(
        (
            (
                "Medians of the readings that count; readings that cannot count are kept in the record and named below. "
                "µm are micrometres, thousandths of a millimetre."
            ),
        )
    )
    yield _as_found(record, settings)
    yield _after(record, settings)
    yield _refused(record)


def film_words(film: ZoneFilm) -> str:
    """Median, spread and count of a zone in one phase.

    >>> film_words(ZoneFilm("z", 2, 1, 60.0, 1.0, 60.0, 59.0, 61.0, ()))
    '60 (59–61), 2 readings'
    """
    if film.median_um is None:
        return NOT_READ
    readings = "1 reading" if film.n == 1 else f"{film.n} readings"
    # A median of an even number of readings ends in a half: it is neither hidden nor rounded to the even neighbour.
    median = f"{film.median_um:.1f}".removesuffix(".0")
    return f"{median} ({film.min_um:.0f}–{film.max_um:.0f}), {readings}"


def _as_found(record: Record, settings: Settings) -> Block:
    rows = []
    for zone in record.zones:
        film = zone_film(record, zone.zone_id)
        if not film.n:
            continue
        stack, rest = known_stack(record, zone.zone_id, settings), unexplained(record, zone.zone_id, settings)
        low, high = stack.low_um, stack.high_um
        known = f"{low:.0f}–{high:.0f}" if stack.known and low is not None and high is not None else NOT_STATED
        rows.append(Row((zone.title, film_words(film), known, rest.verdict, rest.why or NONE)))
    columns = (
        Column("Zone", 2.4), Column("As found µm", 2.2), Column("By its layers µm", 1.1, right=True),
        Column("Unexplained", 1), Column("Why", 3),
    )  # fmt: skip
    return table("Film as found", columns, rows, "No reading as found counts.")


def _after(record: Record, settings: Settings) -> Block:
    later = [phase for phase in dict.fromkeys(map(phase_of, record.readings)) if phase != AS_FOUND]
    order = ["after strip", *(coat.coat_id for coat in record.coats)]
    later.sort(key=lambda phase: order.index(phase) if phase in order else len(order))
    rows = []
    for zone in record.zones:
        for phase in later:
            film = zone_film(record, zone.zone_id, phase)
            if film.n:
                lost = loss_between_phases(record, zone.zone_id, AS_FOUND, phase, settings)
                words = f"after {record.coat[phase].name} ({phase})" if phase in record.coat else phase
                change = (
                    NOT_STATED if lost.loss_um is None or lost.u_um is None else f"{-lost.loss_um:+.0f} ± {lost.u_um:.0f}"
                )
                found = film_words(zone_film(record, zone.zone_id))
                rows.append(Row((zone.title, found, words, film_words(film), change)))
    columns = (
        Column("Zone", 2.2), Column("Before: as found µm", 1.6), Column("Read", 2), Column("After µm", 1.6),
        Column("Change µm", 1, right=True),
    )  # fmt: skip
    return table("Film before and after", columns, rows, "No reading was taken after the work: not read is not unchanged.")


def _refused(record: Record) -> Block:
    rows = []
    for zone in record.zones:
        for phase in dict.fromkeys(phase_of(reading) for reading in record.readings_of.get(zone.zone_id, ())):
            refused = zone_film(record, zone.zone_id, phase).refused
            rows += [Row((zone.title, phase, one.reading_id, one.why)) for one in refused]
    columns = (Column("Zone", 2.2), Column("Round", 1), Column("Reading", 1), Column("Why it does not count", 3.4))
    return table("Readings that are kept and do not count", columns, rows, "Every reading counts.")
