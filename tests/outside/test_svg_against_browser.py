"""SVG read here against an independent renderer: path geometry as Chromium has it, to 0.05 mm.

The oracle is `getPointAtLength` with `getScreenCTM` (SVG 2, chapter 4 and section 9.8.1) of the browser's own shapes in a
page that shows the same file. Two ways are asked: places along the browser's line against the line read here, and the
vertices read here against the browser's line. The browser's own noise was about 0.02 mm.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from bodymap.exchange.svg_outline import read_svg
from bodymap.model import Setting
from bodymap.settings import in_force

WITHIN_MM = 0.05
NAMESPACES = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'

# Places along every shape as the page shows it, in CSS px; a use shows its target by its own matrix, which the
# clone does not tell, so uses are resolved with the matrix of the <use> and the target's own geometry.
ASK = """
(count) => {
  const found = [];
  const shapes = 'path,rect,circle,ellipse,line,polyline,polygon';
  const at = (shape, matrix) => {
    const total = shape.getTotalLength();
    const points = [];
    for (let i = 0; i <= count; i++) {
      const p = shape.getPointAtLength(total * i / count).matrixTransform(matrix);
      points.push([p.x, p.y]);
    }
    return points;
  };
  const root = document.querySelector('svg');
  const frame = root.getBoundingClientRect();
  for (const shape of root.querySelectorAll(shapes)) {
    if (shape.closest('defs,symbol') || !shape.getClientRects().length) continue;
    found.push({id: shape.id, points: at(shape, shape.getScreenCTM())});
  }
  return {frame: [frame.left, frame.top, frame.width, frame.height], found};
}
"""

FILES = {
    "nested transforms, arcs under skew": f"""
      <svg {NAMESPACES} width="420mm" height="297mm" viewBox="-20 -10 840 594">
        <g transform="translate(100 60) rotate(12)"><g transform="scale(1.5 0.8) skewX(20)">
          <path id="arcs" d="M10 80 A 60 30 25 0 1 130 90 A 45 45 0 1 0 60 150 a 25 40 -30 0 0 40 20 Z"/>
          <circle id="disc" cx="200" cy="60" r="40"/>
          <ellipse id="oval" cx="200" cy="160" rx="60" ry="25" transform="rotate(-30 200 160)"/>
          <rect id="box" x="20" y="180" width="120" height="60" rx="20" ry="12"/>
        </g></g>
        <g transform="matrix(0.9 0.2 -0.3 1.1 40 260)">
          <path id="curves" d="M0 0 C 40 -60 120 60 160 0 S 240 60 280 0 Q 300 -50 340 0 T 400 10 h 20 v 40 l -30 10 z"/>
          <path id="compact" d="m10 100a20,20 0 01 30,15a12 8 10 1130 -10l10-5-5.5.5.5 8"/>
          <polygon id="many" points="0,120 60,130 80,180 20,190"/>
          <polyline id="some" points="100 120 160 130 180 180"/>
        </g>
      </svg>""",
    "units on the elements, inches": f"""
      <svg {NAMESPACES} width="10in" height="6in" viewBox="0 0 1000 600">
        <line id="mm" x1="10mm" y1="5mm" x2="120mm" y2="80mm"/>
        <rect id="cm" x="2cm" y="1in" width="30pt" height="4pc" rx="3mm"/>
        <circle id="percent" cx="50%" cy="50%" r="10%"/>
        <ellipse id="both" cx="25%" cy="75%" rx="10%" ry="10%"/>
        <svg x="10%" y="10%" width="20%" height="30%" viewBox="0 0 40 60"><rect id="half" width="50%" height="50%"/></svg>
        <rect id="after" x="80%" y="80%" width="10%" height="10%" rx="5%"/>
      </svg>""",
    "aspect kept, drawing in the middle": f"""
      <svg {NAMESPACES} width="200mm" height="200mm" viewBox="0 0 400 100" preserveAspectRatio="xMidYMid meet">
        <path id="bar" d="M0 0 H400 V100 H0 Z"/>
        <path id="bow" d="M0 50 A 200 50 0 0 1 400 50"/>
      </svg>""",
    "aspect kept by the left foot, sliced": f"""
      <svg {NAMESPACES} width="100mm" height="200mm" viewBox="10 20 400 100" preserveAspectRatio="xMinYMax slice">
        <path id="bar" d="M10 20 h400 v100 h-400 z"/>
      </svg>""",
    "inner svg, with and without viewBox": f"""
      <svg {NAMESPACES} width="300mm" height="200mm" viewBox="0 0 300 200">
        <svg x="40" y="30" width="100" height="80" viewBox="0 0 50 50"><path id="inner" d="M0 0 L50 0 L25 50 Z"/>
          <rect id="noplace" width="20" height="10"/></svg>
        <svg x="160" y="20"><rect id="moved" width="60" height="40"/><circle id="dot" r="8"/></svg>
      </svg>""",
    "style sheets and hidden groups": f"""
      <svg {NAMESPACES} width="100mm" height="100mm" viewBox="0 0 100 100">
        <style>.gone {{ display: none }} #shown {{ fill: red }}</style>
        <g style="display:none"><rect id="hidden" width="10" height="10"/></g>
        <rect class="gone" id="gone" width="10" height="10"/>
        <rect id="shown" x="20" y="30" width="40" height="50"/>
      </svg>""",
    "pixels only": f"""
      <svg {NAMESPACES} width="640" height="480"><path id="px" d="M10 10 L 600 20 A 30 60 45 0 1 500 400 z"/></svg>""",
}


@pytest.fixture(scope="module")
def page(chromium):
    """A page of a real Chromium."""
    shown = chromium.new_page(viewport={"width": 2000, "height": 1600})
    yield shown
    shown.close()


def as_shown(page, text: str, count: int = 1500):
    """Every drawn shape by id: places along it in mm, x right, y up from the lower edge of the drawing."""
    page.set_content(f"<body style='margin:0'>{text}</body>")
    told = page.evaluate(ASK, count)
    left, top, _, height = told["frame"]
    scale = 25.4 / 96
    return {
        item["id"]: np.array([((x - left) * scale, (height - (y - top)) * scale) for x, y in item["points"]])
        for item in told["found"]
    }


def as_read(text: str):
    # finer than usual, so that what is compared is the geometry and not the chords it is drawn in
    fine = in_force([Setting(key="curve_chord_error_mm", value="0.005", basis="own trial")])
    outline = read_svg(text.strip().encode(), fine)
    return {path.name: shapely.MultiLineString([list(line) for line in path.lines]) for path in outline.shapes}


def farthest(points, line) -> float:
    return max(line.distance(shapely.Point(point)) for point in points)


@pytest.mark.browser
@pytest.mark.parametrize("name", FILES)
def test_every_shape_lies_where_the_browser_draws_it(page, name):
    shown, read = as_shown(page, FILES[name]), as_read(FILES[name])
    assert sorted(shown) == sorted(read)
    for ident, places in shown.items():
        assert farthest(places, read[ident]) < WITHIN_MM, ident
        # the other way: what the browser's chords may miss of a curve between two places is told by their spacing
        line = shapely.LineString(places)
        spare = line.length / len(places)
        ends = shapely.get_coordinates(read[ident])
        assert farthest(ends, line) < WITHIN_MM + spare / 2, ident
        assert read[ident].length == pytest.approx(line.length, rel=2e-3), ident


@pytest.mark.browser
def test_what_is_used_lies_where_the_browser_draws_it(page):
    text = f"""
      <svg {NAMESPACES} width="200mm" height="100mm" viewBox="0 0 400 200">
        <defs><g id="pair" transform="rotate(10)"><path id="a" d="M0 0 A 30 20 0 0 1 50 10 L 40 40 Z"/></g></defs>
        <symbol id="sign"><rect id="s" x="5" width="30" height="20"/></symbol>
        <use id="u1" xlink:href="#pair" x="60" y="20" transform="scale(1.2 0.7)"/>
        <use id="u2" href="#sign" x="200" y="100"/>
      </svg>"""
    page.set_content(f"<body style='margin:0'>{text}</body>")
    # the browser tells the box of what a use shows
    boxes = page.evaluate(
        "() => [...document.querySelectorAll('use')].map(u => {"
        " const b = u.getBoundingClientRect(); return [b.left, b.bottom, b.right, b.top]; })"
    )
    scale, height = 25.4 / 96, 100.0
    outline = read_svg(text.strip().encode(), in_force())
    assert len(outline.shapes) == 2
    for box, path in zip(boxes, outline.shapes, strict=True):
        x0, y0, x1, y1 = path.bounds
        told = (box[0] * scale, height - box[1] * scale, box[2] * scale, height - box[3] * scale)
        # a browser's box of a turned shape may be that of its turned box: it holds ours, and touches where ours is upright
        assert told[0] <= x0 + WITHIN_MM
        assert told[1] <= y0 + WITHIN_MM
        assert told[2] >= x1 - WITHIN_MM
        assert told[3] >= y1 - WITHIN_MM
    upright = outline.shapes[1].bounds
    assert upright == pytest.approx([(200 + 5) / 2, 100 - (100 + 20) / 2, (200 + 35) / 2, 100 - 100 / 2], abs=WITHIN_MM)


def test_a_skewed_circle_is_the_ellipse_that_algebra_says():
    """Area and axes of a circle under a matrix: area times its determinant, axes its singular values."""
    matrix = np.array([[1.5, 0.4], [-0.2, 0.8]])
    (a, c), (b, d) = matrix
    text = f"""<svg {NAMESPACES} width="400mm" height="400mm" viewBox="0 0 400 400">
      <circle id="c" r="50" transform="matrix({a} {b} {c} {d} 200 200)"/></svg>"""
    (line,) = as_read(text).values()
    ring = shapely.Polygon(shapely.get_coordinates(line))
    # a polygon inside an ellipse, its chord error 0.05 mm or less, lacks at most that times its perimeter
    exact = math.pi * 50**2 * abs(np.linalg.det(matrix))
    assert exact - 0.05 * ring.length <= ring.area <= exact * (1 + 1e-6)
    reach = np.hypot(*(shapely.get_coordinates(ring) - [200, 200]).T)
    assert reach.max() == pytest.approx(50 * np.linalg.svd(matrix)[1].max(), abs=0.05)
    assert reach.min() == pytest.approx(50 * np.linalg.svd(matrix)[1].min(), abs=0.05)
