"""The CSV of a step card: a row a step, its film and its colour as a meter (`L,a,b`) or a picture (`r,g,b`) gives it.

Columns: `um` and either `L`, `a`, `b` (CIELAB, D65) or `r`, `g`, `b` (sRGB, 0–255); capitals or not, in any order. One row
with um 0 is the ground. Other columns are not used, and that is said.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bodymap.errors import Fault, Faults
from bodymap.exchange.cells import NotThisKind, shown, value_of
from bodymap.exchange.tables import parse_csv
from bodymap.finish.colour import lab_of_srgb8
from bodymap.finish.tint import CardStep, build_faults
from bodymap.model import Column

LAB, RGB = ("l", "a", "b"), ("r", "g", "b")
_WORDS = "um and L, a, b; or um and r, g, b"
# Least, greatest, in words. L* may pass 100 near the gloss of metal flake.
_RANGES: Mapping[str, tuple[float, float, str]] = {
    "um": (0.0, 1e5, "a film in µm with a decimal point, 0 (the ground) or more"),
    "l": (0.0, 200.0, "L*, a number from 0 to 200"),
    "a": (-200.0, 200.0, "a*, a number from −200 to 200"),
    "lab b": (-200.0, 200.0, "b*, a number from −200 to 200"),
    "r": (0.0, 255.0, "a number from 0 to 255"),
    "g": (0.0, 255.0, "a number from 0 to 255"),
    "b": (0.0, 255.0, "a number from 0 to 255"),
}


@dataclass(frozen=True)
class StepCard:
    """The steps of a card in the order of the file, the ground among them; what was read but not used."""

    steps: tuple[CardStep, ...]
    notes: tuple[str, ...]


def parse_step_card(name: str, data: bytes) -> StepCard:
    """Read a step card.

    Raises:
        Faults: everything wrong with it at once: cells, columns, and what makes the card as a whole senseless.
    """
    rows = parse_csv(name, data)
    _, header = next(rows, (1, []))
    columns = [cell.strip().casefold() for cell in header]
    colour = LAB if "l" in columns else RGB
    faults = _header_faults(name, header, columns, colour)
    if faults:
        raise Faults(name, faults)
    steps, films = [], []
    for number, cells in rows:
        values, wrong = _values(name, number, header, columns, cells, colour)
        faults += wrong
        films.append(values.get("um"))
        if not wrong:
            steps.append(CardStep(values["um"], _lab(values, colour), number))
    faults += build_faults([um for um in films if um is not None], name, films.count(None))
    if faults:
        raise Faults(name, faults)
    idle = [head for head, column in zip(header, columns, strict=True) if column not in ("um", *colour)]
    return StepCard(tuple(steps), tuple(f"{name}: the column {shown(head)} is not used" for head in idle))


def _header_faults(name: str, header: list[str], columns: list[str], colour: tuple[str, ...]) -> list[Fault]:
    if not any(columns):
        return [Fault(name, 1, "", "no header row", f"a first row with {_WORDS}")]
    if len(columns) == 1:
        return [Fault(name, 1, "", f"one column, {shown(header[0])}", f"{_WORDS}, with commas between (RFC 4180)")]
    faults = [
        Fault(name, 1, column, f"{columns.count(column)} columns of this name", "each column once")
        for column in dict.fromkeys(columns)
        if columns.count(column) > 1
    ]
    if "l" in columns and "r" in columns:
        faults.append(Fault(name, 1, "", "columns of both kinds of colour", _WORDS))
    lacking = [column for column in ("um", *colour) if column not in columns]
    return faults + [Fault(name, 1, column.replace("l", "L"), "no such column", _WORDS) for column in lacking]


def _values(
    name: str, number: int, header: list[str], columns: list[str], cells: list[str], colour: tuple[str, ...]
) -> tuple[dict[str, float], list[Fault]]:
    """The numbers of a row by column, as far as they can be read, and what is wrong with it."""
    if len(cells) != len(columns):
        return {}, [Fault(name, number, "", f"{len(cells)} cells", f"{len(columns)} cells, as in the header")]
    values, faults = {}, []
    for head, column, cell in zip(header, columns, cells, strict=True):
        if column not in ("um", *colour):
            continue
        least, most, words = _RANGES["lab b" if column == "b" and colour is LAB else column]
        value = _number(cell)
        if value is None or not least <= value <= most:
            faults.append(Fault(name, number, head.strip(), shown(cell) if cell.strip() else "a blank", words))
        if value is not None:
            values[column] = value
    return values, faults


def _lab(values: Mapping[str, float], colour: tuple[str, ...]) -> tuple[float, float, float]:
    read = [values[column] for column in colour]
    lightness, a, b = read if colour is LAB else lab_of_srgb8(read).tolist()
    return lightness, a, b


def _number(cell: str) -> float | None:
    try:
        value = value_of(Column("", "number", required=True, words=""), cell)
    except NotThisKind:
        return None
    return None if value is None else float(value)
