"""The hand-over file as a page: nothing of a record becomes markup, nothing is fetched, and it can be read with ears."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET
from html.parser import HTMLParser

import pyogrio
import pytest

from bodymap.exchange.hand_over_page import page_html
from bodymap.exchange.open_folder import read_folder
from bodymap.exchange.sheet_svg import sheet_svg
from bodymap.exchange.zone_measures import zone_measures_bytes
from bodymap.views.hand_over import HandedOver, hand_over_view
from bodymap.views.hand_over_evidence import MediaCopy
from bodymap.views.hand_over_parts import Standing
from bodymap.views.palette import DARK, LIGHT, contrast
from tests.hand_over_case import box, trailer, trailer_folder

STANDING = Standing(7, "ab" * 32, "Record as it was kept")
HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</title></svg><iframe src=//example.org>",
    "javascript:alert(1)",
    "'; --><style>*{display:none}</style>",
)
FILES = {"hand-over.pdf", "tables.xlsx", "record/"}


class Page(HTMLParser):
    """Every tag with its attributes, and what is told of tables."""

    def __init__(self, html):
        super().__init__(convert_charrefs=True)
        self.tags, self.words = [], []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data):
        self.words.append(data)

    def of(self, tag):
        return [attrs for name, attrs in self.tags if name == tag]


def hostile_case(text):
    """Every free text of the trailer is the hostile one."""
    files = {name: rows for name, rows in trailer().items() if not name.startswith("media/")}
    for name, free in (
        ("vehicle.csv", ("name", "owner", "notes", "maker", "serial")),
        ("drawings.csv", ("name",)),
        ("parts.csv", ("name",)),
        ("zones.geojson", ("name",)),
        ("coats.csv", ("name", "era")),
        ("stacks.csv", ("by", "note")),
        ("areas.geojson", ("name", "reason")),
        ("findings.geojson", ("note",)),
        ("sources.csv", ("title", "by", "rights")),
        ("steps.csv", ("note",)),
        ("signoffs.csv", ("by", "note")),
    ):
        files[name] = [
            {key: value for key, value in row.items() if key != "file"} | dict.fromkeys(free, text) for row in files[name]
        ]
    return files


def page_of(tmp_path, files=None, copies=()):
    from tests.folders import write_case

    folder = write_case(tmp_path / "case", files) if files else trailer_folder(tmp_path)
    record = read_folder(folder).record
    view = hand_over_view(HandedOver(record, (), copies, (), STANDING, STANDING, "2026-05-01T00:00:00Z"))
    return page_html(view, FILES)


@pytest.mark.parametrize("text", HOSTILE)
def test_no_text_becomes_markup(tmp_path, text):
    harmless = Page(page_of(tmp_path / "a", hostile_case("plain")).decode())
    page = Page(page_of(tmp_path / "b", hostile_case(text)).decode())
    # a longer name takes more lines on a map: one `text` each
    assert [tag for tag, _ in page.tags if tag != "text"] == [tag for tag, _ in harmless.tags if tag != "text"]
    assert not page.of("script")
    for tag, attrs in page.tags:
        assert not [name for name in attrs if name.startswith("on")], tag
        assert not [value for value in attrs.values() if value and value.strip().lower().startswith("javascript:")]
    assert text in " ".join(page.words)


def test_nothing_is_fetched_from_anywhere(tmp_path):
    page = Page(page_of(tmp_path).decode())
    for tag, attrs in page.tags:
        for name in ("src", "href", "action", "srcset", "data", "poster"):
            value = attrs.get(name)
            assert value is None or not re.match(r"(?i)[a-z][a-z0-9+.-]*:|//", value), (tag, value)
    assert "@import" not in page_of(tmp_path).decode()
    assert "url(" not in page_of(tmp_path).decode()
    policy = next(attrs["content"] for attrs in page.of("meta") if attrs.get("http-equiv") == "Content-Security-Policy")
    assert "default-src 'none'" in policy
    assert "script-src" not in policy


def test_headings_tables_and_pictures_are_named(tmp_path):
    copies = [
        MediaCopy("side.jpg", "a" * 64, "side.jpg", "b" * 64, 10, "re-encoded", "upright", picture=True),
    ]
    page = Page(page_of(tmp_path, copies=copies).decode())
    levels = [int(tag[1]) for tag, _ in page.tags if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))
    assert len(page.of("caption")) == len(page.of("table")) > 5
    assert all(attrs.get("scope") in ("col", "row") for attrs in page.of("th"))
    assert [attrs["alt"] for attrs in page.of("img")] == ["photo: Side, <unwashed>, about low"]
    assert [attrs["src"] for attrs in page.of("img")] == ["media/side.jpg"]
    ids = [attrs["id"] for _, attrs in page.tags if "id" in attrs]
    assert len(ids) == len(set(ids))
    for attrs in page.of("svg"):
        assert all(name in ids for name in attrs["aria-labelledby"].split())


def test_only_what_is_there_is_linked(tmp_path):
    links = [attrs["href"] for attrs in Page(page_of(tmp_path).decode()).of("a")]
    assert "tables.xlsx" in links
    assert "map.gpkg" not in links


def test_every_word_is_readable_on_its_ground():
    # WCAG 2.2, success criterion 1.4.3: at least 4.5 : 1 for text
    for roles in (LIGHT, DARK):
        for ink in ("ink", "ink_soft", "accent", "finding"):
            assert contrast(roles[ink], roles["paper"]) >= 4.5
        assert contrast(roles["ink"], roles["panel"]) >= 4.5


def test_the_same_record_gives_the_same_bytes(tmp_path):
    assert page_of(tmp_path / "a") == page_of(tmp_path / "b")


def test_maps_are_well_formed_and_to_scale(tmp_path):
    record = read_folder(trailer_folder(tmp_path)).record
    view = hand_over_view(HandedOver(record, (), (), (), STANDING, STANDING, "2026-05-01T00:00:00Z"))
    for one in view.maps:
        svg = sheet_svg(one.view, ident=one.ident, title=one.title, alt=one.alt, paint=lambda paint: paint)
        root = ET.fromstring(svg)
        assert root.find("{http://www.w3.org/2000/svg}title").text == one.title
    found = next(one.view for one in view.maps if one.ident == "as-found-outside")
    svg = sheet_svg(found, ident="x", title="", alt="", paint=lambda paint: f"paint-{paint.strip('#')}")
    # zone `low` is 2000 × 300 mm: its path is as many pixels wide and high at the scale of the view
    zone = next(one for one in found.zones if one.zone_id == "low")
    path = re.search(rf'd="([^"]+)" style="fill:paint-{zone.paint.strip("#")};', svg)[1]
    spots = [tuple(map(float, spot.split())) for spot in re.split("[MLz]", path) if spot]
    wide, high = (max(axis) - min(axis) for axis in zip(*spots, strict=True))
    assert wide == pytest.approx(2000 / found.mm_per_px, abs=0.2)
    assert high == pytest.approx(300 / found.mm_per_px, abs=0.2)


def test_zones_with_their_measures_are_read_by_gdal(tmp_path):
    # GDAL is the reader here, not this project
    record = read_folder(trailer_folder(tmp_path)).record
    (tmp_path / "zones.geojson").write_bytes(zone_measures_bytes(record))
    table = pyogrio.read_dataframe(tmp_path / "zones.geojson").set_index("zone_id")
    assert table.loc["low", "surface_mm2"] == pytest.approx(660_000)
    assert table.loc["low", "kept_surface_mm2"] == pytest.approx(55_000)
    # in millimetres of the drawing, by prior arrangement (RFC 7946 section 4): the reader takes them for degrees
    assert table.geometry["low"].area == pytest.approx(600_000)
    assert table.loc["low", "film_median_um"] == 92
    assert table.loc["high", "name"] == "@High"


def test_a_zone_with_a_control_character_in_its_name(tmp_path):
    zones = [
        {
            "zone_id": "z",
            "drawing_id": "side",
            "part_id": "frame",
            "face": "outer",
            "name": "a\x07b\x1b",
            "geometry": box(0, 0, 9, 9),
        }
    ]
    files = {name: rows for name, rows in trailer().items() if name in ("vehicle.csv", "drawings.csv", "parts.csv")}
    assert b"\x07" not in page_of(tmp_path, files | {"zones.geojson": zones})
