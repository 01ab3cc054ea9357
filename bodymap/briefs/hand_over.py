"""Prints the hand-over file: a tagged PDF with the head of the journal on every page."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from bodymap.briefs.glyphs import first_of, lost, readied
from bodymap.briefs.mask_pages import breakable, texts_in
from bodymap.briefs.photographs import print_ready
from bodymap.briefs.typeset import archival_pdf_of, moment_of, pictures_of
from bodymap.progress import Step, silent, spread
from bodymap.views.hand_over_parts import (
    Banner,
    Block,
    Chapter,
    Facts,
    HandOverView,
    Heading,
    Map,
    Plate,
    Plates,
    Row,
    Table,
    Words,
)

_TEMPLATE = "hand_over.typ"
# The frame of a picture; two stand side by side.
_PLATE_MM = (86.0, 62.0)
# What a table has across [mm], what a letter takes of it, and how many lines a row may have to be kept on one page.
_ACROSS_MM, _LETTER_MM, _LINES_MOST = 180.0, 1.6, 30
# What is written in an SVG drawing: whatever stands between two tags.
_SVG_TEXT = re.compile(r"(?<=>)[^<>]+(?=<)")
Data = dict[str, Any]


def hand_over_pdf(view: HandOverView, maps: Mapping[str, str], photos: Mapping[str, bytes] | None = None) -> bytes:
    """The hand-over file as a tagged A4 PDF for archives (PDF/A-2a); the same bytes for the same input.

    Args:
        view: what it says; `view.at` dates the print.
        maps: each map of the view drawn as SVG, by its ident.
        photos: its pictures (`plates_ready`); one that is not among them is named and said to be missing.

    Raises:
        ValueError: `view.at` is no ISO 8601 date or date-time.
        KeyError: a map that is not drawn.
    """
    names, ready = _named(view, photos or {})
    return archival_pdf_of(_TEMPLATE, _data(view, maps, names), moment_of(view.at), ready)


def hand_over_png(
    view: HandOverView, maps: Mapping[str, str], ppi: float = 70, photos: Mapping[str, bytes] | None = None
) -> list[bytes]:
    """The pages as PNG pictures; arguments as for `hand_over_pdf`."""
    names, ready = _named(view, photos or {})
    return pictures_of(_TEMPLATE, _data(view, maps, names), ppi, ready)


def photo_files(view: HandOverView) -> tuple[str, ...]:
    """Names of the files under media/ that the print shows as pictures."""
    plates = (block for chapter in view.chapters for block in chapter.blocks if isinstance(block, Plates))
    return tuple(dict.fromkeys(one.file for block in plates for one in block.pictures))


def plates_ready(view: HandOverView, read: Callable[[str], bytes | None], step: Step = silent) -> dict[str, bytes]:
    """Its pictures by file name, sized for the print, upright, without EXIF; what cannot be read as one is left out.

    `read` gives the file of a name, a few at once: there may be more of them than fit in memory.
    """

    def ready(file: str) -> bytes | None:
        data = read(file)
        return print_ready(data, *_PLATE_MM) if data else None

    made = spread(ready, photo_files(view), "Sizing the pictures for the print", step)
    return {file: picture for file, picture in made if picture}


def _named(view: HandOverView, photos: Mapping[str, bytes]) -> tuple[dict[str, str], dict[str, bytes]]:
    """Names beside the template by file name, and the pictures by those names."""
    names = {file: f"photo-{number}.jpg" for number, file in enumerate(photo_files(view)) if file in photos}
    return names, {name: photos[file] for file, name in names.items()}


def unprintable(view: HandOverView, maps: Mapping[str, str]) -> tuple[str, ...]:
    """The characters that the print cannot show, each by number and name; the print says so as well."""
    words = (text for svg in maps.values() for text in _SVG_TEXT.findall(svg))
    return lost((*texts_in(_pages(view, {})), *words))


def _data(view: HandOverView, maps: Mapping[str, str], photos: Mapping[str, str]) -> Data:
    pages = _ready(_pages(view, photos))
    drawn = {block.ident: _SVG_TEXT.sub(lambda found: readied(found[0]), maps[block.ident]) for block in view.maps}
    return {**pages, "maps": drawn, "unprintable": first_of(unprintable(view, maps))}


def _pages(view: HandOverView, photos: Mapping[str, str]) -> Data:
    return {
        "title": f"Hand-over file: {view.vehicle}",
        "vehicle": view.vehicle,
        "at": view.at[:10],
        "standing": f"{view.standing.words}: {view.standing.short}",
        "chapters": [
            {
                "title": chapter.title,
                "runs": [{"flat": flat, "blocks": [_block(one, photos) for one in run]} for flat, run in _runs(chapter)],
            }
            for chapter in view.chapters
        ],
    }


def _runs(chapter: Chapter) -> list[tuple[bool, list[Block]]]:
    """Blocks page by page: a map takes a flat page with what was said just before it, all else runs on upright ones."""
    runs: list[tuple[bool, list[Block]]] = []
    held: list[Block] = []
    for block in chapter.blocks:
        held.append(block)
        if isinstance(block, Map):
            before = [place for place, one in enumerate(held[:-1]) if not isinstance(one, (Words, Banner, Heading))]
            cut = before[-1] + 1 if before else 0
            runs += [(False, held[:cut])] if cut else []
            runs.append((True, held[cut:]))
            held = []
    return [*runs, (False, held)] if held else runs


def _block(block: Block, photos: Mapping[str, str]) -> Data:
    if isinstance(block, Words):
        return {"is": "points" if block.points else "words", "lines": list(block.lines)}
    if isinstance(block, Facts):
        return {
            "is": "facts",
            "rows": [[label, _Verbatim(value) if label in block.verbatim else value] for label, value in block.rows],
        }
    if isinstance(block, Banner):
        return {"is": "banner", "words": block.words}
    if isinstance(block, Heading):
        return {"is": "heading", "title": block.title}
    if isinstance(block, Map):
        return {"is": "map", "ident": _Verbatim(block.ident), "title": block.title, "alt": block.alt}
    if isinstance(block, Plates):
        return {"is": "plates", "plates": [_plate(one, photos.get(one.file)) for one in block.pictures]}
    if isinstance(block, Table):
        return _table(block)
    raise TypeError(f"no print for {type(block).__name__}")


def _plate(one: Plate, name: str | None) -> Data:
    return {"name": name and _Verbatim(name), "file": one.file, "caption": one.caption, "alt": one.alt}


def _table(block: Table) -> Data:
    letters = [_ACROSS_MM * one.share / sum(column.share for column in block.columns) / _LETTER_MM for one in block.columns]
    return {
        "is": "table",
        "caption": block.caption,
        "columns": [{"title": one.title, "share": one.share, "right": one.right} for one in block.columns],
        "rows": [_row(row, letters) for row in block.rows],
        "empty": block.empty,
        "note": block.note,
    }


def _row(row: Row, letters: list[float]) -> Data:
    """A row; `letters`: how many each of its columns holds in a line."""
    lines = max((len(cell) / most for cell, most in zip(row.cells, letters, strict=True)), default=0)
    return {
        "cells": list(row.cells),
        "breaks": lines > _LINES_MOST,
        "kind": row.kind,
        "under": [_Verbatim(line) for line in row.under.split("\n")] if row.under else [],
        "colour": row.colour,
    }


class _Verbatim(str):
    """A text that is compared letter by letter: nothing is put into it."""

    __slots__ = ()


def _ready(value: Any) -> Any:
    """The same data with every text ready for print."""
    if isinstance(value, _Verbatim):
        return readied(value)
    if isinstance(value, str):
        return breakable(readied(value))
    if isinstance(value, dict):
        return {key: item if key in ("is", "kind", "standing", "colour") else _ready(item) for key, item in value.items()}
    return [_ready(item) for item in value] if isinstance(value, list) else value
