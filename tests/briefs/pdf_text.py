"""What a printed brief says, read back from the PDF through the fonts' own ToUnicode maps."""

from __future__ import annotations

import io
import re

import pikepdf

from bodymap.briefs.mask_brief import mask_brief_pdf
from bodymap.model.journal import Head
from bodymap.settings import in_force
from bodymap.views.brief import brief_view

HEAD = Head(count=128, hash="a1b2c3d4e5f6" + "0" * 52)
DAY = "2024-05-06T10:00:00Z"


def pdf_of(record, head=HEAD, at=DAY):
    return mask_brief_pdf(brief_view(record, in_force(record.settings)), head, at)


def opened(record, **how):
    return pikepdf.open(io.BytesIO(pdf_of(record, **how)))


def pages_text(pdf):
    """The text of each page, through the fonts' own ToUnicode maps."""
    return [page_text(page) for page in pdf.pages]


def page_text(page):
    fonts = {name: _to_unicode(font) for name, font in page.resources.Font.items()}
    current, words = {}, []
    for operands, operator in pikepdf.parse_content_stream(page):
        if str(operator) == "Tf":
            current = fonts[str(operands[0])]
        elif str(operator) in ("Tj", "TJ"):
            for item in operands[0] if str(operator) == "TJ" else [operands[0]]:
                if isinstance(item, pikepdf.String):
                    raw = bytes(item)
                    words += [current.get(raw[at : at + 2].hex(), "") for at in range(0, len(raw), 2)]
        elif str(operator) == "ET":
            words.append(" ")
    return re.sub(r"\s+", " ", "".join(words))


def _to_unicode(font):
    text = bytes(font.ToUnicode.read_bytes()).decode("latin-1")
    pairs = re.findall(r"<([0-9a-fA-F]{4})>\s*<([0-9a-fA-F]+)>", text)
    return {code.lower(): bytes.fromhex(value).decode("utf-16-be", "replace") for code, value in pairs}


def _texts(page):
    """Every text of a page as it is set: the words, their size [pt] before it is scaled, and the matrix they stand under."""
    fonts = {name: _to_unicode(font) for name, font in page.resources.Font.items()}
    current, size, shift, matrix, held = {}, 0.0, pikepdf.Matrix(), pikepdf.Matrix(), []
    for operands, operator in pikepdf.parse_content_stream(page):
        name = str(operator)
        if name == "q":
            held.append(shift)
        elif name == "Q":
            shift = held.pop()
        elif name == "cm":
            shift = pikepdf.Matrix(*map(float, operands)) @ shift
        elif name == "Tf":
            current, size = fonts[str(operands[0])], float(operands[1])
        elif name == "Tm":
            matrix = pikepdf.Matrix(*map(float, operands)) @ shift
        elif name in ("Tj", "TJ"):
            items = [one for one in (operands[0] if name == "TJ" else [operands[0]]) if isinstance(one, pikepdf.String)]
            raw = b"".join(bytes(one) for one in items)
            yield "".join(current.get(raw[at : at + 2].hex(), "") for at in range(0, len(raw), 2)), size, matrix


def lines_in(page):
    """The texts of a page by the height at which they stand, each height by itself."""
    lines = {}
    for text, _, matrix in _texts(page):
        height = round(matrix.f, 1)
        lines[height] = lines.get(height, "") + text
    return list(lines.values())


def text_size_pt(page, words):
    """The size of the text on a page that begins with `words` [pt], scaled as it stands there.

    Raises:
        AssertionError: no text begins so.
    """
    said = [(text, size * abs(matrix.d)) for text, size, matrix in _texts(page)]
    found = [height for text, height in said if text.startswith(words)]
    assert found, f"no text begins with {words!r}: {[text for text, _ in said]}"
    return found[0]
