"""Film across the body in a real browser: three very different gauge files taken in, the spot sheet, the map, both sides."""

from __future__ import annotations

import statistics

import pytest

from bodymap.film.spot_plan import plan_spots
from bodymap.film.summary import zone_film
from bodymap.settings import in_force

from .conftest import AT_DESK, ON_TABLET
from .looking import MAP, choose, expect, new_page, open_page, pick_from, settle, traces, type_in, watch

pytestmark = pytest.mark.browser
pikepdf = pytest.importorskip("pikepdf")
SCREEN = "Film across the body"
# Three zones with different numbers of spots, each read after another coat, so that nothing of it is mixed with the demo's.
WING, DOOR, CAP = "wingL_side", "doorL_skin", "cap_top"


def spots_in(shop, zone_id: str) -> int:
    record = shop.file.record()
    return len(plan_spots(record, "shop", in_force(record.settings), [zone_id]).spots)


def shift_of(viewport) -> float:
    """Each window brings readings of its own, which the other has not taken in before."""
    return 7.0 if viewport["width"] < 1000 else 0.0


def semicolons(spots: int, shift: float) -> tuple[bytes, list[float]]:
    """Decimal commas, Windows-1252, semicolons, µm; a row for each spot, mean rows at the end."""
    rows = [[100 + shift + spot + k / 2 for k in range(3)] for spot in range(spots)]
    lines = ["Prüfer;A. Müller", "Nr;Stelle;Schichtdicke (µm);;", *(
        f"{n};T{n};" + ";".join(f"{um:.1f}".replace(".", ",") for um in row) for n, row in enumerate(rows, 1)
    ), "Mittelwert;;102,5;;"]  # fmt: skip
    return "\r\n".join(lines).encode("cp1252"), [um for row in rows for um in row]


def mils(spots: int, shift: float) -> tuple[bytes, list[float]]:
    """Mil with a header, single readings, three to a spot, and rows of statistics at the end."""
    values = [4.0 + shift / 10 + number / 100 for number in range(3 * spots)]
    lines = ["Reading No,Date,Time,Thickness (mils)", *(
        f"{n},03/14/2026,{9 + n // 60}:{n % 60:02}:05 AM,{mil:.2f}" for n, mil in enumerate(values, 1)
    ), "Mean,,,4.1", "Std Dev,,,0.05", f"Count,,,{len(values)}"]  # fmt: skip
    # 1 mil = 25.4 µm exactly (NIST SP 811, appendix B; from memory, not seen)
    return "\n".join(lines).encode(), [mil * 25.4 for mil in values]


def tabs(spots: int, shift: float) -> tuple[bytes, list[float]]:
    """No header, tabs, mm, several readings in a row for each spot."""
    rows = [[(120 + shift + spot + k) / 1000 for k in (0, 2, 5)] for spot in range(spots)]
    text = "".join("\t".join(f"{mm:.4f}" for mm in row) + "\n" for row in rows)
    return text.encode(), [mm * 1000 for row in rows for mm in row]


@pytest.fixture
def page(chromium, viewport, shop):
    """A window on the film screen; when the test is done nothing may have been complained of or asked elsewhere."""
    with new_page(chromium, viewport) as window:
        watched = watch(window)
        open_page(window, shop.url, SCREEN, MAP)
        yield window
        assert not window.get_by_text("A fault in the program").count()
        assert watched.complaints == []
        assert watched.hosts == {"127.0.0.1"}


def bring(page, name: str, data: bytes) -> None:
    """Gives a file to the field for gauge files."""
    page.locator(".st-key-card input[type=file]").set_input_files({"name": name, "mimeType": "text/csv", "buffer": data})
    page.wait_for_selector(".st-key-gauge_columns")
    settle(page)


def plan_zone(page, title: str) -> None:
    """Plans one zone and no other."""
    for chip in page.get_by_role("button", name="Clear all").all():
        if chip.locator("xpath=ancestor::*[contains(@class, 'st-key-plan_zones')]").count():
            chip.click()
            settle(page)
    pick_from(page, "Zones in the plan", title)
    page.keyboard.press("Escape")
    settle(page)


def take_in(page, shop, *, zone: str, gauge: str, principle: str, phase: str, by: str) -> None:
    """Says what has to be said of a file, and takes it in."""
    pick_from(page, "The gauge is *", principle)
    type_in(page, "Gauge and probe *", gauge)
    pick_from(page, "Read", phase)
    plan_zone(page, shop.file.record().zone[zone].title)
    type_in(page, "By (your name) *", by)


def laid(page, readings: int, of: int, spots: int) -> None:
    expect(page.get_by_text(f"{readings} of {of} readings on {spots} spots")).to_be_visible()


def save(page, readings: int) -> None:
    page.get_by_role("button", name=f"Take in {readings} readings").click()
    expect(page.get_by_test_id("stToast").first).to_contain_text(f"{readings} readings taken in")
    settle(page)


def taken(shop, zone: str, gauge: str):
    return [one for one in shop.file.record().readings if one.zone_id == zone and one.instrument == gauge]


@AT_DESK
def test_a_file_with_semicolons_and_decimal_commas(page, shop, viewport):
    data, values = semicolons(spots_in(shop, WING), shift_of(viewport))
    choose(page, "Gauge file")
    bring(page, "round.csv", data)
    # the first window is told the doubts, a later one what was confirmed before
    expect(page.get_by_text("bytes that are no UTF").or_(page.get_by_text("Read as confirmed before"))).to_be_visible()
    expect(page.get_by_text("rows of readings in µm")).to_be_visible()
    head, foot = page.locator(".st-key-gauge_columns").bounding_box(), page.locator(".st-key-gauge_foot").bounding_box()
    assert foot is None or foot["y"] + foot["height"] - head["y"] < 1180, "what is said of a file and its save: one screen"
    gauge, before = f"gauge C {viewport['width']}", shop.file.head().count
    take_in(page, shop, zone=WING, gauge=gauge, principle="magnetic", phase="After c5", by="Ann")
    laid(page, len(values), len(values), len(values) // 3)
    assert "reading" in [trace["name"] for trace in traces(page)], "the preview stands on the map"
    assert shop.file.head().count == before, "a preview writes nothing"
    save(page, len(values))
    found = taken(shop, WING, gauge)
    assert [one.um for one in found] == pytest.approx(values)
    assert {one.phase for one in found} == {"c5"}
    assert len({one.spot for one in found}) == len(values) // 3
    record = shop.file.record()
    assert f"gauge_file_gauge_c_{viewport['width']}" in {setting.key for setting in record.settings}
    assert shop.file.verify() == ()
    # the same file again is flagged and not taken in without a word
    choose(page, "Gauge file")
    bring(page, "round.csv", data)
    expect(page.get_by_text("This very file was taken in before")).to_be_visible()
    expect(page.get_by_text("Read as confirmed before")).to_be_visible()


@ON_TABLET
def test_a_file_in_mil_with_statistics_at_its_end(page, shop, viewport):
    data, values = mils(spots_in(shop, DOOR), shift_of(viewport))
    choose(page, "Gauge file")
    bring(page, "mils.csv", data)
    expect(page.get_by_text("3 rows of statistics set aside")).to_be_visible()
    gauge = f"gauge D {viewport['width']}"
    take_in(page, shop, zone=DOOR, gauge=gauge, principle="magnetic", phase="After c6 ", by="Ben")
    laid(page, len(values), len(values), len(values) // 3)
    save(page, len(values))
    found = taken(shop, DOOR, gauge)
    assert [one.um for one in found] == pytest.approx(values)
    assert found[0].taken.endswith("-03-14T09:01:05")
    assert shop.file.verify() == ()


@AT_DESK
def test_a_file_without_a_header_on_a_roof_its_gauge_cannot_read(page, shop, viewport):
    spots = spots_in(shop, CAP)
    data, values = tabs(spots, shift_of(viewport))
    choose(page, "Gauge file")
    bring(page, "tabs.txt", data)
    anew = page.get_by_role("button", name="Propose anew")
    if anew.count():  # a window before this one has confirmed such a file; what it said can be put aside
        anew.click()
        settle(page)
    expect(page.get_by_text("Say the unit of the readings")).to_be_visible()
    pick_from(page, "Unit of the readings *", "mm")
    gauge = f"gauge E {viewport['width']}"
    record = shop.file.record()
    before = zone_film(record, CAP, "c8")
    take_in(page, shop, zone=CAP, gauge=gauge, principle="magnetic", phase="After c8", by="Cal")
    laid(page, len(values), len(values), spots)
    expect(page.get_by_role("cell").filter(has_text="never counted").filter(has_text="needs steel").first).to_be_visible()
    assert "reading" not in [trace["name"] for trace in traces(page)], "a refused reading takes no colour"
    # the first spot was passed over: everything moves on by one, and the last row is left over
    page.get_by_text("Laid otherwise").click()
    expect(page.get_by_role("combobox", name="Spots passed over", exact=True)).to_be_visible()
    page.wait_for_timeout(400)  # the leaf slides open
    settle(page)
    pick_from(page, "Spots passed over", "spot 1")
    page.keyboard.press("Escape")
    laid(page, len(values) - 3, len(values), spots - 1)
    expect(page.get_by_text("1 rows are left over")).to_be_visible()
    save(page, len(values) - 3)
    found = taken(shop, CAP, gauge)
    assert [one.um for one in found] == pytest.approx(values[:-3])
    after = zone_film(shop.file.record(), CAP, "c8")
    assert (after.n, after.median_um) == (before.n, before.median_um), "GRP read by a magnetic gauge reaches no figure"
    assert len(after.refused) == len(before.refused) + len(values) - 3


@ON_TABLET
def test_the_spot_sheet_is_downloaded(page, shop, tmp_path):
    choose(page, "Spot plan")
    plan_zone(page, shop.file.record().zone[WING].title)
    count = spots_in(shop, WING)
    expect(page.get_by_text(f"{count} spots, {3 * count} readings")).to_be_visible()
    with page.expect_download() as download:
        page.get_by_role("button", name="Spot sheet with stickers (PDF)").click()
    download.value.save_as(tmp_path / "spots.pdf")
    with pikepdf.open(tmp_path / "spots.pdf") as pdf:
        assert len(pdf.pages) >= 3  # how to go round, a drawing with its table, stickers
        assert pdf.Root.MarkInfo.Marked


def test_the_map_both_sides_and_what_is_judged(page, shop):
    record = shop.file.record()
    names = [trace["name"] for trace in traces(page)]
    assert "contour" in names, "the right cargo side has earned a surface"
    assert "refused" in names
    wings = [statistics.median(one.um for one in record.readings_of[zone] if one.phase == "as found")
             for zone in ("wingL_side", "wingR_side")]  # fmt: skip
    choose(page, "Left against right")
    row = page.get_by_test_id("stTable").get_by_role("row").nth(1)
    expect(row).to_contain_text("thinner")
    assert [f"{um:.0f}" for um in wings] == row.get_by_role("cell").all_inner_texts()[1:3]
    choose(page, "Judged")
    type_in(page, "Nominal µm", "30")
    expect(page.get_by_text("not for nominal films under 40")).to_be_visible()
    type_in(page, "Nominal µm", "200")
    expect(page.get_by_role("cell").filter(has_text="accepted").first).to_be_visible()
    choose(page, "Filler")
    expect(page.get_by_text("Filler in place")).to_be_visible()
    choose(page, "Unexplained")
    expect(page.get_by_text("Cannot tell on")).to_be_visible()
    choose(page, "Polishing")
    expect(page.get_by_text("State both rounds")).to_be_visible()
