"""Templates read back by programs that know nothing of this one: GDAL for DXF, svgelements for SVG."""

from __future__ import annotations

import io
import math
import re

import numpy as np
import pytest
import shapely
from svgelements import SVG, Group, Path

from bodymap.exchange.template_dxf import template_dxf
from bodymap.exchange.template_svg import template_svg
from bodymap.geometry.convert import to_shapely
from bodymap.model import Area
from bodymap.settings import in_force
from bodymap.views.template import template_of
from bodymap.views.template_whole import template_whole
from tests.views.brief_specimen import circle
from tests.views.template_specimen import HOLED, panel

pyogrio = pytest.importorskip("pyogrio")
# svgelements reckons lengths at 96 px to the inch (CSS Values 3, section 6.2).
MM_PER_PX = 25.4 / 96
DISC = Area(area_id="disc", drawing_id="left", purpose="mask", shape=circle(1700, 300, 120, count=360))
THINGS = {"K1": HOLED, "disc": DISC.shape}


def whole(ident):
    return template_whole(template_of(panel(DISC), ident, in_force()), "1·a", "2024-05-06")


def cut_lines(geometries):
    return shapely.union_all([one for one in geometries if one.length > 0])


@pytest.mark.parametrize("ident", THINGS)
def test_gdal_reads_the_dxf_to_a_hundredth_of_a_millimetre(ident, tmp_path):
    file = tmp_path / "template.dxf"
    file.write_bytes(template_dxf(whole(ident)))
    _, _, geometry, (layers, *_) = pyogrio.raw.read(file, columns=["Layer"])
    shapes = shapely.from_wkb(geometry)
    wanted = to_shapely(THINGS[ident]).boundary
    found = cut_lines(shapes[np.isin(layers, ["CUT_EDGE", "HOLES"])])
    assert found.hausdorff_distance(wanted) < 0.01
    assert found.length == pytest.approx(wanted.length, abs=0.01)
    bars = shapes[layers == "CHECK_100MM"]
    assert [bar.length for bar in bars] == pytest.approx([100, 100], abs=1e-9)


def groups_of(node):
    """Every group of a file by its id."""
    for one in node:
        if isinstance(one, Group):
            yield one.values.get("id") or one.id, [path for path in one if isinstance(path, Path)]
            yield from groups_of(one)


@pytest.mark.parametrize("ident", THINGS)
def test_svgelements_reads_the_svg_to_a_hundredth_of_a_millimetre(ident):
    svg = template_svg(whole(ident))
    x0, y0 = (float(one) for one in re.search(r"x0 (-?[\d.]+), y0 (-?[\d.]+)", svg.decode()).groups())
    drawn = SVG.parse(io.BytesIO(svg), ppi=96)

    def line_of(path):
        spots = [(one.x * MM_PER_PX + x0, (drawn.height - one.y) * MM_PER_PX + y0) for one in path.as_points()]
        return shapely.LineString(spots)

    layers = dict(groups_of(drawn))
    found = shapely.union_all([line_of(path) for layer in ("CUT_EDGE", "HOLES") for path in layers.get(layer, ())])
    wanted = to_shapely(THINGS[ident]).boundary
    assert found.hausdorff_distance(wanted) < 0.01
    assert found.length == pytest.approx(wanted.length, abs=0.02)
    assert sorted(line_of(path).length for path in layers["CHECK_100MM"]) == pytest.approx([100, 100], abs=0.001)


def test_a_disc_keeps_its_area():
    # Regular polygon of 360 sides in a circle of radius 120: ½ n r² sin(2π/n).
    assert to_shapely(DISC.shape).area == pytest.approx(180 * 120**2 * math.sin(math.radians(1)))
