"""A full-size template of about 40 sheets, and a mask brief of 20 pages: `python -m tests.bench template`.

Wanted: each under 3 s from the record to the PDF, set for the first time. The demo's whole side on A3 goes over some 90
sheets.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
import shapely

from bodymap.briefs.mask_brief import mask_brief_pdf
from bodymap.briefs.template_print import template_pdf
from bodymap.exchange.open_folder import read_folder
from bodymap.exchange.template_dxf import template_dxf
from bodymap.exchange.template_svg import template_svg
from bodymap.geometry.convert import from_shapely
from bodymap.model import Area, Head
from bodymap.settings import in_force
from bodymap.views.brief import brief_view
from bodymap.views.template import template_of
from bodymap.views.template_page import TemplateChoice
from bodymap.views.template_sheets import template_sheets
from bodymap.views.template_whole import template_whole
from tests.bench.measure import Row, first

DEMO = Path(__file__).parents[2] / "demo" / "vehicle"
HEAD = Head(count=1, hash="a" * 64)
AREAS = 7


@pytest.fixture(scope="module")
def record():
    return read_folder(DEMO).record


def with_outline(record):
    """The demo with an area of 1200 mm by 1600 mm whose edge has 4000 points: 42 sheets."""
    turn = np.linspace(0, 2 * np.pi, 4000, endpoint=False)
    wave = 1 + 0.03 * np.sin(40 * turn)
    shape = shapely.Polygon(np.column_stack((3000 + 600 * wave * np.cos(turn), 1000 + 800 * wave * np.sin(turn))))
    whole = shape.difference(shapely.Point(3000, 1000).buffer(150, 64))
    area = Area(area_id="wave", drawing_id="left", purpose="keep", name="Wave", shape=from_shapely(whole))
    return record.with_kind("area", [*record.areas, area])


def a_template() -> Callable[[], bytes]:
    """Sets a template of some 40 sheets."""
    held = with_outline(read_folder(DEMO).record)
    settings = in_force(held.settings)
    return lambda: template_pdf(template_sheets(template_of(held, "wave", settings), settings), HEAD, "2024-05-06")


def a_brief() -> Callable[[], bytes]:
    """Sets a mask brief of 20 pages or so: the first areas of the demo."""
    record = read_folder(DEMO).record
    held = record.with_kind("area", record.areas[:AREAS])
    settings = in_force(held.settings)
    return lambda: mask_brief_pdf(brief_view(held, settings), HEAD, "2024-05-06")


def rows(rounds: int = 3) -> Iterator[Row]:
    """What is measured."""
    for what, run in (("template", a_template), ("brief", a_brief)):
        pages = len(re.findall(rb"/Type ?/Page[^s]", run()()))
        wall_s, processor_s = first(f"tests.bench.bench_template:{run.__name__}", rounds)
        yield Row(f"{what}, {pages} pages, set for the first time", wall_s, None, "", 3.0)
        yield Row("  of it the processor was at work", processor_s, None, "", None)


def test_forty_sheets(benchmark, record):
    held = with_outline(record)
    settings = in_force(held.settings)

    def run():
        view = template_sheets(template_of(held, "wave", settings), settings)
        return view, template_pdf(view, HEAD, "2024-05-06")

    view, pdf = benchmark.pedantic(run, rounds=3)
    assert 38 <= len(view.sheets) <= 64
    assert pdf.startswith(b"%PDF")


def test_a_whole_side(benchmark, record):
    settings = in_force(record.settings)

    def run():
        view = template_sheets(template_of(record, "left", settings), settings, TemplateChoice(paper="A3"))
        return view, template_pdf(view, HEAD, "2024-05-06")

    view, _ = benchmark.pedantic(run, rounds=2)
    assert len(view.sheets) > 60


@pytest.mark.parametrize("write", [template_svg, template_dxf], ids=["svg", "dxf"])
def test_a_whole_side_in_one_piece(benchmark, record, write):
    settings = in_force(record.settings)
    whole = template_whole(template_of(record, "left", settings), "1·a", "2024-05-06")
    assert len(benchmark.pedantic(lambda: write(whole), rounds=2)) > 10_000
