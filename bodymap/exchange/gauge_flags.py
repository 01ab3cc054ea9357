"""What is odd about rows of a gauge file: out of the gauge's range, negative, there twice, in the record already."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bodymap.film.mapping import GaugeRow
from bodymap.model.reading import Reading
from bodymap.settings import Settings

# So many equal readings in a row are no chance.
_RUN_LEAST = 5
_SAME_UM = 0.05
_SECONDS = len("2025-10-07T09:12:00")


@dataclass(frozen=True)
class Limits:
    """The range of a gauge [µm]; None: not stated."""

    least_um: float | None = None
    most_um: float | None = None

    @classmethod
    def of(cls, settings: Settings) -> Limits:
        """The range that the settings of a record state."""
        return cls(settings.value("gauge_least_um"), settings.value("gauge_most_um"))


def flagged(
    rows: Sequence[GaugeRow], numbers: Sequence[str], limits: Limits, readings: Sequence[Reading]
) -> tuple[GaugeRow, ...]:
    """The rows with what is odd about each; `numbers`: the running number each row has in the file, "" where none."""
    twice, known = _twice(rows, numbers), _known(rows, readings)
    return tuple(
        replace(row, flags=(*row.flags, *_range_flags(row, limits), *twice.get(place, ()), *known.get(place, ())))
        for place, row in enumerate(rows)
    )


def _range_flags(row: GaugeRow, limits: Limits) -> list[str]:
    flags = []
    for um in row.values_um:
        if um < 0:
            flags.append(f"negative: {um:g} µm")
        elif limits.least_um is not None and um < limits.least_um:
            flags.append(f"{um:g} µm is under the gauge's range, from {limits.least_um:g} µm")
        elif limits.most_um is not None and um > limits.most_um:
            flags.append(f"{um:g} µm is over the gauge's range, to {limits.most_um:g} µm")
    return flags


def _twice(rows: Sequence[GaugeRow], numbers: Sequence[str]) -> dict[int, tuple[str, ...]]:
    """Rows that stand in the file before with the same readings, place and time or running number.

    Equal readings alone are no repeat: two spots may well read the same.
    """
    seen: dict[tuple[object, ...], int] = {}
    found: dict[int, tuple[str, ...]] = {}
    for place, (row, number) in enumerate(zip(rows, numbers, strict=True)):
        if row.taken is None and not number:
            continue
        key = (row.values_um, row.spot, row.batch, row.taken, number)
        if key in seen:
            found[place] = (f"the same as row {seen[key]}",)
        seen.setdefault(key, row.row)
    return found


def _known(rows: Sequence[GaugeRow], readings: Sequence[Reading]) -> dict[int, tuple[str, ...]]:
    """Rows that the record holds already: by time and reading, or as a whole run of readings in the same order."""
    dated = {(reading.taken[:_SECONDS], round(reading.um / _SAME_UM)): reading for reading in readings if reading.taken}
    found: dict[int, tuple[str, ...]] = {}
    for place, row in enumerate(rows):
        for um in row.values_um if row.taken and "T" in row.taken else ():
            held = dated.get((str(row.taken)[:_SECONDS], round(um / _SAME_UM)))
            if held:
                found[place] = (f"in the record already as {held.reading_id}",)
    start = _run([um for row in rows for um in row.values_um], [reading.um for reading in readings])
    if start is not None:
        for place in range(len(rows)):
            found.setdefault(place, (f"the whole file is in the record already, from {readings[start].reading_id} on",))
    return found


def _run(values: Sequence[float], held: Sequence[float]) -> int | None:
    """Where all the values stand one after the other among those held; None where they do not."""
    if len(values) < _RUN_LEAST:
        return None
    for start in range(len(held) - len(values) + 1):
        if all(abs(held[start + step] - um) < _SAME_UM for step, um in enumerate(values)):
            return start
    return None
