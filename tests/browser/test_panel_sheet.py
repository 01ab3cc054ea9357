"""The panel sheet in a real browser: touching, tinting, drawing, saving, undoing, at a desk and on a tablet."""

from __future__ import annotations

import pytest

from bodymap.geometry.convert import to_shapely
from bodymap.views.sheet import lay_out

from .conftest import AT_DESK, ON_TABLET
from .looking import MAP, choose, drag, expect, new_page, open_screen, pick_from, settle, touch, traces, type_in, watch

pytestmark = pytest.mark.browser
DOOR = "doorL_skin"


@pytest.fixture
def page(chromium, viewport, shop):
    """A window on the panel sheet; when the test is done nothing may have been complained of or asked elsewhere."""
    with new_page(chromium, viewport) as window:
        watched = watch(window)
        open_screen(window, shop.url)
        yield window
        assert not window.get_by_text("A fault in the program").count()
        assert watched.complaints == []
        assert watched.hosts == {"127.0.0.1"}


def place_in(shop, zone_id: str) -> tuple[float, float]:
    """A place well inside a zone, in sheet mm."""
    record = shop.file.record()
    zone = record.zone[zone_id]
    spot = to_shapely(zone.shape).representative_point()
    return lay_out(record, record.drawing[zone.drawing_id].kind).to_sheet(zone.drawing_id, spot.x, spot.y)


def box_in(shop, zone_id: str, width: float = 200, height: float = 120) -> list[tuple[float, float]]:
    """A rectangle inside a zone, in sheet mm."""
    x, y = place_in(shop, zone_id)
    x0, x1, y0, y1 = x - width / 2, x + width / 2, y - height / 2, y + height / 2
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0 + 5)]


def fill(page, name: str, by: str) -> None:
    """What has to be said of an area."""
    type_in(page, "Name *", name)
    type_in(page, "Reason *", "nothing like it is left elsewhere")
    pick_from(page, "Kind of edge *", "hard taped edge")
    pick_from(page, "The boundary is *", "original")
    type_in(page, "By (your name) *", by)


def save(page) -> None:
    page.get_by_role("button", name="Save to the record").click()


def listed(page, name: str):
    """The row of an area in the list of areas."""
    box = page.locator(".st-key-area_list")
    if not box.get_by_test_id("stTable").is_visible():
        box.locator("summary").click()
    return box.get_by_role("cell").filter(has_text=name)


def test_touching_a_zone_shows_its_card_and_touching_it_again_puts_it_down(page, shop):
    zone = shop.file.record().zone[DOOR]
    expect(page.get_by_role("heading", name="The whole vehicle")).to_be_visible()
    touch(page, *place_in(shop, DOOR))
    expect(page.get_by_role("heading", name=zone.title)).to_be_visible()
    touch(page, *place_in(shop, DOOR))
    expect(page.get_by_role("heading", name="The whole vehicle")).to_be_visible()


@ON_TABLET
def test_every_tint_and_every_mark_changes_the_map(page):
    seen = [traces(page)]
    for tint in ("Finish now", "Film", "Not seen", "Coat by coat"):
        choose(page, tint)
        now = traces(page)
        assert now not in seen, tint
        seen.append(now)
    for mark in ("Findings", "Readings", "Lines", "Datums", "Stacks"):
        before = len(traces(page))
        choose(page, mark)
        assert len(traces(page)) > before, mark
    before = len(traces(page))
    choose(page, "Kept areas")
    assert len(traces(page)) < before, "putting the kept areas away takes their traces away"


@ON_TABLET
def test_the_hidden_faces_have_a_sheet_of_their_own(page, shop):
    choose(page, "Hidden faces")
    touch(page, *place_in(shop, "bulk_low"))
    expect(page.get_by_role("heading", name=shop.file.record().zone["bulk_low"].title)).to_be_visible()


@AT_DESK
def test_zones_are_chosen_by_name_and_added_up(page):
    for name in ("Nose, left cheek", "Nose, right cheek"):
        pick_from(page, "Chosen zones", name)
        page.keyboard.press("Escape")
    expect(page.get_by_role("heading", name="2 zones chosen")).to_be_visible()


@ON_TABLET
def test_an_area_drawn_with_the_lasso_is_saved_and_still_there_after_a_reload(page, shop):
    before = shop.file.head().count
    pick_from(page, "Look at", "Left side")
    choose(page, "Lasso")
    ring = box_in(shop, DOOR)
    drag(page, ring)
    expect(page.locator(".st-key-card").get_by_text("not saved yet")).to_be_visible()
    expect(page.locator(".laid_over path[stroke-dasharray]")).to_have_count(1)
    assert shop.file.head().count == before, "drawing alone writes nothing"
    save(page)
    expect(page.get_by_text("Not saved. Still needed")).to_be_visible()
    fill(page, f"Lasso {before}", "Ann")
    save(page)
    expect(page.get_by_test_id("stToast").first).to_contain_text(f"entry {before + 1}")
    settle(page)
    entry = shop.file.journal()[-1]
    assert (entry.seq, entry.by, entry.act) == (before + 1, "Ann", "put")
    area = shop.file.record().area[entry.ident]
    # The hand is only as exact as the pixel it moves by.
    assert to_shapely(area.shape).area == pytest.approx(200 * 120, rel=0.15)
    assert to_shapely(shop.file.record().zone[DOOR].shape).contains(to_shapely(area.shape).centroid)
    assert shop.file.verify() == ()
    page.reload()
    page.wait_for_selector(MAP)
    settle(page)
    expect(listed(page, f"Lasso {before}")).to_be_visible()


def test_a_reload_keeps_what_was_typed_and_drawn_and_two_windows_keep_theirs_apart(page, chromium, viewport, shop):
    before = shop.file.head().count
    pick_from(page, "Look at", "Left side")
    choose(page, "Box")
    ring = box_in(shop, DOOR)
    drag(page, [ring[0], ring[2]])
    expect(page.locator(".st-key-card").get_by_text("not saved yet")).to_be_visible()
    type_in(page, "Name *", "Hand on the door")
    type_in(page, "Reason *", "rubbed by the first owner")
    pick_from(page, "Kind of edge *", "soft edge (fades out)")
    type_in(page, "By (your name) *", "Ann")
    with new_page(chromium, viewport) as other:
        open_screen(other, page.url)  # the address of a window that is still open
        other.get_by_text("Mark a kept area").click()
        expect(other.get_by_label("Name *", exact=True)).to_have_value("")
        expect(other.get_by_text("Not saved on a page that was closed")).to_have_count(0)
        type_in(other, "Name *", "Sill")
        for window, name in ((page, "Hand on the door"), (other, "Sill")):
            window.reload()
            window.wait_for_selector(MAP)
            settle(window)
            expect(window.get_by_label("Name *", exact=True)).to_be_visible()
            expect(window.get_by_label("Name *", exact=True)).to_have_value(name)
        other.get_by_role("button", name="Put away").click()
        settle(other)
    assert shop.file.head().count == before, "nothing was saved"
    pick_from(page, "The boundary is *", "original")
    save(page)
    expect(page.get_by_test_id("stToast").first).to_contain_text(f"entry {before + 1}")
    settle(page)
    entry = shop.file.journal()[-1]
    area = shop.file.record().area[entry.ident]
    assert (entry.by, area.name, area.reason, area.edge) == ("Ann", "Hand on the door", "rubbed by the first owner", "soft")
    assert to_shapely(area.shape).area == pytest.approx(200 * 120, rel=0.15)


@AT_DESK
def test_a_box_marks_an_area_and_undo_takes_it_back(page, shop):
    before = shop.file.record().areas
    choose(page, "Box")
    pick_from(page, "Look at", "Left side")
    ring = box_in(shop, "sideL_low")
    drag(page, [ring[0], ring[2]])
    fill(page, "Box mark", "Ben")
    save(page)
    expect(page.get_by_test_id("stToast").first).to_contain_text("saved")
    settle(page)
    assert len(shop.file.record().areas) == len(before) + 1
    assert to_shapely(shop.file.record().areas[-1].shape).area == pytest.approx(200 * 120, rel=0.15)
    expect(listed(page, "Box mark")).to_be_visible()
    page.get_by_role("button", name="Undo my last change").click()
    expect(page.get_by_test_id("stToast").filter(has_text="undone")).to_be_visible()
    settle(page)
    assert shop.file.record().areas == before
    assert shop.file.verify() == ()


@AT_DESK
def test_a_band_along_an_edge_is_exact(page, shop):
    pick_from(page, "Chosen zones", "Left sill")
    page.keyboard.press("Escape")
    page.get_by_text("Mark a kept area").click()
    pick_from(page, "How it is bounded", "Band along an edge")
    type_in(page, "Width in mm", "40")
    expect(page.locator(".st-key-card").get_by_text("not saved yet")).to_be_visible()
    fill(page, "Sill band", "Cal")
    save(page)
    expect(page.get_by_test_id("stToast").first).to_contain_text("saved")
    settle(page)
    area = next(area for area in shop.file.record().areas if area.name == "Sill band")
    zone = to_shapely(shop.file.record().zone["sillL_face"].shape)
    band = to_shapely(area.shape)
    assert zone.buffer(1e-6).contains(band)
    assert band.hausdorff_distance(zone.boundary.intersection(band.buffer(0.01))) <= 40 * 2**0.5 + 0.1


def test_the_card_is_beside_the_map_at_a_desk_and_under_it_on_a_tablet_and_targets_fit_a_gloved_finger(page, viewport):
    card, sheet = page.locator(".st-key-card").bounding_box(), page.locator(MAP).bounding_box()
    if viewport["width"] > 1100:
        assert card["x"] >= sheet["x"] + sheet["width"]
    else:
        assert card["y"] >= sheet["y"] + sheet["height"]
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth"), "nothing to scroll sideways"
    small = page.evaluate(
        """() => [...document.querySelectorAll('[data-testid=stApp] :is(button, summary, a, [role=combobox])')]
            .map(e => [e.innerText || e.ariaLabel, e.getBoundingClientRect()])
            .filter(([_, box]) => box.width > 1 && box.height > 1 && (box.width < 44 || box.height < 44))
            .map(([words, box]) => `${words}: ${box.width} × ${box.height}`)"""
    )
    assert small == []  # WCAG 2.2, 2.5.5: 44 by 44 CSS pixels
