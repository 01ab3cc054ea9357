"""The survey in a real browser: gloves on a tablet, a reload in the middle, two tablets at one record."""

from __future__ import annotations

import io
from collections.abc import Iterator

import pytest
from PIL import Image

from bodymap.geometry.convert import to_shapely
from bodymap.model import Goal
from bodymap.store import record_file
from bodymap.views.sheet import lay_out
from tests.dashboard.small import AT, small_record

from .conftest import TABLET, Shop, served
from .looking import MAP, choose, drag, expect, go_to_screen, new_page, settle, touch, type_in, watch

pytestmark = pytest.mark.browser
SWATCH = ".st-key-swatch_{} button"


@pytest.fixture(scope="module")
def small_shop(tmp_path_factory) -> Iterator[Shop]:
    """The small record in a file, served."""
    path = tmp_path_factory.mktemp("small") / "van.gpkg"
    record = small_record().with_kind("goal", [Goal(zone_id="flange", position=1, coat_id="c1", extent="full")])
    record_file.create(path, record, by="start", why="a small record", at=AT, media={})
    with served(path) as running:
        yield running


def survey_in(window, shop) -> None:
    """Opens the survey in a window."""
    window.goto(shop.url)
    go_to_screen(window, "Survey")
    window.wait_for_selector(MAP)
    settle(window)


@pytest.fixture
def page(chromium, viewport, small_shop):
    """A window on the survey at a desk and on a tablet."""
    yield from watched_page(chromium, viewport, small_shop)


@pytest.fixture
def tablet(chromium, small_shop):
    """A window on the survey on a tablet."""
    yield from watched_page(chromium, TABLET, small_shop)


def watched_page(chromium, viewport, small_shop):
    """A window on the survey; nothing may have been complained of but what a reload asks for at the address of the page."""
    with new_page(chromium, viewport) as window:
        watched = watch(window)
        survey_in(window, small_shop)
        yield window
        assert not window.get_by_text("A fault in the program").count()
        assert [one for one in watched.complaints if "404" not in one] == []
        assert watched.hosts == {"127.0.0.1"}


def place_in(shop, zone_id: str) -> tuple[float, float]:
    record = shop.file.record()
    zone = record.zone[zone_id]
    spot = to_shapely(zone.shape).representative_point()
    return lay_out(record, "outside").to_sheet(zone.drawing_id, spot.x, spot.y)


def lay(page, *coats: str) -> None:
    for coat in coats:
        page.locator(SWATCH.format(coat)).click()
        settle(page)


def how(page, name: str) -> None:
    choose(page, "Yes")
    choose(page, "Window")
    type_in(page, "By (your name) *", name)


def save(page) -> None:
    page.get_by_role("button", name="Save to the record").click()
    expect(page.get_by_test_id("stToast").filter(has_text="saved").first).to_be_visible()
    settle(page)


def photo() -> bytes:
    tags, out = Image.Exif(), io.BytesIO()
    tags[0x8769] = {0x9003: "2025:10:06 14:03:22"}
    tags[0x8825] = {1: "N", 2: (52.0, 31.0, 7.0), 3: "E", 4: (13.0, 24.0, 37.0)}
    Image.effect_noise((640, 480), 60).convert("RGB").save(out, "JPEG", exif=tags)
    return out.getvalue()


def test_three_stacks_a_photo_readings_and_a_finding_are_entered_by_touch(page, small_shop):
    before = small_shop.file.record()
    touch(page, *place_in(small_shop, "door_out"))
    page.get_by_test_id("stFileUploaderDropzoneInput").set_input_files(
        {"name": "shot.jpg", "mimeType": "image/jpeg", "buffer": photo()}
    )
    expect(page.get_by_text("place taken out")).to_be_visible()
    settle(page)
    lay(page, "c1", "c2")
    choose(page, "Dirt")
    how(page, "Ann")
    save(page)
    for zone in ("side_out", "side_low"):
        touch(page, *place_in(small_shop, zone))
        lay(page, "c1")
        choose(page, "Mist")
        choose(page, "Yes")
        save(page)
    record = small_shop.file.record()
    new = [one for one in record.stacks if one not in before.stacks]
    assert [one.zone_id for one in new] == ["door_out", "side_out", "side_low"]
    for one in new:
        zone = to_shapely(record.zone[one.zone_id].shape)
        spot = zone.representative_point()
        # A finger is as exact as the places that a touch can find: about 7 px of a map that shows some 7 m.
        assert abs(one.x - spot.x) < 120
        assert abs(one.y - spot.y) < 120
    assert [layer.extent for layer in record.layers_of[new[1].stack_id]] == ["mist"]
    assert record.layers_of[new[0].stack_id][1].interface == ("dirt",)
    source = next(one for one in record.sources if one not in before.sources)
    assert (source.date, source.about) == ("2025-10-06T14:03:22", ("door_out", new[0].stack_id))

    choose(page, "Reading")
    touch(page, *place_in(small_shop, "side_low"))
    type_in(page, "Readings in µm, blanks between *", "212 214 210 213 211")
    choose(page, "Magnetic")
    save(page)
    readings = [one.um for one in small_shop.file.record().readings if one not in before.readings]
    assert readings == [212, 214, 210, 213, 211]

    choose(page, "Finding")
    x, y = place_in(small_shop, "side_out")
    drag(page, [(x - 200, y - 100), (x + 200, y - 100), (x + 200, y + 100), (x - 200, y + 100), (x - 200, y - 90)])
    choose(page, "Dent")
    save(page)
    found = next(one for one in small_shop.file.record().findings if one not in before.findings)
    assert to_shapely(found.shape).area == pytest.approx(400 * 200, rel=0.2)
    assert small_shop.file.verify() == ()
    go_to_screen(page, "Mask brief")
    expect(page.get_by_role("button", name="Mask brief (PDF)")).to_be_visible()


def test_a_reload_keeps_the_half_built_ladder(tablet, small_shop):
    page = tablet
    count = small_shop.file.head().count
    touch(page, *place_in(small_shop, "door_out"))
    lay(page, "c1", "c2")
    choose(page, "Mist")
    choose(page, "Section")
    big_enough_for_a_gloved_finger(page)
    page.reload()
    page.wait_for_selector(SWATCH.format("c1"))
    settle(page)
    assert small_shop.file.head().count == count, "nothing was saved"
    for coat in ("c1", "c2"):
        expect(page.locator(SWATCH.format(coat))).to_be_disabled()
    expect(page.locator(".st-key-card").get_by_text("Door outside", exact=True).first).to_be_visible()
    choose(page, "No")
    type_in(page, "By (your name) *", "Cal")
    save(page)
    saved = small_shop.file.record().stacks[-1]
    assert (saved.method, saved.by, saved.zone_id, saved.reaches_substrate) == ("section", "Cal", "door_out", False)
    assert [one.extent for one in small_shop.file.record().layers_of[saved.stack_id]] == ["full", "mist"]


def big_enough_for_a_gloved_finger(page) -> None:
    small = page.evaluate(
        """() => [...document.querySelectorAll('[data-testid=stApp] :is(button, summary, a, [role=combobox])')]
            .map(e => [e.innerText || e.ariaLabel, e.getBoundingClientRect()])
            .filter(([_, box]) => box.width > 1 && box.height > 1 && (box.width < 44 || box.height < 44))
            .map(([words, box]) => `${words}: ${box.width} × ${box.height}`)"""
    )
    assert small == []  # WCAG 2.2, 2.5.5: 44 by 44 CSS pixels
    swatch = page.locator(SWATCH.format("c2")).bounding_box()
    assert min(swatch["width"], swatch["height"]) >= 90
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth"), "nothing to scroll sideways"


def test_two_tablets_at_one_record_lose_nothing_and_each_is_told(chromium, small_shop):
    before = small_shop.file.record()
    with new_page(chromium, TABLET) as ann, new_page(chromium, TABLET) as ben:
        for window, zone, coats in ((ann, "door_out", ("c1",)), (ben, "side_low", ("c2",))):
            survey_in(window, small_shop)
            touch(window, *place_in(small_shop, zone))
            type_in(window, "Sticker", "T77")
            lay(window, *coats)
            how(window, "Ann" if window is ann else "Ben")
        save(ann)
        ben.get_by_role("button", name="Save to the record").click()
        expect(ben.get_by_text("T77 is taken: put by Ann")).to_be_visible()
        expect(ben.get_by_text("2 entries by Ann")).to_be_visible()
        expect(ben.locator(SWATCH.format("c2"))).to_be_disabled()
        settle(ben)
        ben.get_by_role("button", name="Keep mine as").click()
        settle(ben)
        save(ben)
        expect(ann.get_by_text("2 entries by Ben")).to_be_visible()
    record = small_shop.file.record()
    new = {one.by: one for one in record.stacks if one not in before.stacks}
    assert new["Ann"].stack_id == "T77"
    assert [one.coat_id for one in record.layers_of["T77"]] == ["c1"]
    assert new["Ben"].zone_id == "side_low"
    assert [one.coat_id for one in record.layers_of[new["Ben"].stack_id]] == ["c2"]
    assert small_shop.file.verify() == ()
