"""The bytes of a gauge file as rows of cells: its encoding, its delimiter, its decimal sign. Every doubt is told."""

from __future__ import annotations

import codecs
import re
from collections import Counter
from collections.abc import Sequence

from bodymap.errors import Fault, Faults
from bodymap.exchange.gauge_words import Unit, only_unit
from bodymap.exchange.tables import parse_csv

Rows = list[tuple[int, list[str]]]

FILE_MOST_BYTES = 20_000_000
_NUMBER = re.compile(r"([+\-−]?[\d.,'\u00a0\u202f]*\d)\s*([A-Za-zµμ]+)?")
_ONE_SIGN = re.compile(r"[+\-−]?(\d+)([.,])(\d+)")
_GROUPED = re.compile(r"[+\-−]?\d{1,3}(?:([.,'\u00a0\u202f])\d{3})+(?:([.,])\d+)?")
_LONE = re.compile(r"\s*[+\-−]?(?:\d+|\d{1,3}(?:\.\d{3})+),\d+\s*[A-Za-zµμ]*\s*")
_SIGNS = {",": "a comma", ".": "a point", ";": "a semicolon", "\t": "a tab"}


def text_of(name: str, data: bytes, encoding: str | None = None) -> tuple[str, str, list[str]]:
    """The text of a file, its encoding, and doubts about it.

    Raises:
        Faults: too long, empty, not in the encoding asked for, or no text at all.
    """
    if len(data) > FILE_MOST_BYTES:
        raise Faults(name, [Fault(name, found=f"{len(data)} bytes", allowed=f"at most {FILE_MOST_BYTES} bytes")])
    doubts: list[str] = []
    asked = encoding or _encoding(data, doubts)
    try:
        text = data.decode(asked).lstrip("\ufeff").replace("\x00", "\ufffd")
    except (UnicodeDecodeError, LookupError) as error:
        raise Faults(name, [Fault(name, found=f"bytes that are no {asked}", allowed=f"text in {asked}")]) from error
    if not text.strip() or text.count("\ufffd") > len(text) // 20:
        raise Faults(name, [Fault(name, found="no text", allowed="rows of readings as text")])
    return text, asked, doubts


def rows_of(name: str, text: str, delimiter: str) -> Rows:
    """The rows with their numbers, empty ones left out, cells trimmed. Raises Faults on quotes that do not end."""
    found = parse_csv(name, text.encode("utf-8"), delimiter)
    return [(number, [cell.strip(" \t\u00a0") for cell in cells]) for number, cells in found if any(map(str.strip, cells))]


def delimiter_of(text: str, doubts: list[str]) -> str:
    """The delimiter that splits the rows with digits; a comma where nothing does."""
    lines = [line for line in text.splitlines() if any(sign.isdigit() for sign in line)]
    counts = {sign: [_outside_quotes(line, sign) for line in lines] for sign in ";\t,"}
    held = {sign: sum(count > 0 for count in found) for sign, found in counts.items()}
    likely = [sign for sign in ";\t" if held[sign] * 2 > len(lines)]
    if len(likely) == 2:
        likely.sort(key=lambda sign: -sum(counts[sign]))
        doubts.append(f"both {_SIGNS[likely[0]]} and {_SIGNS[likely[1]]} part the rows; {_SIGNS[likely[0]]} is taken")
    if likely or not held[","]:
        return likely[0] if likely else ","
    header = next((line for line in text.splitlines() if line.strip() and line not in lines), None)
    lone = all(_LONE.fullmatch(line) for line in lines if "," in line)
    if lone and (header is None or "," not in header):
        doubts.append(
            "each row is two numbers with a comma between: it may be one reading with a decimal comma, or two; "
            "one reading with a decimal comma is taken"
        )
        return ";"
    return ","


def decimal_of(rows: Rows, delimiter: str, doubts: list[str]) -> tuple[str, str]:
    """The decimal sign and the sign between thousands ("" where there is none)."""
    cells = [cell for _, row in rows for cell in row]
    single = [found for found in (_ONE_SIGN.fullmatch(_bare(cell)) for cell in cells) if found]
    grouped = [found for found in (_GROUPED.fullmatch(_bare(cell)) for cell in cells) if found]
    both = [(found[1], found[2]) for found in grouped if found[2] and found[1] != found[2]]
    if both:
        thousands, decimal = Counter(both).most_common(1)[0][0]
        return decimal, thousands
    told = Counter(found[2] for found in single)
    if not told:
        return ("," if delimiter == ";" else "."), ""
    decimal = told.most_common(1)[0][0]
    if len(told) > 1:
        doubts.append(
            f"numbers with a comma and numbers with a point stand side by side; {_SIGNS[decimal]} is taken as decimal"
        )
    if all(len(found[3]) == 3 and found[1].lstrip("0") for found in single):
        doubts.append(
            f"every number with {_SIGNS[decimal]} has three digits after it, as in {single[0][0]}: it may part thousands; "
            "a decimal sign is taken"
        )
    return decimal, ""


def number_in(cell: str, decimal: str, thousands: str) -> tuple[float, Unit | None] | None:
    """The number in a cell and the unit behind it, where one stands there; None where it holds no number.

    >>> number_in("1.234,5 µm", ",", "."), number_in("81.5", ".", ""), number_in("07.10.2025", ",", ".")
    ((1234.5, 'um'), (81.5, None), None)
    """
    found = _NUMBER.fullmatch(cell.strip())
    if not found:
        return None
    unit = only_unit(found[2]) if found[2] else None
    if found[2] and unit is None:
        return None
    digits = found[1].replace("−", "-")
    if thousands and re.fullmatch(rf"[+-]?\d{{1,3}}({re.escape(thousands)}\d{{3}})+({re.escape(decimal)}\d+)?", digits):
        digits = digits.replace(thousands, "")
    if not re.fullmatch(rf"[+-]?\d*({re.escape(decimal)}\d+)?", digits) or not any(sign.isdigit() for sign in digits):
        return None
    return float(digits.replace(decimal, ".")), unit


def _encoding(data: bytes, doubts: list[str]) -> str:
    for mark, name in ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16")):
        if data.startswith(mark):
            return name
    for start, name in ((1, "utf-16-le"), (0, "utf-16-be")):
        if len(data) > 3 and data[start::2].count(0) * 3 > len(data[start::2]):
            doubts.append(f"every other byte is 0 and no mark says so: read as {name}")
            return name
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        name = "cp1252" if _fits(data, "cp1252") else "latin-1"
        word = data[max(0, error.start - 8) : error.start + 8].decode(name).strip()
        doubts.append(
            f"bytes that are no UTF-8 are read as {'Windows-1252' if name == 'cp1252' else 'Latin-1'}: look at {word!r}"
        )
        return name
    return "utf-8"


def _fits(data: bytes, encoding: str) -> bool:
    try:
        data.decode(encoding)
    except UnicodeDecodeError:
        return False
    return True


def _outside_quotes(line: str, sign: str) -> int:
    return sum(part.count(sign) for part in line.split('"')[::2])


def _bare(cell: str) -> str:
    found = _NUMBER.fullmatch(cell.strip())
    return found[1] if found else ""


def examples(cells: Sequence[str], most: int = 3) -> tuple[str, ...]:
    """The first few different cells that hold something."""
    return tuple(dict.fromkeys(cell for cell in cells if cell))[:most]
