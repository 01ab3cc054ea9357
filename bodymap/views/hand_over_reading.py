"""How to read a hand-over folder when no program of today is left, in words that stand in the folder itself."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from bodymap.views.hand_over_parts import Block, Column, Facts, HandOverView, Heading, Row, Standing, Table, Words, table

_WIDE = 100
_LAST = "Hash of the last entry"

FILES = (
    ("index.html", "This file as one page. Opens in any browser, asks nothing of any network, has no program in it."),
    ("hand-over.pdf", "The same on paper, with headings for screen readers."),
    ("READ-ME.txt", "This chapter as plain text."),
    ("manifest.csv", "Every file of the folder: its SHA-256, its bytes, what it is, what it was made from."),
    (
        "tables.xlsx",
        "The record as tables: zones with areas, parts, coats, stacks, film, areas, findings, sources, steps, journal.",
    ),
    ("zones.geojson", "Every zone with its areas and its film, on its drawing, in millimetres."),
    ("map.gpkg", "The record as one database (OGC GeoPackage, which is SQLite): opens in a geographic information system."),
    ("map.media/", "The files beside that database, named by their hash."),
    ("media/", "The pictures and papers, to be looked at."),
    ("record/", "The record as plain files, one kind a file: CSV and GeoJSON. Nothing is needed to read them."),
)
ANEW = (
    "Pictures were re-encoded for this folder. A camera writes into the file where, when and with what it was taken, "
    "which need not be passed on. They were turned upright, made no larger than needed, and written anew without it; "
    "the time of taking stands with the source."
)
SAID_IN_JOURNAL = (
    "The journal says so: for each such picture an entry names the hash of the file it was made from, and the record in "
    "this folder bears the hash of the new one. So the chain goes on unbroken from the record as it was kept, and every "
    "file here can be held against it. manifest.csv names both hashes of each picture."
)
SAID_BESIDE = (
    "The record in this folder bears the hash of the new picture; the hash of the file it was made from stands beside it "
    "(original_sha256 in sources.csv) and in manifest.csv."
)
NO_PICTURE = "What is no picture is as it was. A picture or film that could not be re-encoded was left out, and is named."
AS_THEY_WERE = (
    "Pictures are here as they were, with whatever a camera wrote into them: where, when and with what they were taken. "
    "Think of that before passing them on."
)
CHAIN = (
    (
        "An entry is a row of record/journal.csv. Its hash is the SHA-256 of bytes that spell a list of two: the column "
        "before, as a text; and a table of nine names, which are the columns at, act, body, by, ident, kind, place, seq "
        "and why."
    ),
    "Of them seq and place are whole numbers, body is the table which the JSON of that cell holds, the others are texts.",
    (
        "A text is spelt: s, the number of its bytes in UTF-8, a colon, those bytes. A whole number (in JSON: without point "
        "and exponent): i, how many characters it has, a colon, the characters. Any other number: d, then its eight bytes "
        "as an IEEE 754 double, highest byte first. True: t. False: f. Null: n."
    ),
    (
        "A list is spelt: l, how many items, a colon, the items. A table: m, how many names, a colon, and for each name, in "
        "the order of code points, the name as a text and what it stands for."
    ),
    "The first entry has 64 noughts in the column before; every other one the hash of the entry above it.",
)
NAMELESS = (
    "Names of persons are replaced by numbers, so the journal of this folder is a new one: its chain cannot be that of the "
    "record as it was kept, whose count and hash are at the foot of every page. Names were replaced where they stand in a "
    "field for names, and where the same name stands in other texts; what is written in a picture, and a nickname, no "
    "program can know. Papers that are no pictures were left out."
)


def reading_blocks(standing: Standing, ends: Standing, *, nameless: bool, originals: bool) -> Iterator[Block]:
    """The chapter on how to read the folder."""
    yield Words(
        (
            (
                "Begin with index.html or hand-over.pdf. If neither opens any more, open the files "
                "of record/ with anything that "
                "shows text: they are UTF-8, with one row a line and commas between."
            ),
        )
    )
    columns = (Column("File", 1), Column("What it is", 4))
    yield table("The files of this folder", columns, [Row(row) for row in FILES], "")
    yield Heading("Units and words")
    yield Facts(
        (
            ("Lengths", "millimetres; areas in files mm², on pages m²; film in micrometres (µm)"),
            ("Places", "each drawing is a plane of its own: x to the right, y up, in millimetres of the vehicle"),
            (
                "Drawn and true area",
                "true area = drawn area × surface ratio (surface_ratio), which tells of crown and flanges",
            ),
            ("Stack", "a place where the layers were looked at; position 1 lies nearest the substrate"),
            ("Extent", "full; mist; none, which was looked for and is absent. A blank is not seen, never none"),
            ("Colours", "#rrggbb, a name for the eye on a drawing, not a measurement"),
            ("Dates", "year-month-day (ISO 8601)"),
        )
    )
    yield Heading("Pictures")
    goes_on = not nameless and not _same(standing, ends)
    anew = (ANEW, SAID_IN_JOURNAL if goes_on else SAID_BESIDE, NO_PICTURE)
    yield Words((AS_THEY_WERE,) if originals else anew, points=True)
    yield Heading("Is it still what was handed over?")
    yield Words(tuple(_checks(standing, ends, nameless=nameless)), points=True)
    yield Facts((("Entries in record/journal.csv", str(ends.count)), (_LAST, ends.sha256)), frozenset({_LAST}))
    yield Heading("How the hash of an entry is made")
    yield Words(CHAIN, points=True)


def _checks(standing: Standing, ends: Standing, *, nameless: bool) -> Iterator[str]:
    yield "SHA-256 of a file is told by any computer; hold it against manifest.csv."
    yield (
        "In record/journal.csv each entry bears the hash of the entry before it. How many entries there must be, and the "
        "hash of the last one, stand below."
    )
    yield "Count and hash at the foot of every page say where the record stood when this was made."
    if nameless:
        yield NAMELESS
    elif standing == ends:
        yield "The record had no journal that fitted it; that of this folder begins or ends with the hand-over."
    elif _same(standing, ends):
        yield "The journal of the folder is that of the record as it was kept, to the last entry: nothing was changed in it."
    else:
        yield "The journal of the folder goes on from the record as it was kept; the hand-over itself is its last entries."


def _same(one: Standing, other: Standing) -> bool:
    """Whether two journals end with the same entry, whatever they are called."""
    return (one.count, one.sha256) == (other.count, other.sha256)


def read_me(view: HandOverView) -> str:
    """The last chapter as plain text, with what every page bears at its foot."""
    chapter = view.chapters[-1]
    title = f"Hand-over file: {view.vehicle}"
    lines = [title, "=" * len(title), "", f"Handed over {view.at}", f"{view.standing.words}: {view.standing.short}", ""]
    for block in chapter.blocks:
        lines += [*_plain(block), ""]
    return "\n".join(lines)


def _plain(block: Block) -> Iterator[str]:
    if isinstance(block, Words):
        for line in block.lines:
            yield from wrap(
                line, _WIDE, initial_indent="- " if block.points else "", subsequent_indent="  " if block.points else ""
            )
    elif isinstance(block, Facts):
        for label, value in block.rows:
            yield from wrap(f"{label}: {value}", _WIDE, subsequent_indent="    ")
    elif isinstance(block, Heading):
        yield from (block.title, "-" * len(block.title))
    elif isinstance(block, Table):
        yield from (block.caption, "")
        for row in block.rows:
            yield from wrap(": ".join(row.cells), _WIDE, subsequent_indent="    ")
