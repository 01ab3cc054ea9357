"""Repaint rehearsal in a real browser: a wrong plan turns faces red, a moved step harms and says so, damp air, the print."""

from __future__ import annotations

import io

import pikepdf
import pytest

from bodymap.finish.progress import read_progress
from bodymap.settings import in_force
from demo import VEHICLE_FOLDER

from .conftest import AT_DESK, ON_TABLET
from .looking import choose, expect, new_page, open_page, pick_from, settle, type_in, watch

pytestmark = pytest.mark.browser
SCREEN = "Repaint rehearsal"
HIDDEN, OUTSIDE = (f".st-key-plan_on_{kind} .js-plotly-plot" for kind in ("hidden", "outside"))
RED = "rgba(179,18,29,0.72)"


def drawn(page, box: str) -> dict[str, str]:
    """Names of what a sheet draws, each with its fill."""
    return page.evaluate(
        f"() => Object.fromEntries(document.querySelector('{box}').data.map(t => [t.name, t.fillcolor || '']))"
    )


def zone_fills(page, box: str) -> set[str]:
    return {fill for name, fill in drawn(page, box).items() if name.startswith("zone ")}


def words_on(page, box: str) -> set[str]:
    return set(page.locator(f"{box} .annotation-text").all_text_contents())


def run_cap_off(page) -> None:
    page.get_by_text("What if: try another plan").click()
    page.get_by_role("button", name="Run plan_cap_off.csv").click()
    settle(page)
    expect(page.get_by_text("9 faces wrong").first).to_be_visible()


@AT_DESK
def test_the_wrong_plan_turns_flange_rail_and_bead_red(chromium, viewport, shop):
    with new_page(chromium, viewport) as page:
        watched = watch(page)
        before = shop.file.head()
        open_page(page, shop.url, SCREEN, HIDDEN)
        assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth"), "nothing to scroll sideways"
        blue = zone_fills(page, OUTSIDE)
        run_cap_off(page)
        page.get_by_role("button", name="Go to step 30").click()
        settle(page)
        expect(page.get_by_role("heading", name="Step 30 of 44: Coat Translucent blue")).to_be_visible()
        found = drawn(page, HIDDEN)
        assert found["harm extra"] == found["harm missing"] == RED
        assert {"harm hatch extra", "harm hatch missing"} <= set(found)
        assert {"coat too many: step 30", "coat missing: steps 1, 30"} <= words_on(page, HIDDEN)
        table = page.locator(".st-key-rehearsal_table")
        for face in (
            "Cap flange, underside, left",
            "Gutter rail under the cap flange, rear",
            "Sealant bead along the cap edge",
        ):
            row = table.get_by_role("row").filter(has_text=face)
            expect(row).to_have_count(1)
            expect(row).to_contain_text("30")
        # One step back nothing is harmed yet, and the body is silver.
        page.get_by_role("slider").focus()
        page.keyboard.press("ArrowLeft")
        settle(page)
        expect(page.get_by_role("heading", name="Step 29 of 44")).to_be_visible()
        assert not any(name.startswith("harm") for name in drawn(page, HIDDEN))
        assert zone_fills(page, OUTSIDE) != blue
        thumb = page.locator("[data-testid=stSlider] div:has(> [data-testid=stSliderThumbValue])").bounding_box()
        assert min(thumb["width"], thumb["height"]) >= 44  # WCAG 2.2, 2.5.5
        for name in ("Back", "Up", "Down", "Withdraw"):
            box = page.get_by_role("button", name=name, exact=False).first.bounding_box()
            assert box["height"] >= 44
        assert shop.file.head() == before
        assert not page.get_by_text("A fault in the program").count()
        assert watched.complaints == []
        assert watched.hosts == {"127.0.0.1"}


@ON_TABLET
def test_a_step_moved_too_late_harms_and_is_told(chromium, viewport, shop):
    with new_page(chromium, viewport) as page:
        before = shop.file.head()
        open_page(page, shop.url, SCREEN, HIDDEN)
        # The cap fitted at 28, before the blue; after the blue, at 32, its flange gets all of it.
        page.get_by_role("slider").focus()
        for _ in range(16):
            page.keyboard.press("ArrowLeft")
        settle(page)
        expect(page.get_by_role("heading", name="Step 28 of 44: Fit High roof cap")).to_be_visible()
        type_in(page, "To place", "32")
        page.get_by_role("button", name="Move there").click()
        settle(page)
        told = page.get_by_role("alert").filter(has_text="It harms")
        expect(told).to_contain_text("step 28 moved to place 32")
        expect(page.get_by_role("button", name="Go to step 31")).to_be_visible()
        page.get_by_role("button", name="Undo", exact=False).first.click()
        settle(page)
        expect(page.get_by_text("It harms")).to_have_count(0)
        assert shop.file.head() == before


@ON_TABLET
def test_a_step_done_in_damp_air_warns_and_the_quantities_are_printed(chromium, viewport, shop):
    with new_page(chromium, viewport) as page:
        open_page(page, shop.url, SCREEN, HIDDEN)
        choose(page, "Progress")
        number = {1440: 19, 820: 22}[viewport["width"]]
        pick_from(page, "Step done", f"{number} Coat")
        type_in(page, "Done by", "painter")
        for label, value in (("Air °C", "20"), ("Humidity %", "85"), ("Surface °C", "18.5")):
            type_in(page, label, value)
        expect(page.get_by_role("alert").filter(has_text="Damp").filter(has_text="Do not spray")).to_be_visible()
        page.get_by_role("button", name=f"Save: step {number} is done").click()
        expect(page.get_by_text("Sprayed too near the dew point.")).to_be_visible()
        settle(page)
        row = page.locator(".st-key-rehearsal_done").get_by_role("row").filter(has_text="1.1 °C, damp")
        expect(row.filter(has_text=f"{number}").first).to_be_visible()
        record = shop.file.record()
        done = [one for one in read_progress(record, in_force(record.settings)).steps if one.step.step == number]
        assert [(one.done.by, one.air.verdict) for one in done] == [("painter", "damp")]
        choose(page, "Quantities")
        expect(page.locator(".st-key-quantities_totals")).to_contain_text("19.4 L")
        with page.expect_download() as waiting:
            page.get_by_role("button", name="Quantities (PDF)").click()
        data = waiting.value.path().read_bytes()
        with pikepdf.open(io.BytesIO(data)) as pdf:
            assert len(pdf.pages) >= 2
        choose(page, "Step card")
        page.get_by_role("button", name="Take step_card.csv").click()
        settle(page)
        expect(page.get_by_text("your gauge cannot see this")).to_be_visible()
        assert (VEHICLE_FOLDER.parent / "step_card.csv").is_file()
        assert not page.get_by_text("A fault in the program").count()
