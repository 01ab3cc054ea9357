"""Which characters the prints can show, so that none is lost without a word.

The shipped font is asked through its own character map (the `cmap` table of an OpenType font, ISO/IEC 14496-22: formats
4 and 12; from memory, not seen). A character that it lacks is printed as a white square and told.
"""

from __future__ import annotations

import struct
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from importlib.resources import files

FONTS = ("DejaVuSansCondensed.ttf", "DejaVuSansCondensed-Bold.ttf")
IN_ITS_PLACE = "□"
_WHITE = {"\n", "\t", "\r", " "}

# Lost characters that a sheet has room to name.
TOLD_MOST = 12


@cache
def printable() -> frozenset[int]:
    """The code points that every shipped font has."""
    folder = files("bodymap.briefs") / "fonts"
    return frozenset.intersection(*(code_points((folder / name).read_bytes()) for name in FONTS))


def code_points(font: bytes) -> frozenset[int]:
    """The code points in the Unicode character maps of an OpenType font file.

    Raises:
        ValueError: the font has no `cmap` table.
    """
    (count,) = struct.unpack_from(">H", font, 4)
    for index in range(count):
        tag, _, start, _ = struct.unpack_from(">4sLLL", font, 12 + 16 * index)
        if tag == b"cmap":
            return frozenset(_mapped(font, start))
    raise ValueError("a font without a character map")


def _mapped(font: bytes, start: int) -> Iterator[int]:
    (count,) = struct.unpack_from(">H", font, start + 2)
    for index in range(count):
        platform, _, offset = struct.unpack_from(">HHL", font, start + 4 + 8 * index)
        if platform in (0, 3):
            (layout,) = struct.unpack_from(">H", font, start + offset)
            yield from {4: _segments, 12: _groups}.get(layout, _none)(font, start + offset)


def _none(_font: bytes, _at: int) -> Iterator[int]:
    yield from ()


def _groups(font: bytes, at: int) -> Iterator[int]:
    (count,) = struct.unpack_from(">L", font, at + 12)
    for first, last, _ in struct.iter_unpack(">LLL", font[at + 16 : at + 16 + 12 * count]):
        yield from range(first, last + 1)


def _segments(font: bytes, at: int) -> Iterator[int]:
    (twice,) = struct.unpack_from(">H", font, at + 6)
    count = twice // 2
    columns = [struct.unpack_from(f">{count}H", font, at + 14 + skip) for skip in (0, twice + 2, 2 * twice + 2)]
    ranges_at = at + 16 + 3 * twice
    offsets = struct.unpack_from(f">{count}H", font, ranges_at)
    for place, (last, first, delta) in enumerate(zip(*columns, strict=True)):
        for code in range(first, min(last, 0xFFFE) + 1):
            glyph = code
            if offsets[place]:
                (glyph,) = struct.unpack_from(">H", font, ranges_at + 2 * place + offsets[place] + 2 * (code - first))
                glyph = glyph and glyph + delta
            else:
                glyph += delta
            if glyph & 0xFFFF:
                yield code


def missing(texts: Iterable[str]) -> tuple[str, ...]:
    """The characters of the texts which the prints cannot show, each once, in the order of their code points.

    >>> missing(["Tür Ω Ж", "漢"])
    ('漢',)
    """
    return tuple(sorted({char for text in texts for char in text if not _shown(char)}))


def told(char: str) -> str:
    """A character by number and name, for a reader who cannot see it.

    >>> told("漢")
    'U+6F22 CJK UNIFIED IDEOGRAPH-6F22'
    """
    return f"U+{ord(char):04X} {unicodedata.name(char, 'control character or unassigned')}"


def lost(texts: Iterable[str]) -> tuple[str, ...]:
    """The characters in texts that cannot be printed, each by number and name."""
    return tuple(told(char) for char in missing(texts))


def first_of(lost_ones: Sequence[str], most: int = TOLD_MOST) -> list[str]:
    """As many as a sheet has room to tell, and how many more there are.

    >>> first_of(["a", "b", "c"], most=2)
    ['a', 'b', 'and 1 more']
    """
    more = [f"and {len(lost_ones) - most} more"] if len(lost_ones) > most else []
    return [*lost_ones[:most], *more]


def readied(text: str) -> str:
    """The text as it is printed: composed (NFC), in one line, a white square for each character the font lacks.

    >>> readied("left wing 漢")
    'left wing □'
    """
    shown = (char if _shown(char) else IN_ITS_PLACE for char in unicodedata.normalize("NFC", text))
    return "".join(" " if char in _WHITE else char for char in shown)


def _shown(char: str) -> bool:
    if char in _WHITE or ord(char) in printable():
        return True
    # Format characters (joiners, direction marks) and variation selectors have no picture of their own.
    return unicodedata.category(char) == "Cf" or 0xFE00 <= ord(char) <= 0xFE0F
