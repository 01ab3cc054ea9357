"""A full-size template as SVG 1.1: millimetres, one group a layer, text not mirrored."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from xml.sax.saxutils import escape

from bodymap.views.template_whole import CHECK, TEXT, TemplateWhole, Track, Written

_MARGIN_MM = 5.0
_COLOURS = {"CUT_EDGE": "#b23c17", "HOLES": "#b23c17", "MARGIN": "#b23c17", "HATCH": "#e0a48f", "DATUMS": "#24292e"}
_COLOUR = "#687078"
_THICK = {"CUT_EDGE": 0.25, "HOLES": 0.25, "DATUMS": 0.25, "HATCH": 0.1, CHECK: 0.2}
_THIN = 0.15


def template_svg(whole: TemplateWhole) -> bytes:
    """The file, in UTF-8; the same bytes for the same template.

    A place (x, y) of the drawing lies at (x - x0, y - y0) mm from the lower left corner; `desc` says x0 and y0.
    """
    left, low, right, top = whole.bounds
    x0, y0 = left - _MARGIN_MM, low - _MARGIN_MM
    width, height = right + _MARGIN_MM - x0, top + _MARGIN_MM - y0
    template = whole.template
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" {_size(width, height)}>',
        "<!-- bodymap: full-size template, 1 : 1 -->",
        f"<title>{_text(f'{template.title} ({template.ident}), 1 : 1')}</title>",
        f"<desc>{_text(f'lower left corner at x0 {x0:.4f}, y0 {y0:.4f} of the drawing, mm; {template.stays}')}</desc>",
        f'<g transform="translate(0 {_mm(height)}) scale(1 -1)" fill="none" stroke-linejoin="round">',
        *_layers(whole.tracks, x0, y0),
        "</g>",
        f'<g id="{TEXT}" font-family="sans-serif" text-anchor="middle" fill="#24292e">',
        *(_written(one, x0, top + _MARGIN_MM) for one in whole.texts),
        "</g>",
        "</svg>",
        "",
    ]
    return "\n".join(lines).encode("utf-8")


def _size(width: float, height: float) -> str:
    return f'width="{_mm(width)}mm" height="{_mm(height)}mm" viewBox="0 0 {_mm(width)} {_mm(height)}"'


def _layers(tracks: Iterable[Track], x0: float, y0: float) -> Iterator[str]:
    layers: dict[str, list[Track]] = {}
    for track in tracks:
        layers.setdefault(track.layer, []).append(track)
    for layer, held in layers.items():
        colour, thick = _COLOURS.get(layer, _COLOUR), _THICK.get(layer, _THIN)
        yield f'<g id="{layer}" stroke="{colour}" stroke-width="{thick}">'
        yield from (_path(track, x0, y0) for track in held)
        yield "</g>"


def _path(track: Track, x0: float, y0: float) -> str:
    points = track.points[:-1] if track.closed else track.points
    spots = " ".join(f"{_mm(x - x0)} {_mm(y - y0)}" for x, y in points)
    return f'<path d="M {spots}{" Z" if track.closed else ""}"/>'


def _written(one: Written, x0: float, top: float) -> str:
    return f'<text x="{_mm(one.x - x0)}" y="{_mm(top - one.y)}" font-size="{_mm(one.size_mm)}">{_text(one.text)}</text>'


def _mm(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")


def _text(text: str) -> str:
    """Text that XML 1.0 allows (section 2.2: no control characters, no lone surrogates, no U+FFFE and U+FFFF)."""
    kept = (" " if char.isspace() else char for char in unicodedata.normalize("NFC", text))
    allowed = (char for char in kept if unicodedata.category(char) not in ("Cc", "Cs") and char not in "\ufffe\uffff")
    return escape("".join(allowed))
