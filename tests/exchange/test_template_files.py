"""Templates as SVG and DXF, read back by other programs and by our own reader."""

from __future__ import annotations

import io
import re
from xml.etree import ElementTree as ET

import ezdxf
import pytest
import shapely
from hypothesis import HealthCheck, given
from hypothesis import settings as tries
from hypothesis import strategies as st

from bodymap.exchange.svg_outline import read_svg
from bodymap.exchange.template_dxf import template_dxf
from bodymap.exchange.template_svg import template_svg
from bodymap.geometry.convert import to_shapely
from bodymap.settings import in_force
from bodymap.views.template import template_of
from bodymap.views.template_whole import template_whole
from tests.views.template_specimen import HOLED, panel

SETTINGS = in_force()
SVG = "{http://www.w3.org/2000/svg}"


def whole(ident="K1", record=None, **how):
    return template_whole(template_of(record or panel(), ident, SETTINGS, **how), "128·a1b2c3d4e5f6", "2024-05-06")


def named(name):
    one = panel().area["K1"].model_copy(update={"name": name})
    return panel().with_kind("area", [one])


def dxf_of(data):
    return ezdxf.read(io.StringIO(data.decode("utf-8")))


# --- DXF ----------------------------------------------------------------------------------------------------------------


def test_dxf_read_back_is_the_thing_in_the_places_of_the_drawing():
    document = dxf_of(template_dxf(whole()))
    edge, holes = (list(document.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')) for layer in ("CUT_EDGE", "HOLES"))
    rings = [[tuple(point[:2]) for point in line.get_points()] for line in (*edge, *holes)]
    assert all(line.closed for line in (*edge, *holes))
    assert shapely.Polygon(rings[0], rings[1:]).equals(to_shapely(HOLED))


def test_dxf_has_millimetres_layers_and_no_faults():
    document = dxf_of(template_dxf(whole("left")))
    assert document.dxfversion == "AC1024"  # R2010
    assert (document.header["$INSUNITS"], document.header["$MEASUREMENT"]) == (4, 1)
    assert {"OUTLINE", "CUT_EDGE", "HOLES", "LINES", "DATUMS", "TEXT"} <= {layer.dxf.name for layer in document.layers}
    assert not document.audit().errors


def test_the_bars_in_a_dxf_are_100_mm():
    bars = dxf_of(template_dxf(whole())).modelspace().query('LWPOLYLINE[layer=="CHECK_100MM"]')
    assert sorted(tuple(bar.get_points()[1][axis] - bar.get_points()[0][axis] for axis in (0, 1)) for bar in bars) == [
        pytest.approx((0, 100)),
        pytest.approx((100, 0)),
    ]


def test_text_in_a_dxf_is_what_it_is():
    document = dxf_of(template_dxf(whole(record=named("Ø %%c Š Ω\nsecond\x07"))))
    texts = [one.dxf.text for one in document.modelspace().query("TEXT")]
    assert "KEEP K1 · Ø % %c Š Ω second" in texts
    assert any("issue 128·a1b2c3d4e5f6, printed 2024-05-06" in text for text in texts)


def test_the_same_template_gives_the_same_bytes():
    for write in (template_dxf, template_svg):
        assert write(whole("left")) == write(whole("left"))


def test_writing_a_dxf_leaves_the_options_of_the_library_as_they_were():
    before = ezdxf.options.write_fixed_meta_data_for_testing
    template_dxf(whole())
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


# --- SVG ----------------------------------------------------------------------------------------------------------------


def shift_of(svg):
    """How the places of an SVG stand to those of the drawing, from its own words."""
    return tuple(float(one) for one in re.search(r"x0 (-?[\d.]+), y0 (-?[\d.]+)", svg.decode()).groups())


def test_our_own_reader_trusts_its_scale_and_finds_the_thing():
    svg = template_svg(whole())
    sketch = read_svg(svg, SETTINGS)
    assert sketch.trusted_scale
    x0, y0 = shift_of(svg)
    rings = [
        [(x + x0, y + y0) for x, y in line]
        for path in sketch.shapes
        if {"CUT_EDGE", "HOLES"} & set(path.groups)
        for line in path.lines
    ]
    assert shapely.Polygon(rings[0], rings[1:]).hausdorff_distance(to_shapely(HOLED)) < 0.01
    assert len(rings) == 2


def test_text_in_an_svg_is_not_mirrored_and_stands_where_it_is_meant():
    one = whole(mirror=True)
    svg = template_svg(one)
    root = ET.fromstring(svg)
    (group,) = [group for group in root if group.get("id") == "TEXT"]
    assert group.get("transform") is None
    x0, y0 = shift_of(svg)
    height = float(root.get("height").removesuffix("mm"))
    read = [(text.text, float(text.get("x")) + x0, height - float(text.get("y")) + y0) for text in group]
    for (text, x, y), meant in zip(read, one.texts, strict=True):
        assert (text, x, y) == (meant.text, pytest.approx(meant.x, abs=1e-3), pytest.approx(meant.y, abs=1e-3))


@given(st.text(max_size=40))
@tries(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
def test_no_name_breaks_a_file(name):
    try:
        name.encode("utf-8")
    except UnicodeEncodeError:
        return
    record = named(name.replace("\x00", "") or "x")
    one = whole(record=record)
    ET.fromstring(template_svg(one))
    assert len(dxf_of(template_dxf(one)).modelspace().query("TEXT")) == len(one.texts)
