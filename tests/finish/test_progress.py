"""Steps told done: read back as they were written, found again in a reordered plan, judged by the dew point."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.exchange.open_folder import read_folder, write_folder
from bodymap.finish.climate import Air, air_verdict
from bodymap.finish.progress import Done, build_um, done_of, read_progress, statement_of, title_of
from bodymap.model import Setting, Source
from bodymap.settings import in_force
from tests.finish.tinted_van import van

SETTINGS = in_force()
PLAN = [("remove", "door"), ("coat", "p", "door"), ("coat", "t", "door"), ("coat", "c")]


def told(*titles, about=("t",), kind="statement"):
    return tuple(
        Source(source_id=f"D{n}", kind=kind, title=title, date="2026-03-01", by="P", about=about)
        for n, title in enumerate(titles, 1)
    )


def with_sources(record, *sources):
    return record.with_kind("source", sources)


TEXT = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=30).filter(str.strip)
FIGURE = st.none() | st.integers(-400_000, 500_000).map(lambda value: value / 10_000)


@given(
    st.integers(1, 999), st.sampled_from(["remove", "fit", "mask", "unmask", "strip", "coat"]),
    st.none() | TEXT.filter(lambda text: ";" not in text), FIGURE, FIGURE, FIGURE, st.none() | TEXT,
)  # fmt: skip
def test_what_is_written_is_read_back(number, action, batch, air_c, humidity, surface_c, note):
    done = Done(number, action, ("x", "y"), "2026-03-01", "P", batch, Air(air_c, humidity, surface_c), note, "D7")
    assert done_of(statement_of(done, "D7")) == done


def test_the_title_is_the_one_of_the_open_folder():
    done = Done(32, "coat", ("n4",), batch="24-117", air=Air(21.5, 62, 18), note="second gun from pass three")
    assert title_of(done) == (
        "Step 32 done: coat; batch 24-117; air 21.5 °C; humidity 62 %; surface 18 °C; note: second gun from pass three"
    )


def test_a_batch_that_could_not_be_read_back_is_refused():
    for batch in ("a; b", " ", "a\nb"):
        with pytest.raises(BodymapError, match="allowed: text on one line without ;"):
            title_of(Done(1, "coat", ("t",), batch=batch))


def test_other_statements_are_left_alone_and_broken_ones_are_told():
    record = with_sources(van(PLAN), *told("Step card sprayed", "The owner says it was blue", "Step 3 done: coat; air warm",
                                           "Step 3 done: polish"))  # fmt: skip
    progress = read_progress(record, SETTINGS)
    assert progress.steps == ()
    assert [words.partition(":")[0] for words in progress.unread] == ["D3", "D4"]
    assert "found 'air warm'; allowed, each once: batch TEXT, air N °C" in progress.unread[0]
    assert read_progress(with_sources(van(PLAN), *told("Step 3 done: coat", kind="document")), SETTINGS).steps == ()


def test_a_step_is_found_again_where_it_was_moved_to():
    record = van([("coat", "t", "door"), ("remove", "door"), ("coat", "t")])
    moved = with_sources(record, *told("Step 2 done: coat"))
    assert [one.step.step for one in read_progress(moved, SETTINGS).steps] == [1]
    # The number decides between equal ones, whatever the order in which they were told.
    twice = with_sources(record, *told("Step 9 done: coat", "Step 1 done: coat"))
    assert [one.step.step for one in read_progress(twice, SETTINGS).steps] == [3, 1]
    thrice = with_sources(record, *told("Step 1 done: coat", "Step 2 done: coat", "Step 3 done: coat"))
    assert [one.step and one.step.step for one in read_progress(thrice, SETTINGS).steps] == [1, None, 3]
    assert read_progress(thrice, SETTINGS).numbers == {1, 3}


def test_near_the_dew_point_it_warns():
    # 20 °C and 70 %: dew point 14.4 °C, surface at least 17.4 °C; 10 °C and 90 %: 8.4 and 11.4 °C (a commercial dew-point
    # table with the 3 °C rule printed beside it; the formula's own check is in test_climate).
    for air_c, humidity, least_c in ((20, 70, 17.4), (10, 90, 11.4)):
        assert air_verdict(Air(air_c, humidity, least_c + 0.1), SETTINGS).verdict == "dry"
        assert air_verdict(Air(air_c, humidity, least_c - 0.1), SETTINGS).verdict == "damp"
        assert air_verdict(Air(air_c, humidity, least_c - 3.1), SETTINGS).verdict == "wet"
    stricter = in_force([Setting(key="dew_margin_c", value="5", basis="data sheet")])
    assert air_verdict(Air(20, 70, 18), stricter).warns
    assert "at least 5 °C wanted (data sheet)" in air_verdict(Air(20, 70, 18), stricter).words


def test_what_is_not_stated_is_not_judged():
    said = air_verdict(Air(air_c=20, humidity_pct=70), SETTINGS)
    assert (said.verdict, said.margin_c, said.warns) == ("cannot tell", None, False)
    assert said.words == "cannot tell: surface temperature not stated"
    progress = read_progress(
        with_sources(van(PLAN), *told("Step 3 done: coat; air 20 °C; humidity 0 %; surface 20 °C")), SETTINGS
    )
    assert progress.steps[0].air.verdict == "cannot tell"
    assert "relative humidity: found 0 %" in progress.steps[0].air.words
    other = read_progress(with_sources(van(PLAN), *told("Step 1 done: remove", about=("door",))), SETTINGS)
    assert other.steps[0].air is None


def test_steps_done_go_through_the_open_folder(tmp_path):
    record = with_sources(van(PLAN), *told("Step 3 done: coat; batch 7; air 20 °C; humidity 85 %; surface 18.5 °C"))
    write_folder(tmp_path / "van", record, (), {})
    back = read_folder(tmp_path / "van").record
    assert read_progress(back, SETTINGS) == read_progress(record, SETTINGS)
    assert read_progress(back, SETTINGS).steps[0].air.verdict == "damp"


def test_planned_build_on_paper():
    record = van(PLAN)
    span = build_um(record, (("p", "full"), ("t", "full"), ("c", "mist")))
    assert (span.low, span.high) == (40 + 40, 60 + 40)
    coats = [coat.model_copy(update={"um_high": None}) if coat.coat_id == "p" else coat for coat in record.coats]
    assert build_um(record.with_kind("coat", coats), (("p", "full"),)) is None
