"""The stack ladder: what was seen, looked for and not reached; measured film kept apart from usual film."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.model import Coat, Layer, Stack
from bodymap.views.ladder import MISSING_BELOW, ladder, ladders_of, rung_height

from ..dashboard.small import small_record  # noqa: TID252 - tests are no package to import from

SMALL = small_record()


def record_with(*layers, reaches=True, coats=SMALL.coats):
    stack = Stack(stack_id="s1", zone_id="side_out", method="chip", reaches_substrate=reaches)
    return replace(SMALL, coats=coats, stacks=(stack,), layers=layers)


def layer(position, coat_id, extent="full", **more) -> Layer:
    return Layer(stack_id="s1", position=position, coat_id=coat_id, extent=extent, **more)


def test_layers_go_from_the_substrate_outward_whatever_their_rows():
    view = ladder(record_with(layer(2, "c2"), layer(1, "c1")), "s1")
    assert [rung.coat_id for rung in view.layers] == ["c1", "c2"]
    assert (view.reaches_substrate, view.below, view.substrate_words) == (True, "", "steel")


def test_below_a_stack_that_stops_short_layers_may_be_missing():
    assert ladder(record_with(layer(1, "c2"), reaches=False), "s1").below == MISSING_BELOW


def test_looked_for_and_absent_is_a_rung_of_its_own():
    (rung,) = ladder(record_with(layer(1, "c1", "none")), "s1").layers
    assert rung.words == ("looked for, not there",)
    assert rung.film_words == ""


@pytest.mark.parametrize(("um", "said", "film_um"), [(16, "16 µm here", 16), (None, "usually 12–18 µm", 15)])
def test_film_says_whether_it_was_measured_here(um, said, film_um):
    (rung,) = ladder(record_with(layer(1, "c1", um=um)), "s1").layers
    assert (rung.film_words, rung.film_um) == (said, film_um)


def test_mist_has_no_usual_film():
    (rung,) = ladder(record_with(layer(1, "c1", "mist")), "s1").layers
    assert rung.film_words == "film not stated"


def test_interfaces_and_cut_back_are_said():
    (rung,) = ladder(record_with(layer(1, "c1", interface=("dirt", "scratch"), cut_back=True)), "s1").layers
    assert rung.interfaces == ("dirt", "scratch")
    assert rung.cut_back
    assert "over dirt" in rung.words
    assert any("may be gone" in word for word in rung.words)


def test_look_alikes_are_asked_about_both_ways():
    coats = (*SMALL.coats, Coat(coat_id="c2b", name="Other green", kind="colour", looks_like=("c2",)))
    view = ladder(record_with(layer(1, "c2"), layer(2, "c2b"), coats=coats), "s1")
    assert [rung.look_alikes[0].split(":")[0] for rung in view.layers] == [
        "looks like c2b Other green", "looks like c2 Green enamel",
    ]  # fmt: skip
    assert all(rung.look_alikes[0].endswith("?") for rung in view.layers)


def test_a_stack_without_layers():
    view = ladder(record_with(), "s1")
    assert view.layers == ()


@given(st.floats(0, 5000), st.floats(0, 5000))
def test_thicker_coats_are_drawn_thicker(one, other):
    thin, thick = sorted((one, other))
    assert rung_height(thin, "full") <= rung_height(thick, "full")
    assert rung_height(thin, "mist") == rung_height(thick, "none") <= rung_height(0, "full")


def test_a_zone_has_its_stacks_in_their_order():
    assert [view.stack_id for view in ladders_of(SMALL, "side_out")] == ["s1"]
    assert ladders_of(SMALL, "door_out") == ()
