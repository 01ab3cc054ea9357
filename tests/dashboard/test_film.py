"""The film screen without a browser: every look, what is refused, a gauge file from the field to the journal."""

from __future__ import annotations

import sys
from dataclasses import replace

import pytest

from bodymap.exchange.gauge_csv import propose
from bodymap.film.mapping import GaugeRow, lay_on
from bodymap.film.spot_plan import plan_spots
from bodymap.film.uncertainty import foil_check, gauge_u_um
from bodymap.model import Reading
from bodymap.store import record_file
from bodymap.store.record_file import RecordFile
from dashboard import actions_film, loaders
from dashboard.actions_film import TakenIn, foils_of, gauge_id
from dashboard.components.film_state import LOOKS
from dashboard.components.gauge_lay import _pairs
from dashboard.loaders import film as read

from .running import opened, tables, whole, words
from .small import AT, small_record
from .test_long_work import stop_all

SCREEN = "screens/film.py"
CSV = b"spot,film (um)\n" + b"".join(f"{n},{100 + n}\n".encode() for n in range(1, 16))


def look(at, name):
    at.segmented_control(key=next(one.key for one in at.segmented_control if one.key.startswith("film_look"))).set_value(
        name
    )
    at.run()
    whole(at)
    return at


def field(kind, name):
    return next(one for one in kind if one.key and one.key.startswith(name))


def test_every_look_runs_and_says_something(record_path):
    at = opened(SCREEN)
    for name in LOOKS:
        look(at, name)
        assert words(at)


def test_the_spot_plan_is_stopped_and_begun_again(record_path, monkeypatch):
    begun = []

    def stopped_once(*asked):
        begun.append(asked)
        if len(begun) == 1:
            stop_all()
        return plan_spots(*asked)

    monkeypatch.setattr(read, "plan_spots", stopped_once)
    at = look(opened(SCREEN), "plan")
    assert "Stopped; nothing was written." in words(at)
    assert "spot_pdf" not in [one.key for one in at.download_button]
    at.run()
    assert len(begun) == 1, "it stays stopped until it is asked for"
    at.button(key="again_plan").click().run()
    whole(at)
    assert "spot_pdf" in [one.key for one in at.download_button]
    assert len(begun) == 2, "made once for the card, the map and the print"


def test_every_look_runs_on_a_record_without_a_reading(tmp_path, monkeypatch):
    path = tmp_path / "bare.gpkg"
    record_file.create(path, replace(small_record(), readings=()), by="start", why="nothing read", at=AT, media={})
    monkeypatch.setattr(sys, "argv", ["app.py", str(path)])
    at = opened(SCREEN)
    for name in LOOKS:
        look(at, name)
    assert "No film above" in words(look(at, "filler"))
    assert "No reading in this phase" in words(look(at, "unexplained"))


def test_a_refused_reading_is_told_with_its_reason(record_path):
    at = opened(SCREEN)
    assert "1 reading refused" in words(at)
    assert "not meant for steel" in tables(at)


def test_a_surface_that_is_not_earned_says_why(record_path):
    at = opened(SCREEN)
    assert "a surface needs 15" in tables(at)


def test_judging_needs_a_film_and_keeps_the_judges_apart(record_path):
    at = look(opened(SCREEN), "judged")
    assert "State the nominal film" in words(at)
    field(at.number_input, "film_nominal_um").set_value(30.0).run()
    assert "not for nominal films under 40" in words(at)
    assert "Needs the least and the greatest film" in words(at)
    field(at.number_input, "film_nominal_um").set_value(100.0)
    field(at.number_input, "film_min_um").set_value(80.0).run()
    assert "found no max" in words(at)


def upload(data=CSV, name="round.csv"):
    at = look(opened(SCREEN), "gauge")
    at.file_uploader[0].set_value((name, data, "text/csv")).run()
    whole(at)
    return at


def test_a_gauge_file_goes_from_the_field_to_the_journal(record_path):
    at = upload()
    before = RecordFile(record_path).head().count
    assert "15 rows of readings" in words(at)
    field(at.multiselect, "plan_zones").set_value(["side_out"]).run()
    assert "not saved yet" in words(at)
    at.button(key="gauge_save").click().run()
    assert "Still needed" in words(at)
    assert RecordFile(record_path).head().count == before
    field(at.selectbox, "gauge_principle").set_value("magnetic")
    field(at.text_input, "gauge_instrument").set_value("gauge A")
    field(at.selectbox, "gauge_phase").set_value("c2")
    field(at.text_input, "by").set_value("Ann").run()
    at.button(key="gauge_save").click().run()
    whole(at)
    record = RecordFile(record_path).record()
    new = [one for one in record.readings if one.phase == "c2"]
    spots = len(plan_spots(record, "shop", loaders.opened().settings, ["side_out"]).spots)
    assert len(new) == min(15, spots)  # the file names its spots: one reading to each
    assert [one.um for one in new] == [100.0 + n for n in range(1, len(new) + 1)]
    assert {one.principle for one in new} == {"magnetic"}
    assert "gauge_file_gauge_a" in {setting.key for setting in record.settings}
    (source,) = [one for one in record.sources if one.kind == "measurement"]
    assert RecordFile(record_path).media_path(source.file).read_bytes() == CSV
    assert {entry.why for entry in RecordFile(record_path).journal()[before:]} == {"gauge file round.csv taken in"}
    assert RecordFile(record_path).verify() == ()


def lies_open(at, label: str) -> bool:
    return next(one for one in at.expander if one.label == label).proto.expanded


def test_what_a_file_tells_itself_is_said_in_a_line_and_what_it_leaves_open_lies_open(record_path):
    at = upload()
    assert "15 rows of readings in µm" in words(at)
    assert not lies_open(at, "Its columns, unit and first rows")
    at = upload(b"61\n62\n63\n")
    assert "readings in an unknown unit" in words(at)
    assert lies_open(at, "Its columns, unit and first rows")
    field(at.selectbox, "gauge_unit").set_value("mil").run()
    assert lies_open(at, "Its columns, unit and first rows"), "it does not shut under the hand"
    assert "3 rows of readings in mil" in words(at)


def test_how_readings_are_laid_is_said_and_what_is_other_than_proposed_is_named(record_path):
    at = upload()
    field(at.multiselect, "plan_zones").set_value(["side_out"]).run()
    assert "In the order of the route, from spot 1. Spots by: Shop figure." in words(at)
    field(at.multiselect, "gauge_passed").set_value([1]).run()
    field(at.checkbox, "gauge_targeted").set_value(True).run()
    assert "1 spot passed over, suspect places, read on purpose." in words(at)


def test_the_gauge_of_a_file_that_reads_as_before_is_offered_unless_two_gauges_write_such_files(record_path):
    now = loaders.opened()
    actions_film.take_in(now, taken(now), by="Ann")
    at = upload(b"um\n71\n72\n73\n")
    assert "Read as confirmed before for **gauge_a**" in words(at)
    assert (field(at.text_input, "gauge_instrument").value, field(at.selectbox, "gauge_principle").value) == (
        "gauge A",
        "magnetic",
    )
    now = loaders.opened()
    actions_film.take_in(now, replace(taken(now, data=b"um\n1\n2\n3\n"), instrument="gauge B"), by="Ben")
    at = upload(b"um\n81\n82\n83\n")
    assert field(at.text_input, "gauge_instrument").value == ""


def test_the_same_file_again_is_flagged(record_path):
    now = loaders.opened()
    actions_film.take_in(now, taken(now), by="Ann")
    at = upload(b"um\n61\n62\n63\n64\n65\n66\n")
    assert "This very file was taken in before" in words(at)


@pytest.mark.parametrize("data", [b"", b"no numbers here\n", b"\x00\x01\x02"])
def test_what_is_no_gauge_file_is_told_and_nothing_is_kept(record_path, data):
    before = RecordFile(record_path).head()
    at = upload(data)
    assert "could not be read as a gauge file" in words(at)
    assert RecordFile(record_path).head() == before


def test_without_a_unit_nothing_is_laid(record_path):
    at = upload(b"61\n62\n63\n")
    assert "Say the unit of the readings" in words(at)


def test_the_plan_says_how_many_spots_and_offers_the_sheet(record_path):
    at = look(opened(SCREEN), "plan")
    field(at.multiselect, "plan_zones").set_value(["side_out"]).run()
    plan = plan_spots(small_record(), "shop", loaders.opened().settings, ["side_out"])
    assert f"{len(plan.spots)} spots, {3 * len(plan.spots)} readings" in words(at)
    assert at.get("download_button")


# --- what is written --------------------------------------------------------------------------------------------------


def taken(now, data=b"um\n61\n62\n63\n64\n65\n66\n", foils=None, **more):
    plan = plan_spots(now.record, "shop", now.settings, ["side_out"])
    rows = [GaugeRow(n, (float(60 + n),)) for n in range(1, 7)]
    mapping = propose(data).mapping
    return TakenIn("a.csv", data, mapping, lay_on(rows, plan), "magnetic", "gauge A", "as found", False, foils, **more)


def test_all_is_one_save_and_one_undo(record_path):
    now = loaders.opened()
    entries = actions_film.take_in(now, taken(now, foils=foil_check([(124, 124)], [(124, 130)])), by="Ann")
    assert {entry.kind for entry in entries} == {"media", "source", "setting", "reading"}
    assert sum(entry.kind == "reading" for entry in entries) == 6
    now = loaders.opened()
    back = actions_film.actions.last_own_change(now.journal, "Ann", actions_film.KINDS)
    assert back == entries


def test_drift_found_on_foils_goes_into_the_uncertainty_and_never_gets_less(record_path):
    now = loaders.opened()
    before = gauge_u_um(100.0, now.settings)
    actions_film.take_in(now, taken(now, foils=foil_check([(124, 125), (249, 250)], [(124, 128), (249, 246)])), by="Ann")
    now = loaders.opened()
    assert now.settings.value("gauge_drift_um") == 4.0
    # the drift adds by squares (ISO/IEC Guide 98-3, 5.1.2; from memory, not seen)
    assert gauge_u_um(100.0, now.settings) == pytest.approx((before**2 + 4.0**2) ** 0.5)
    assert actions_film.drift_setting(now, foil_check([(124, 124)], [(124, 125)]), "gauge A") == []


def test_two_places_are_never_taken_for_repeats_of_one(record_path):
    now = loaders.opened()
    plan = plan_spots(now.record, "shop", now.settings, ["side_out"])
    spot = plan.spots[0]
    elsewhere = Reading(
        reading_id="x1", zone_id="side_out", x=spot.x + 200, y=spot.y, um=50, principle="magnetic", spot="N1"
    )
    now = replace(now, record=now.record.with_kind("reading", (*now.record.readings, elsewhere)))
    made = [one for one in actions_film.entries_of(now, taken(now), "Ann") if isinstance(one, Reading)]
    assert [one.spot for one in made] == ["N1a"] * 3 + ["N2"] * 3


def test_numbers_move_on_where_somebody_else_wrote_meanwhile(record_path):
    seen = loaders.opened()
    actions_film.take_in(seen, taken(seen), by="Ann")
    actions_film.take_in(seen, taken(seen, data=b"um\n1\n2\n3\n"), by="Ben")
    record = RecordFile(record_path).record()
    ids = [one.reading_id for one in record.readings if one.instrument == "gauge A"]
    assert len(ids) == len(set(ids)) == 12


@pytest.mark.parametrize(
    ("rows", "drift"),
    [(((None,) * 3,), None), (((124.0, 125.0, 127.0), (None,) * 3), 2.0)],
)
def test_foils_as_typed(rows, drift):
    found = foils_of(rows)
    assert (found and found.most_drift_um) == drift


def test_a_half_filled_foil_is_asked_about():
    with pytest.raises(loaders.BodymapError, match="half filled"):
        foils_of(((124.0, None, 127.0),))


def test_names_of_gauges_and_pairs_of_spots():
    assert gauge_id("Gauge Ä, probe 2") == "gauge_a_probe_2"
    assert gauge_id("漢") == "gauge"
    assert _pairs("4-5, 9–12") == [(4, 5), (9, 12)]
    assert _pairs("4-5-6") is None
    assert _pairs("") == []
