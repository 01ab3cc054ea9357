"""The wish to be printed at true size, read back by an independent PDF library (pikepdf, on qpdf)."""

from __future__ import annotations

import io

import pikepdf
import pytest
import typst

from bodymap.briefs.pdf_tail import printed_at_true_size

MADE = typst.compile(b'#set document(title: "T")\n= One\ntext #pagebreak() more', format="pdf", timestamp=0)


def test_print_scaling_is_none_and_all_else_stays():
    done = printed_at_true_size(MADE)
    assert done.startswith(MADE.rstrip())
    with pikepdf.open(io.BytesIO(MADE)) as before, pikepdf.open(io.BytesIO(done)) as after:
        # ISO 32000-1 table 150, viewer preferences (from memory, not seen).
        assert after.Root.ViewerPreferences.PrintScaling == "/None"
        assert after.Root.ViewerPreferences.Direction == before.Root.ViewerPreferences.Direction
        assert set(after.Root.keys()) == set(before.Root.keys())
        assert after.Root.StructTreeRoot.objgen == before.Root.StructTreeRoot.objgen
        assert len(after.pages) == 2
        assert not after.check_pdf_syntax()
        assert after.pdf_version == before.pdf_version


def test_a_catalog_without_preferences_gets_them():
    with pikepdf.open(io.BytesIO(printed_at_true_size(_plain()))) as after:
        assert after.Root.ViewerPreferences.PrintScaling == "/None"
        assert not after.check_pdf_syntax()


def _plain():
    bodies = [
        b"<</Type/Catalog/Pages 2 0 R>>",
        b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]/Resources<<>>>>",
    ]
    out, places = b"%PDF-1.7\n", []
    for number, body in enumerate(bodies, start=1):
        places.append(len(out))
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    table = b"".join(b"%010d 00000 n\r\n" % place for place in places)
    return (
        out
        + b"xref\n0 4\n0000000000 65535 f\r\n"
        + table
        + b"trailer\n<</Size 4/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF" % len(out)
    )


def test_something_else_is_refused():
    with pytest.raises(ValueError, match="trailer"):
        printed_at_true_size(b"%PDF-1.7\nno trailer here")
