"""The hand-over file as one HTML page: no script, no request to anywhere, nothing but what lies in the folder beside it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape
from importlib.resources import files
from urllib.parse import quote

from bodymap.exchange.sheet_svg import sheet_svg
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
from bodymap.views.palette import DARK, LIGHT

_LINKS = (
    ("hand-over.pdf", "as a print"),
    ("tables.xlsx", "as tables"),
    ("record/", "as plain files"),
    ("map.gpkg", "as a map for a GIS"),
    ("media/", "pictures and papers"),
    ("manifest.csv", "every file with its hash"),
)
# Nothing may be fetched, run or sent, whatever a text of the record says; pictures come from the folder.
_POLICY = "default-src 'none'; img-src 'self' file: data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"


def page_html(view: HandOverView, present: Iterable[str], language: str = "en") -> bytes:
    """The page as UTF-8. `present`: what lies in the folder, of which only that is linked."""
    there = set(present)
    links = "".join(
        f'<li><a href="{quote(name)}">{escape(name)}</a> {escape(words)}</li>' for name, words in _LINKS if name in there
    )
    contents = "".join(f'<li><a href="#{chapter.ident}">{escape(chapter.title)}</a></li>' for chapter in view.chapters)
    standing = f"{escape(view.standing.words)}: {view.standing.short}"
    parts = [
        f'<!DOCTYPE html>\n<html lang="{language}"><head><meta charset="utf-8">',
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        '<meta name="color-scheme" content="light dark"><meta name="robots" content="noindex">',
        f"<title>Hand-over file: {_said(view.vehicle)}</title><style>{_style()}</style></head><body>",
        '<a class="skip" href="#job">To the text</a><header>',
        f'<p class="over">Hand-over file</p><h1><bdi>{_said(view.vehicle)}</bdi></h1>',
        f"<p>Handed over {_said(view.at[:10])}. {standing}.</p>",
        f'<nav aria-label="Files of this folder"><ul class="files">{links}</ul></nav></header>',
        f'<div class="sheet"><nav class="contents" aria-label="Contents"><h2>Contents</h2><ol>{contents}</ol></nav><main>',
        *(_chapter(number, chapter) for number, chapter in enumerate(view.chapters, start=1)),
        f"</main></div><footer><p>{_said(view.vehicle)} · {standing}</p></footer></body></html>\n",
    ]
    return "".join(parts).encode("utf-8", "replace")


def _style() -> str:
    css = (files("bodymap.exchange") / "hand_over_page.css").read_text(encoding="utf-8")
    return _roles(LIGHT, ":root") + "@media screen and (prefers-color-scheme: dark){" + _roles(DARK, ":root") + "}" + css


def _roles(roles: Mapping[str, str], where: str) -> str:
    return where + "{" + "".join(f"--{role}:{colour};" for role, colour in roles.items()) + "}"


def _paint(paint: str) -> str:
    return paint if paint.startswith("#") else f"var(--{paint})"


def _said(text: str) -> str:
    """Text of the record as it may stand anywhere in a page: escaped, without control characters."""
    return escape("".join(char if char.isprintable() or char in "\n\t" else " " for char in text))


def _chapter(number: int, chapter: Chapter) -> str:
    blocks = "".join(_block(block) for block in chapter.blocks)
    return (
        f'<section id="{chapter.ident}"><h2><span class="no">{number}</span> {escape(chapter.title)}</h2>{blocks}</section>'
    )


def _block(block: Block) -> str:
    if isinstance(block, Words):
        return _words(block)
    if isinstance(block, Facts):
        rows = "".join(f"<div><dt>{_said(label)}</dt><dd>{_said(value)}</dd></div>" for label, value in block.rows)
        return f"<dl>{rows}</dl>"
    if isinstance(block, Banner):
        return f'<p class="banner">{_said(block.words)}</p>'
    if isinstance(block, Heading):
        return f"<h3>{_said(block.title)}</h3>"
    if isinstance(block, Map):
        return _map(block)
    if isinstance(block, Plates):
        return _plates(block)
    return _table(block)


def _words(block: Words) -> str:
    if block.points:
        return "<ul>" + "".join(f"<li>{_said(line)}</li>" for line in block.lines) + "</ul>"
    return "".join(f"<p>{_said(line)}</p>" for line in block.lines)


def _map(block: Map) -> str:
    drawn = sheet_svg(block.view, ident=block.ident, title=block.title, alt=block.alt, paint=_paint)
    caption = f"<figcaption>{_said(block.title)}</figcaption>"
    return f'<figure class="map">{caption}<div class="pan" tabindex="0">{drawn}</div></figure>'


def _plates(block: Plates) -> str:
    pictures = "".join(
        f'<figure><a href="media/{quote(one.file)}"><img src="media/{quote(one.file)}" alt="{_said(one.alt)}" '
        f'loading="lazy"></a><figcaption>{_said(one.caption)}</figcaption></figure>'
        for one in block.pictures
    )
    return f'<h3>Pictures</h3><div class="plates">{pictures}</div>'


def _table(block: Table) -> str:
    caption = f"<caption>{_said(block.caption)}</caption>"
    if not block.rows:
        return f'<p class="empty"><strong>{_said(block.caption)}.</strong> {_said(block.empty)}</p>'
    head = "".join(f'<th scope="col"{_right(column.right)}>{_said(column.title)}</th>' for column in block.columns)
    body = "".join(_row(row, block) for row in block.rows)
    note = f'<p class="note">{_said(block.note)}</p>' if block.note else ""
    whole = f"{caption}<thead><tr>{head}</tr></thead><tbody>{body}</tbody>"
    return f'<div class="pan" tabindex="0"><table>{whole}</table></div>{note}'


def _row(row: Row, block: Table) -> str:
    swatch = f'<span class="swatch" style="background:{escape(row.colour)}"></span>' if row.colour else ""
    cells = []
    for number, (cell, column) in enumerate(zip(row.cells, block.columns, strict=True)):
        again = '<span class="again">made again</span>' if number == 0 and row.kind == "again" else ""
        first = swatch if number == (1 if block.columns[0].right else 0) else ""
        tag = 'th scope="row"' if number == 0 else "td"
        cells.append(f"<{tag}{_right(column.right)}>{first}{_said(cell)}{again}</{tag[:2]}>")
    kind = f' class="is-{row.kind}"' if row.kind else ""
    under = ""
    if row.under:
        lines = "<br>".join(_said(line) for line in row.under.split("\n"))
        under = f'<tr class="under"><td colspan="{len(block.columns)}"><code>{lines}</code></td></tr>'
    return f"<tr{kind}>{''.join(cells)}</tr>{under}"


def _right(right: bool) -> str:  # noqa: FBT001 - a property of the column
    return ' class="r"' if right else ""
