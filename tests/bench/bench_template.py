"""A full-size template of about 40 sheets: `pytest tests/bench/bench_template.py`.

Wanted: under 3 s from the record to the PDF. The demo's whole side on A3 goes over some 90 sheets.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely

from bodymap.briefs.template_print import template_pdf
from bodymap.exchange.open_folder import read_folder
from bodymap.exchange.template_dxf import template_dxf
from bodymap.exchange.template_svg import template_svg
from bodymap.geometry.convert import from_shapely
from bodymap.model import Area, Head
from bodymap.settings import in_force
from bodymap.views.template import template_of
from bodymap.views.template_page import TemplateChoice
from bodymap.views.template_sheets import template_sheets
from bodymap.views.template_whole import template_whole

DEMO = Path(__file__).parents[2] / "demo" / "vehicle"
HEAD = Head(count=1, hash="a" * 64)


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
