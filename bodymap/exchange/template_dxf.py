"""A full-size template as DXF: R2010, millimetres, one layer for each meaning, one polyline for each ring.

$INSUNITS 4 is millimetres, $MEASUREMENT 1 is metric (DXF reference, HEADER section; from memory, not seen). A closed
polyline has no holes: those lie on a layer of their own. Places are those of the drawing, y up.
"""

from __future__ import annotations

import io
import unicodedata

from ezdxf import options  # type: ignore[attr-defined]
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new

from bodymap.views.template_whole import CHECK, LAYERS, OUTLINE, TEXT, TemplateWhole

MILLIMETRES, METRIC = 4, 1
_VERSION = "R2010"
# Colours by the index that every program knows: 1 red, 3 green, 5 blue, 6 magenta, 7 black or white, 8 grey, 30 orange.
_COLOURS = {"CUT_EDGE": 1, "HOLES": 6, "LINES": 5, "DATUMS": 3, "MARGIN": 30, "HATCH": 30, CHECK: 7, TEXT: 7}
_OTHER = 8


def template_dxf(whole: TemplateWhole) -> bytes:
    """The file, in UTF-8; the same bytes for the same template."""
    stream = io.StringIO()
    # Without this a new identity and the time of day are written into each file, when it is begun and when it is written.
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        _document(whole).write(stream)
    finally:
        options.write_fixed_meta_data_for_testing = before
    # Group code 999 is a comment: it tells whose file this is, so that a later print may replace it.
    return f"999\nbodymap\n{stream.getvalue()}".encode("utf-8", errors="replace")


def _document(whole: TemplateWhole) -> Drawing:
    document = new(_VERSION, units=MILLIMETRES)
    document.header["$MEASUREMENT"] = METRIC
    for layer in dict.fromkeys((*LAYERS.values(), OUTLINE, TEXT, CHECK)):
        document.layers.add(layer, color=_COLOURS.get(layer, _OTHER))
    space = document.modelspace()
    for track in whole.tracks:
        points = track.points[:-1] if track.closed else track.points
        space.add_lwpolyline(points, close=track.closed, dxfattribs={"layer": track.layer})
    for one in whole.texts:
        text = space.add_text(_plain(one.text), height=one.size_mm, dxfattribs={"layer": TEXT})
        text.set_placement((one.x, one.y), align=TextEntityAlignment.MIDDLE_CENTER)
    left, low, right, top = whole.bounds
    document.header["$EXTMIN"], document.header["$EXTMAX"] = (left, low, 0), (right, top, 0)
    return document


def _plain(text: str) -> str:
    """Text in one line, without control characters, and without the codes that DXF reads in text (`%%c` and the like)."""
    kept = (" " if char.isspace() else char for char in unicodedata.normalize("NFC", text))
    line = "".join(char for char in kept if unicodedata.category(char) not in ("Cc", "Cs"))
    return line.replace("%%", "% %")
