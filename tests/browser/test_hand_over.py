"""The hand-over file, a full-size template and the strip chart in a real browser, as an archivist and a painter use them."""

from __future__ import annotations

import csv
import io
import zipfile

import ezdxf
import pytest

from bodymap.exchange.template_dxf import MILLIMETRES

from .conftest import AT_DESK, ON_TABLET
from .looking import choose, go_to_screen, new_page, open_page, settle, type_in, watch

pytestmark = pytest.mark.browser
pikepdf = pytest.importorskip("pikepdf")
_MAKING_MS = 90_000
# The box by which the first row of the table is chosen, below its head.
_FIRST_ROW = {"x": 22, "y": 58}
_POINTS_PER_MM = 72 / 25.4


def downloaded(page, name, place):
    """What a button with this name saves."""
    with page.expect_download() as download:
        page.get_by_role("button", name=name).click()
    download.value.save_as(place)
    return place


def made(page, place):
    """The hand-over file, made and saved."""
    type_in(page, "Who hands over *", "Ann Example")
    page.get_by_role("button", name="Make the hand-over file").click()
    page.get_by_role("button", name="Hand-over file (.zip").wait_for(timeout=_MAKING_MS)
    settle(page)
    return downloaded(page, "Hand-over file (.zip", place)


@AT_DESK
def test_the_file_is_made_saved_and_its_entries_are_read(chromium, viewport, shop, tmp_path):
    with new_page(chromium, viewport) as page:
        watched = watch(page)
        open_page(page, shop.url, "Hand-over file", "[data-testid=stMetric]")
        head = shop.file.head()
        with zipfile.ZipFile(made(page, tmp_path / "hand-over.zip")) as bundle:
            assert bundle.testzip() is None
            assert {"hand-over.pdf", "index.html", "record/vehicle.csv"} <= set(bundle.namelist())
            (vehicle,) = csv.DictReader(io.StringIO(bundle.read("record/vehicle.csv").decode()))
            assert vehicle["name"] == shop.file.record().vehicle.name
            with pikepdf.open(io.BytesIO(bundle.read("hand-over.pdf"))) as pdf:
                pages = len(pdf.pages)
            assert head.short in bundle.read("index.html").decode()
        assert shop.file.head() == head, "nothing is written into the record"
        page.get_by_text("Show the pages of the print").click()
        shown = page.get_by_role("img", name=f"Hand-over file, page 1 of {pages}", exact=True)
        shown.wait_for(timeout=_MAKING_MS)
        assert shown.evaluate("image => image.complete && image.naturalWidth > 500")
        choose(page, "History of entries")
        page.get_by_test_id("stDataFrame").click(position=_FIRST_ROW)
        settle(page)
        assert head.hash in page.get_by_test_id("stCode").inner_text()
        type_in(page, "Entry no.", "1")
        assert shop.file.journal()[0].hash in page.get_by_test_id("stCode").inner_text()
        choose(page, "Take out and verify")
        type_in(page, "Compare with a printed head (such as 123·0123456789ab)", head.short)
        page.get_by_role("button", name="Verify now").click()
        page.get_by_text("The printed head is in its journal").wait_for()
        assert page.evaluate("() => document.scrollingElement.scrollWidth <= innerWidth"), "nothing runs off to the side"
        assert not page.get_by_text("A fault in the program").count()
        assert watched.complaints == []
        assert watched.hosts == {"127.0.0.1"}


@ON_TABLET
def test_a_template_is_saved_at_true_size_and_the_strip_chart_is_shown(chromium, viewport, shop, tmp_path):
    with new_page(chromium, viewport) as page:
        watched = watch(page)
        page.goto(shop.url)
        go_to_screen(page, "Mask brief")
        page.get_by_test_id("stTable").first.wait_for(timeout=_MAKING_MS)
        choose(page, "Full-size template")
        choose(page, "A3")
        page.get_by_role("button", name="Lay out the template").click()
        settle(page)
        with pikepdf.open(downloaded(page, "Template (PDF)", tmp_path / "template.pdf")) as pdf:
            wide, high = (float(value) / _POINTS_PER_MM for value in pdf.pages[0].mediabox[2:])
            # ISO 216: A3 is 297 mm × 420 mm
            assert (wide, high) == pytest.approx((297, 420), abs=0.1)
            assert len(pdf.pages) >= 2
        dxf = ezdxf.readfile(downloaded(page, "Template (DXF)", tmp_path / "template.dxf"))
        assert dxf.units == MILLIMETRES
        assert {"CUT_EDGE", "CHECK_100MM"} <= {entity.dxf.layer for entity in dxf.modelspace()}
        choose(page, "Lines")
        chart = page.locator(".js-plotly-plot")
        chart.wait_for()
        settle(page)
        drawn = chart.evaluate("chart => chart.data.map(line => [line.name, line.y.filter(y => y !== null).length])")
        record = shop.file.record()
        assert [name.split(" · ")[0] for name, _ in drawn] == [line.line_id for line in record.lines]
        assert all(points > 10 for _, points in drawn)
        page.get_by_text("never straightens").wait_for()
        assert not page.get_by_text("A fault in the program").count()
        assert watched.complaints == []
        assert watched.hosts == {"127.0.0.1"}
