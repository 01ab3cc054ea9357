"""What the film screen writes: the readings of a gauge file with all that belongs to them, together or not at all."""

from __future__ import annotations

import hashlib
import itertools
import re
import unicodedata
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from bodymap.errors import BodymapError, ConflictError
from bodymap.exchange.gauge_csv import KEPT_AS, GaugeMapping, as_setting
from bodymap.film.mapping import Preview, as_readings
from bodymap.film.uncertainty import FoilCheck, foil_check
from bodymap.model import Entry, JournalEntry, Reading, Setting, Source
from bodymap.model.reading import Principle
from bodymap.store.record_file import Put
from dashboard import actions, actions_survey, loaders
from dashboard.loaders import Opened

KINDS = ("reading", "setting", "source", "media")
DRIFT = "gauge_drift_um"
TAKEN_IN = "gauge file "
_TURNS = 4
_NAME_MOST = 64 - len(KEPT_AS)


@dataclass(frozen=True)
class TakenIn:
    """What a gauge file brings: the file, how it is read, the readings laid on spots, and what was said of them."""

    name: str
    data: bytes
    mapping: GaugeMapping
    preview: Preview
    principle: Principle
    instrument: str
    phase: str
    targeted: bool
    foils: FoilCheck | None


def gauge_id(instrument: str) -> str:
    """The name of a gauge as an id, under which its columns are remembered.

    >>> gauge_id("Gauge Ä, probe 2")
    'gauge_a_probe_2'
    """
    bare = unicodedata.normalize("NFKD", instrument).encode("ascii", "ignore").decode()
    return re.sub(r"[^A-Za-z0-9]+", "_", bare).strip("_").lower()[:_NAME_MOST] or "gauge"


def known_file(now: Opened, data: bytes) -> Source | None:
    """The source of the record that holds this very file."""
    digest = hashlib.sha256(data).hexdigest()
    return next((source for source in now.record.sources if source.sha256 == digest), None)


def last_of_gauge(now: Opened, ident: str) -> Reading | None:
    """The last reading of the gauge with this id (`gauge_id`)."""
    return next((one for one in reversed(now.record.readings) if one.instrument and gauge_id(one.instrument) == ident), None)


def take_in(now: Opened, taken: TakenIn, *, by: str) -> tuple[JournalEntry, ...]:
    """Write the readings, the file they came in, how it is read, and the drift that foils showed: one save.

    Raises:
        ConflictError: somebody else changed one of these settings meanwhile.
        BodymapError: what is written cannot stand; nothing was written.
    """
    why = f"{TAKEN_IN}{taken.name} taken in"
    for turn in range(_TURNS):
        try:
            changes = [Put(entry) for entry in entries_of(now, taken, by)]
            return actions.save(now, changes, by=by, why=why, seen=now.revision)
        except ConflictError:
            if turn + 1 == _TURNS:
                raise
            now = loaders.opened()  # numbers given by the program move on
    raise AssertionError("not reached")


def entries_of(now: Opened, taken: TakenIn, by: str) -> tuple[Entry, ...]:
    """The entries of one save."""
    used = now.record.ids | {entry.ident for entry in now.journal}
    readings = as_readings(
        taken.preview, principle=taken.principle, instrument=taken.instrument or None, by=by, phase=taken.phase,
        taken_ids=used, targeted=True if taken.targeted else None, held=now.record.readings,
    )  # fmt: skip
    settings = [as_setting(gauge_id(taken.instrument), taken.mapping, f"confirmed by {by} for {taken.name}")]
    if taken.foils:
        settings += drift_setting(now, taken.foils, taken.instrument)
    return (*_source(now, taken, readings, used, by), *settings, *readings)


def drift_setting(now: Opened, foils: FoilCheck, instrument: str) -> list[Setting]:
    """The drift of the gauge as a setting (it holds for all readings), where it is more than what stands there."""
    drift = round(foils.most_drift_um, 3)
    if drift <= now.settings.value(DRIFT):
        return []
    each = ", ".join(f"{foil:g}: {moved:+.1f}" for foil, moved in zip(foils.foils_um, foils.drift_um, strict=True))
    source = f"{instrument or 'gauge'} on foils before and after the round, drift µm: {each}"
    return [Setting(key=DRIFT, value=f"{drift:g}", basis="own trial", source=source)]


def _source(now: Opened, taken: TakenIn, readings: Sequence[Reading], used: Collection[str], by: str) -> tuple[Entry, ...]:
    if known_file(now, taken.data):
        return ()
    ident = next(name for number in itertools.count(1) if (name := f"GF{number}") not in used)
    dates = sorted(reading.taken[:10] for reading in readings if reading.taken)
    source = Source(
        source_id=ident, kind="measurement", title=f"Gauge file {taken.name}", by=by, date=dates[0] if dates else None,
        about=tuple(dict.fromkeys(reading.zone_id for reading in readings)),
    )  # fmt: skip
    digest = hashlib.sha256(taken.data).hexdigest()
    return actions_survey.with_file(now, taken.data, ".csv", digest, source)


def foils_of(rows: Sequence[tuple[float | None, float | None, float | None]]) -> FoilCheck | None:
    """The check on foils that was typed; None: none was. Raises BodymapError where a row is half filled."""
    filled = [row for row in rows if any(value is not None for value in row)]
    if not filled:
        return None
    if any(value is None for row in filled for value in row):
        raise BodymapError(
            "check on foils: found a row that is half filled; allowed: foil, reading before and reading after"
        )
    full = [(float(foil), float(before), float(after)) for foil, before, after in filled]  # type: ignore[arg-type]
    return foil_check([(foil, before) for foil, before, _ in full], [(foil, after) for foil, _, after in full])
