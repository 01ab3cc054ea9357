"""Adds to a finished PDF the wish to be printed at its true size.

Viewers shrink pages to the printer's margins unless the catalog says `/PrintScaling /None` (ISO 32000-1, table 150,
viewer preferences). The typesetter cannot say it, so it is added as an incremental update (ISO 32000-1, 7.5.6): the
bytes before stay as they are, and so do tags and bookmarks. Both clauses from memory, not seen.
"""

from __future__ import annotations

import re

_CATALOG = re.compile(rb"\n(\d+) 0 obj\s*<<(?=[^\0]{0,40}?/Type\s*/Catalog)(.*?)>>\s*endobj", re.DOTALL)
_TRAILER = re.compile(rb"trailer\s*<<(.*?)>>\s*startxref\s*(\d+)\s*%%EOF\s*$", re.DOTALL)
_PREFERENCES = b"/ViewerPreferences<<"
# A comment, by which a print of this program is known again (ISO 32000-1, 7.2.3).
MARK = b"% bodymap print\n"


def printed_at_true_size(pdf: bytes) -> bytes:
    """The same PDF with `/PrintScaling /None` in its catalog.

    Raises:
        ValueError: the file is not laid out as this expects (a classical cross-reference table, one catalog).
    """
    trailer, catalog = _TRAILER.search(pdf), _CATALOG.search(pdf)
    if trailer is None or catalog is None:
        raise ValueError("no classical trailer or no catalog: print scaling cannot be added")
    number, body = catalog.groups()
    wish = b"/PrintScaling/None"
    said = body.replace(_PREFERENCES, _PREFERENCES + wish, 1)
    if said == body:
        said = body + _PREFERENCES + wish + b">>"
    start = len(pdf.rstrip()) + 1 + len(MARK)
    entry = b"%s 0 obj\n<<%s>>\nendobj\n" % (number, said)
    table = b"xref\n%s 1\n%010d 00000 n\r\n" % (number, start)
    said_before, table_before = trailer.groups()
    end = b"trailer\n<<%s/Prev %s>>\nstartxref\n%d\n%%%%EOF\n" % (said_before, table_before, start + len(entry))
    return pdf.rstrip() + b"\n" + MARK + entry + table + end
