"""Tints: a blank is not seen, never none; refused readings colour nothing; the five states stay apart."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bodymap.film.summary import zone_film
from bodymap.model import Coat, Layer, Part, Reading, Source, Stack
from bodymap.settings import in_force
from bodymap.views.palette import SUBSTRATES, blend, film_colour, tint_share
from bodymap.views.sheet import SheetChoice, sheet_view
from bodymap.views.tints import film_tint, finish_tint, tinter, unseen_tint

from ..dashboard.small import small_record  # noqa: TID252 - tests are no package to import from

SMALL = small_record()
COATS = (
    Coat(coat_id="c1", name="Red-oxide dip", kind="primer", colour="#7a3b2e"),
    Coat(coat_id="c2", name="Green enamel", kind="colour", colour="#5f7f4a"),
    Coat(coat_id="c3", name="Blue glaze", kind="tinted", colour="#2f62a0", um_low=36, um_high=44),
    Coat(coat_id="c4", name="Clear", kind="clear", colour="#eeeeee"),
    Coat(coat_id="c5", name="Late grey", kind="colour", colour="#999999"),
    Coat(coat_id="c6", name="Colour not stated", kind="colour"),
)


def record_with(*stacks: tuple[Stack, list[tuple]], parts=None, **more):
    """The small record with stacks of layers (coat, extent, further fields)."""
    layers = [
        Layer(stack_id=stack.stack_id, position=number, coat_id=coat, extent=extent, **(rest[0] if rest else {}))
        for stack, seen in stacks
        for number, (coat, extent, *rest) in enumerate(seen, start=1)
    ]
    return replace(SMALL, coats=COATS, stacks=tuple(s for s, _ in stacks), layers=tuple(layers),
                   parts=parts or SMALL.parts, **more)  # fmt: skip


def stack(stack_id="s1", zone="side_out", *, reaches=True, **more) -> Stack:
    return Stack(stack_id=stack_id, zone_id=zone, method="section", reaches_substrate=reaches, **more)


def finish(record, zone="side_out"):
    return finish_tint(record, record.zone[zone])


def test_without_a_stack_the_finish_is_not_seen():
    tint = finish(record_with())
    assert (tint.paint, tint.texture, tint.state) == ("unseen", "unseen", "not seen")


def test_the_outermost_full_layer_gives_the_colour():
    assert finish(record_with((stack(), [("c1", "full"), ("c2", "full"), ("c5", "mist")]))).paint == "#5f7f4a"


def test_a_clear_coat_does_not_hide_the_colour():
    assert finish(record_with((stack(), [("c2", "full"), ("c4", "full")]))).paint == "#5f7f4a"


def test_a_translucent_coat_is_blended_over_what_is_under_it():
    tint = finish(record_with((stack(), [("c2", "full"), ("c3", "full", {"um": 16}), ("c4", "full")])))
    assert tint.paint == blend("#2f62a0", "#5f7f4a", tint_share(16))
    assert tint.state == "Blue glaze"


def test_bare_metal_is_shown_as_such_only_where_it_was_reached():
    assert finish(record_with((stack(), [("c1", "none")]))).paint == SUBSTRATES["steel"]
    assert finish(record_with((stack(reaches=False), [("c4", "full")]))).state == "not seen"


def test_the_stack_that_reaches_the_substrate_counts_before_a_more_confident_one():
    record = record_with(
        (stack("s1", confidence="high", reaches=False), [("c5", "full")]),
        (stack("s2", confidence="low"), [("c2", "full")]),
    )
    assert finish(record).paint == "#5f7f4a"


def test_of_equal_stacks_the_latest_counts():
    record = record_with(
        (stack("s1", confidence="fair", date="2025-02-01"), [("c5", "full")]),
        (stack("s2", confidence="fair", date="2024-02-01"), [("c2", "full")]),
    )
    assert finish(record).paint == "#999999"


def test_a_coat_without_a_stated_colour_is_not_given_one():
    tint = finish(record_with((stack(), [("c6", "full")])))
    assert (tint.paint, tint.texture) == ("no_colour", "open")


def test_the_states_of_a_coat_have_textures_of_their_own():
    parts = (SMALL.parts[0].model_copy(update={"first_coat": "c5"}), *SMALL.parts[1:],
             Part(part_id="later", name="Later", substrate="steel", removable=True, first_coat="c5"))  # fmt: skip
    record = record_with(
        (stack("s1", "side_out"), [("c1", "full"), ("c2", "full"), ("c5", "full")]),
        (stack("s2", "side_low"), [("c1", "full"), ("c2", "mist"), ("c5", "full")]),
        (stack("s3", "flange"), [("c1", "full"), ("c5", "full", {"cut_back": True})]),
        (stack("s4", "door_out"), [("c5", "full")]),
        parts=parts,
    )
    tint = tinter(record, "coat", "c2")
    found = {zone: tint(record.zone[zone]) for zone in ("side_out", "side_low", "flange", "door_out")}
    assert {zone: one.state for zone, one in found.items()} == {
        "side_out": "full", "side_low": "mist", "flange": "cut back", "door_out": "part not made yet",
    }  # fmt: skip
    looked = record_with((stack(), [("c1", "full"), ("c2", "none")]), (stack("s2", "side_low"), [("c2", "full")]))
    absent = tinter(looked, "coat", "c2")(record.zone["side_out"])
    unseen = tinter(record_with(), "coat", "c2")(record.zone["side_out"])
    assert (absent.state, unseen.state) == ("looked for, not there", "not seen")
    assert len({one.texture for one in (*found.values(), absent, unseen)}) == 6


def test_stacks_that_disagree_are_shown_as_such():
    record = record_with((stack("s1"), [("c1", "full")]), (stack("s2"), [("c1", "none")]))
    assert tinter(record, "coat", "c1")(record.zone["side_out"]).state == "stacks disagree"


def test_film_is_coloured_by_the_median_of_what_counts():
    # Readings 55 and 57 by a magnetic gauge count on steel; 58 by eddy current does not (ISO 2360 scope: not on steel).
    tint = film_tint(zone_film(SMALL, "side_out"))
    assert tint.paint == film_colour(56)
    assert tint.figure == "56"
    assert any("not counted: 1" in line for line in tint.words)


def test_refused_readings_colour_nothing():
    readings = tuple(reading.model_copy(update={"principle": "eddy"}) for reading in SMALL.readings)
    tint = film_tint(zone_film(replace(SMALL, readings=readings), "side_out"))
    assert tint.paint == "zone"
    assert tint.figure == ""
    assert "none of 3 readings" in tint.words[0]


def test_no_reading_stays_paper():
    assert film_tint(zone_film(SMALL, "door_out")).paint == "zone"


@pytest.mark.parametrize(
    ("stacks", "state"),
    [
        ((), "never looked at"),
        (((stack(reaches=False), [("c2", "full")]),), "looked at, not to the substrate"),
        (((stack(), [("c2", "full")]),), "seen to the substrate"),
    ],
)
def test_how_far_a_zone_was_looked_at(stacks, state):
    record = record_with(*stacks)
    tint = unseen_tint(record, record.zone["side_out"])
    assert tint.state == state
    # The small record has a photo of this zone and usable readings on it.
    assert tint.lacks == ()


def test_what_lacks_is_named():
    tint = unseen_tint(SMALL, SMALL.zone["door_out"])
    assert tint.lacks == ("no photo", "no usable reading")
    with_photo = replace(SMALL, sources=(Source(source_id="p", kind="photo", title="t", about=("door",)),))
    assert unseen_tint(with_photo, SMALL.zone["door_out"]).lacks == ("no usable reading",)


def test_a_coat_no_stack_shows_is_not_seen_anywhere_and_the_sheet_says_so():
    record = record_with((stack(), [("c1", "full")]))
    view = sheet_view(record, SheetChoice("outside", "coat", "c5"), in_force())
    assert {zone.state for zone in view.zones} == {"not seen"}
    assert any("c5" in note for note in view.notes)


def test_film_of_another_phase_is_not_mixed_in():
    late = Reading(reading_id="r9", zone_id="side_out", um=500, principle="magnetic", phase="after strip")
    record = replace(SMALL, readings=(*SMALL.readings, late))
    assert film_tint(zone_film(record, "side_out")).figure == "56"
