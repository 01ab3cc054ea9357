"""Every figure of the van's story is what the library reckons from the record. The story is invented: no outside source."""

from __future__ import annotations

import re
import statistics
from datetime import date

import pytest

from bodymap.exchange.open_folder import read_folder
from bodymap.exchange.plan_file import read_plan
from bodymap.exchange.step_card import parse_step_card
from bodymap.film.report import Specification, film_report
from bodymap.film.stories import film_stories
from bodymap.finish.replay import replay
from bodymap.finish.tint_report import tint_report
from bodymap.geometry.areas import areas_of
from bodymap.geometry.convert import to_shapely
from bodymap.history.read import read_history
from bodymap.history.set_aside import set_aside
from bodymap.release.checks import release_of
from bodymap.settings import in_force
from bodymap.views.brief import brief_view
from bodymap.views.film_witness import film_witness
from bodymap.views.plan_sheet import found_rows
from bodymap.views.retained import retained_figures
from dashboard.app import SCREENS
from demo import CAP_OFF_PLAN, VEHICLE_FOLDER
from demo.story import STORY, VEHICLE_ID

BY_TITLE = {step.title: step for step in STORY}
# What counts as a figure: a number, or a number in words; the id of a stack is none.
FIGURE = re.compile(
    r"(?<![\w.])\d+(?:\.\d+)?|\b(?:two|three|four|five|six|seven|eight|nine|ten|once|twice)\b", re.IGNORECASE
)


@pytest.fixture(scope="module")
def van():
    return read_folder(VEHICLE_FOLDER).record


@pytest.fixture(scope="module")
def settings(van):
    return in_force(van.settings)


@pytest.fixture(scope="module")
def film(van, settings):
    return film_report(van, settings, Specification())


def said(title: str) -> list[str]:
    return [one.lower() for one in FIGURE.findall(BY_TITLE[title].text)]


def sources(van):
    return {source.source_id: source for source in van.sources}


def m2(area_mm2: float, digits: int) -> str:
    return f"{area_mm2 / 1e6:.{digits}f}"


def test_ten_steps_go_along_the_chain_of_the_job_on_screens_that_are_there(van):
    assert van.vehicle.vehicle_id == VEHICLE_ID
    stages = [step.stage for step in STORY]
    assert list(dict.fromkeys(stages)) == [
        "survey", "history", "keep or strip, release", "brief", "rehearse", "film check", "hand over"
    ]  # fmt: skip
    assert len(STORY) == len(BY_TITLE) == 10
    assert {step.screen for step in STORY} <= set(SCREENS)
    # Two or three short sentences, four at the most: a strip and not a page.
    assert max(len(step.text) for step in STORY) <= 400


def test_what_is_shown_is_in_the_record(van):
    for step in STORY:
        zones = [*step.shows.get("chosen", ()), *(step.shows.get("chart_zones") or ())]
        assert [zone for zone in zones if zone not in van.zone] == []
        at = step.shows.get("look_at")
        drawings = {van.zone[zone].drawing_id for zone in step.shows.get("chosen", ())}
        assert not at or (van.drawing[at].kind, drawings) == (step.shows["sheet"], {at})


def test_letters(van, film):
    on = statistics.median(
        film.zones[zone].film.median_um for zone in ("sideL_let_high", "sideL_let_low", "sideR_let_high", "sideR_let_low")
    )
    beside = statistics.median(
        film.zones[zone].film.median_um for zone in ("sideL_high", "sideL_low", "sideR_high", "sideR_low")
    )
    weld = to_shapely(next(one.shape for one in van.findings if one.finding_id == "F05"))
    rear_edge = to_shapely(van.zone["sideR_skin"].shape).bounds[0]
    assert said("Letters under the blue") == [f"{on:.0f}", f"{beside:.0f}", f"{weld.bounds[0] - rear_edge:.0f}"]


def test_the_wrong_stack(van):
    """Its own count of who speaks for which order: not by the graph that finds the circle."""
    green_under, silver_under = [], []
    for stack in van.stacks:
        order = [layer.coat_id for layer in van.layers_of[stack.stack_id] if layer.extent != "none"]
        if {"c3", "c6"} <= set(order):
            (green_under if order.index("c3") < order.index("c6") else silver_under).append(stack.stack_id)
    assert (len(green_under), silver_under) == (5, ["S12"])
    assert read_history(van).circle_removals == (("S12",),)
    assert said("One stack lies the wrong way") == [str(len(van.stacks)), "five"]


def test_the_left_wing(van, settings):
    assert next(layer.coat_id for layer in van.layers_of["S10"]) == "t1"
    assert not {"c1", "c2", "c3"} & {layer.coat_id for layer in van.layers_of["S10"] if layer.extent != "none"}
    assert "all panels factory" in sources(van)["Q1"].title
    without = set_aside(van, ("S12",))
    (line,) = film_witness(without, film_stories(without, settings, read_history(without))).speaks
    found = re.search(r"(\d+) ± (\d+) µm against once (\d+)–(\d+) µm; twice (\d+)–(\d+) µm: separates: twice", line)
    reading, u_um, *bounds = found.groups()
    assert said("The left wing") == [reading, u_um, "once", *bounds[:2], "twice", *bounds[2:]]


def test_silver_and_no_cap(van):
    cap, photo, invoice = van.part["cap"], sources(van)["Q2"], sources(van)["Q3"]
    assert cap.name in {van.part[one].name for source in (photo, invoice) for one in source.about if one in van.part}
    assert "in its blue" in photo.title
    rail = {layer.coat_id: layer.extent for layer in van.layers_of["S04"]}
    assert (rail["c6"], rail["c7"]) == ("full", "none")
    years = [str(source.date)[:4] for source in (photo, invoice)]
    assert said("Silver, and no cap") == [years[0], years[1], years[1]]
    assert date(int(years[0]), 1, 1) < date(int(years[1]), 1, 1)


def test_the_step_plate(van, settings):
    totals = areas_of(van).totals
    kept = [area for area in van.areas if area.purpose == "keep"]
    blockers = release_of(van, settings)["frame_sill"].blockers
    (at,) = [number for number, one in enumerate(blockers) if one.code == "margin-in-rougher-zone"]
    asked, lies = re.search(r"must stay (\d+) mm away; .*\(K3\) lies (\d+) mm", blockers[at].what).groups()
    step = BY_TITLE["The step plate stays"]
    assert said(step.title) == ["five", m2(totals.kept_surface_mm2, 2), m2(totals.surface_mm2, 1), lies, asked]
    assert len(kept) == 5
    assert step.look == f"blocker_frame_sill_{at}"


def test_the_brief(van, settings):
    view = brief_view(van, settings)
    kept = sum(area.purpose == "keep" for area in view.areas)
    told = [str(len(view.areas)), str(kept), str(len(view.areas) - kept), f"{view.film_with_lap_m2:.1f}"]
    assert said("What hangs in the booth") == told


def test_the_cap_off_plan(van, settings):
    step = BY_TITLE["Cap off for all the blue?"]
    steps, _ = read_plan(CAP_OFF_PLAN, van)
    result = replay(van, settings, steps)
    rows = found_rows(van.with_kind("step", steps), result)
    assert replay(van, settings).clean
    blame = step.own["step"]
    assert all(blame in row.blame for row in rows)
    passes = [van.coat[coat].film_um / van.coat[coat].pass_um for coat in ("n4b", "n4")]
    words = {2.0: "two", 5.0: "five", 7.0: "seven"}
    told = [*(words[one] for one in passes), words[sum(passes)], str(len(rows)),
            f"{100 * result.match_mm2 / result.total_mm2:.1f}", str(blame)]  # fmt: skip
    assert said(step.title) == told


def test_the_tinted_coat(settings):
    step = BY_TITLE["A blue that forgives little"]
    own = step.own
    card = parse_step_card(own["card_file"], (VEHICLE_FOLDER.parent / own["card_file"]).read_bytes())
    report = tint_report(
        card.steps, settings, at_um=own["at_um"], pass_um=own["pass_um"], reading_um=own["reading_um"]
    )  # fmt: skip
    allowed, gauge = report.tolerance, report.gauge
    assert gauge.sees is False
    assert said(step.title) == [
        f"{allowed.at_um:g}", f"{allowed.minus_um:.1f}", f"{allowed.plus_um:.1f}", f"{allowed.delta_e:g}",
        f"{report.effect.pass_um:g}", f"{report.effect.one_more:.1f}", f"{gauge.reading_um:g}", f"{gauge.u_um:.1f}",
    ]  # fmt: skip


def test_left_against_right(van, film):
    wing, *others = film.sides.compared
    assert {one.verdict for one in others} == {"alike"}
    (refused,) = film.zones["cap_top"].film.refused
    assert "GRP has none" in refused.why
    um = next(one.um for one in van.readings if one.reading_id == refused.reading_id)
    assert said("Left against right") == [
        f"{wing.left_um:.0f}", f"{wing.right_um:.0f}", f"{-wing.difference_um:.0f}", f"{wing.u_um:.0f}", f"{um:g}"
    ]  # fmt: skip


def test_what_is_still_original(van, settings):
    figures = retained_figures(van, settings)
    again = sum(one.surface_mm2 for one in figures.surfaces if one.again)
    told = [f"{100 * part / figures.whole.surface_mm2:.1f}" for part in (figures.whole.kept_surface_mm2, again)]
    assert said("What is still original") == told
