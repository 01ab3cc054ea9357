"""Gauge files: what a file seems to be, proposed with every doubt; and its readings, once the user has confirmed that.

    proposal = propose(data)                    # to be shown, corrected and confirmed
    content = read_gauge(data, proposal.mapping.model_copy(update={"unit": "um"}))

A confirmed mapping can be kept in the record as one of its settings (`as_setting`, `remembered`) and fits the next file of
the same gauge. Odd rows are flagged and kept, never dropped; what is no reading is told with its row.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from pydantic import BaseModel, ConfigDict, ValidationError

from bodymap.errors import BodymapError, Fault
from bodymap.exchange.gauge_columns import ProposedColumn, Signs, columns_proposed, unit_proposed
from bodymap.exchange.gauge_flags import Limits, flagged
from bodymap.exchange.gauge_rows import SortedRow, header_of, sorted_rows
from bodymap.exchange.gauge_text import decimal_of, delimiter_of, number_in, rows_of, text_of
from bodymap.exchange.gauge_times import Order, moment, order_of, split_moment
from bodymap.exchange.gauge_words import Role, Unit, only_unit
from bodymap.film.mapping import GaugeRow
from bodymap.model.reading import Reading
from bodymap.model.signoff import Setting
from bodymap.units import UM_PER_MM, mil_to_um

NAME = "gauge file"
KEPT_AS = "gauge_file_"


class GaugeMapping(BaseModel):
    """How the files of a gauge are read; `rows_left_out` holds for one file only.

    `header` is the one it was made for (None: files without one); `unit` None: not confirmed, so that only readings with a
    unit of their own can be read.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    encoding: str
    delimiter: Literal[",", ";", "\t"]
    decimal: Literal[".", ","]
    thousands: str = ""
    header: tuple[str, ...] | None = None
    roles: tuple[Role, ...]
    unit: Unit | None = None
    date_order: Order = "ymd"
    rows_left_out: tuple[int, ...] = ()


@dataclass(frozen=True)
class GaugeProposal:
    """What a file seems to be.

    Attributes:
        mapping: as it would be read; its unit is None where the file does not say one.
        columns: each column with what it seems to be and why.
        unit_why: where the unit comes from, or that it is not told.
        statistics: rows that are statistics, with their text.
        beside: rows that are neither readings nor statistics nor header, with their text.
        batches: names of batches in the file.
        readings: number of rows of readings.
        doubts: every ambiguity, in words; empty: nothing was guessed.
    """

    mapping: GaugeMapping
    columns: tuple[ProposedColumn, ...]
    unit_why: str
    statistics: tuple[tuple[int, str], ...]
    beside: tuple[tuple[int, str], ...]
    batches: tuple[str, ...]
    readings: int
    doubts: tuple[str, ...]


@dataclass(frozen=True)
class GaugeContent:
    """What was read: rows with readings, what was wrong, and rows that hold none, with the reason."""

    rows: tuple[GaugeRow, ...]
    faults: tuple[Fault, ...]
    left_out: tuple[tuple[int, str], ...]


def propose(data: bytes, name: str = NAME) -> GaugeProposal:
    """What a gauge file seems to be, for the user to confirm.

    Raises:
        Faults: no text, or quotes that do not end.
        BodymapError: no row of readings in it.
    """
    text, encoding, doubts = text_of(name, data)
    delimiter = delimiter_of(text, doubts)
    rows = rows_of(name, text, delimiter)
    decimal, thousands = decimal_of(rows, delimiter, doubts)
    signs, held = Signs(decimal, thousands), sorted_rows(rows, decimal, thousands)
    if not any(row.kind == "readings" for row in held):
        raise BodymapError(f"{name}: found no row of readings; allowed: CSV with a number in each row of readings")
    header = header_of(held)
    columns = columns_proposed(held, header, signs, doubts)
    unit, unit_why = unit_proposed(held, columns, signs, doubts)
    order = order_of(_dates(held, columns), doubts)
    mapping = GaugeMapping(
        encoding=encoding, delimiter=delimiter, decimal=decimal, thousands=thousands, header=header,
        roles=tuple(column.role for column in columns), unit=unit, date_order=order,
    )  # fmt: skip
    return GaugeProposal(
        mapping,
        columns,
        unit_why,
        tuple((row.row, _shown(row)) for row in held if row.kind == "statistics"),
        tuple((row.row, _shown(row)) for row in held if row.kind == "beside"),
        tuple(dict.fromkeys(row.batch for row in held if row.batch)),
        sum(row.kind == "readings" for row in held),
        tuple(doubts),
    )


def read_gauge(
    data: bytes,
    mapping: GaugeMapping,
    *,
    limits: Limits | None = None,
    readings: Sequence[Reading] = (),
    name: str = NAME,
) -> GaugeContent:
    """The readings of a gauge file by a confirmed mapping.

    Args:
        data: the file.
        mapping: as confirmed.
        limits: the gauge's range; readings outside it are flagged.
        readings: what the record holds already, in its order; readings that seem to be among them are flagged.
        name: name of the file for messages.

    Raises:
        Faults: the file is no text in the mapping's encoding, or quotes do not end.
        BodymapError: its header is not the one the mapping was made for, or no column holds readings.
    """
    text, _, _ = text_of(name, data, mapping.encoding)
    held = sorted_rows(rows_of(name, text, mapping.delimiter), mapping.decimal, mapping.thousands)
    _check_fit(header_of(held), mapping, name)
    rows: list[GaugeRow] = []
    keys: list[str] = []
    faults: list[Fault] = []
    left_out: list[tuple[int, str]] = []
    for row in held:
        if row.row in mapping.rows_left_out:
            left_out.append((row.row, f"left out by hand: {_shown(row)}"))
        elif row.kind != "readings":
            left_out.append((row.row, f"{row.kind}: {_shown(row)}"))
        else:
            found = _gauge_row(row, mapping, name, faults)
            if found.values_um:
                rows.append(found)
                keys.append(_first(row, mapping, "number"))
    return GaugeContent(flagged(rows, keys, limits or Limits(), readings), tuple(faults), tuple(left_out))


def as_setting(gauge: str, mapping: GaugeMapping, source: str) -> Setting:
    """A confirmed mapping as a setting of the record, under the name of a gauge (an id); rows left out are not kept."""
    kept = mapping.model_copy(update={"rows_left_out": ()})
    return Setting(key=KEPT_AS + gauge, value=kept.model_dump_json(), basis="own trial", source=source)


def remembered(settings: Iterable[Setting]) -> Mapping[str, GaugeMapping]:
    """The mappings a record holds, by gauge; those of another version that cannot be read are left out."""
    found = {}
    for setting in settings:
        if setting.key.startswith(KEPT_AS):
            try:
                found[setting.key.removeprefix(KEPT_AS)] = GaugeMapping.model_validate_json(setting.value)
            except ValidationError:
                continue
    return found


def _check_fit(header: tuple[str, ...] | None, mapping: GaugeMapping, name: str) -> None:
    if header != mapping.header:
        raise BodymapError(
            f"{name}: found the header {_header(header)}; allowed: {_header(mapping.header)}, for which the mapping was made"
        )
    if "value" not in mapping.roles:
        raise BodymapError(f"{name}: found no column for readings in the mapping; allowed: one at least")


def _gauge_row(row: SortedRow, mapping: GaugeMapping, name: str, faults: list[Fault]) -> GaugeRow:
    values = []
    own = only_unit(_first(row, mapping, "unit"))
    for place, role in enumerate(mapping.roles):
        cell = row.cells[place] if place < len(row.cells) else ""
        if role == "value" and cell:
            um = _um(cell, own, mapping)
            if um is None:
                column = mapping.header[place] if mapping.header and place < len(mapping.header) else f"column {place + 1}"
                known = number_in(cell, mapping.decimal, mapping.thousands) is not None
                faults.append(Fault(name, row.row, column, repr(cell), "a unit stated for it" if known else "a number"))
            else:
                values.append(um)
    extra = [cell for cell in row.cells[len(mapping.roles) :] if cell]
    if extra:
        faults.append(Fault(name, row.row, "", f"{', '.join(extra)} beyond the last column", "cells under a column"))
    if not values and not any(fault.row == row.row for fault in faults):
        faults.append(Fault(name, row.row, "", "no reading", "a number in a column of readings"))
    taken = _taken(row, mapping, name, faults)
    spot, batch = (_first(row, mapping, role) or None for role in ("spot", "batch"))
    return GaugeRow(row.row, tuple(values), spot, taken, batch or row.batch)


def _um(cell: str, own: Unit | None, mapping: GaugeMapping) -> float | None:
    found = number_in(cell, mapping.decimal, mapping.thousands)
    unit = found and (found[1] or own or mapping.unit)
    if found is None or unit is None:
        return None
    if unit == "mil":
        return mil_to_um(found[0])
    return found[0] * UM_PER_MM if unit == "mm" else found[0]


def _taken(row: SortedRow, mapping: GaugeMapping, name: str, faults: list[Fault]) -> str | None:
    whole = _first(row, mapping, "taken")
    date, time = split_moment(whole) if whole else (_first(row, mapping, "date"), _first(row, mapping, "time"))
    if not date:
        return None
    found = moment(date, time, mapping.date_order)
    if found is None:
        faults.append(
            Fault(name, row.row, "date", repr(f"{date} {time}".strip()), f"a date in the order {mapping.date_order}")
        )
    return found


def _first(row: SortedRow, mapping: GaugeMapping, role: Role) -> str:
    place = mapping.roles.index(role) if role in mapping.roles else len(row.cells)
    return row.cells[place] if place < len(row.cells) else ""


def _dates(rows: Sequence[SortedRow], columns: Sequence[ProposedColumn]) -> list[str]:
    places = [column.place for column in columns if column.role in ("date", "taken")]
    return [row.cells[place] for row in rows if row.kind == "readings" for place in places if place < len(row.cells)]


def _shown(row: SortedRow) -> str:
    return " | ".join(cell for cell in row.cells if cell)


def _header(header: tuple[str, ...] | None) -> str:
    return "none" if header is None else repr(" | ".join(header))
