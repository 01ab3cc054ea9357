"""Prints the hand-over file: a tagged PDF with the head of the journal on every page."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from bodymap.briefs.glyphs import missing, readied, told
from bodymap.briefs.mask_pages import breakable, texts_in
from bodymap.briefs.typeset import moment_of, pdf_of, pictures_of
from bodymap.views.hand_over_parts import (
    Banner,
    Block,
    Chapter,
    Facts,
    HandOverView,
    Heading,
    Map,
    Plates,
    Row,
    Table,
    Words,
)

_TEMPLATE = "hand_over.typ"
_TOLD_MOST = 12
# What is written in an SVG drawing: whatever stands between two tags.
_SVG_TEXT = re.compile(r"(?<=>)[^<>]+(?=<)")
Data = dict[str, Any]


def hand_over_pdf(view: HandOverView, maps: Mapping[str, str]) -> bytes:
    """The hand-over file as a tagged A4 PDF; the same bytes for the same input.

    Args:
        view: what it says; `view.at` dates the print.
        maps: each map of the view drawn as SVG, by its ident.

    Raises:
        ValueError: `view.at` is no ISO 8601 date or date-time.
        KeyError: a map that is not drawn.
    """
    return pdf_of(_TEMPLATE, _data(view, maps), moment_of(view.at))


def hand_over_png(view: HandOverView, maps: Mapping[str, str], ppi: float = 70) -> list[bytes]:
    """The pages as PNG pictures; arguments as for `hand_over_pdf`."""
    return pictures_of(_TEMPLATE, _data(view, maps), ppi)


def unprintable(view: HandOverView, maps: Mapping[str, str]) -> tuple[str, ...]:
    """The characters that the print cannot show, each by number and name; the print says so as well."""
    words = (text for svg in maps.values() for text in _SVG_TEXT.findall(svg))
    return tuple(told(char) for char in missing((*texts_in(_pages(view)), *words)))


def _data(view: HandOverView, maps: Mapping[str, str]) -> Data:
    lost = unprintable(view, maps)
    more = [f"and {len(lost) - _TOLD_MOST} more"] if len(lost) > _TOLD_MOST else []
    pages = _ready(_pages(view))
    drawn = {block.ident: _SVG_TEXT.sub(lambda found: readied(found[0]), maps[block.ident]) for block in view.maps}
    return {**pages, "maps": drawn, "unprintable": [*lost[:_TOLD_MOST], *more]}


def _pages(view: HandOverView) -> Data:
    return {
        "title": f"Hand-over file: {view.vehicle}",
        "vehicle": view.vehicle,
        "at": view.at[:10],
        "standing": f"{view.standing.words}: {view.standing.short}",
        "chapters": [
            {"title": chapter.title, "runs": [{"flat": flat, "blocks": [*map(_block, run)]} for flat, run in _runs(chapter)]}
            for chapter in view.chapters
        ],
    }


def _runs(chapter: Chapter) -> list[tuple[bool, list[Block]]]:
    """Blocks page by page: a map takes a flat page with what was said just before it, all else runs on upright ones."""
    runs: list[tuple[bool, list[Block]]] = []
    held: list[Block] = []
    for block in chapter.blocks:
        if isinstance(block, Plates):
            continue
        held.append(block)
        if isinstance(block, Map):
            before = [place for place, one in enumerate(held[:-1]) if not isinstance(one, (Words, Banner, Heading))]
            cut = before[-1] + 1 if before else 0
            runs += [(False, held[:cut])] if cut else []
            runs.append((True, held[cut:]))
            held = []
    return [*runs, (False, held)] if held else runs


def _block(block: Block) -> Data:
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
    if isinstance(block, Table):
        return _table(block)
    raise TypeError(f"no print for {type(block).__name__}")


def _table(block: Table) -> Data:
    return {
        "is": "table",
        "caption": block.caption,
        "columns": [{"title": one.title, "share": one.share, "right": one.right} for one in block.columns],
        "rows": [_row(row) for row in block.rows],
        "empty": block.empty,
        "note": block.note,
    }


def _row(row: Row) -> Data:
    return {
        "cells": list(row.cells),
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
