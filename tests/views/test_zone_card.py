"""The zone card: areas with their basis, what lies in the zone, and what nobody has looked at."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bodymap.model import Area, Finding, Signoff, Source
from bodymap.model.shapes import Shape
from bodymap.settings import in_force
from bodymap.views.zone_card import RATIO_TAKEN_AS_1, zone_card

from ..dashboard.small import rectangle, small_record  # noqa: TID252 - tests are no package to import from

SMALL = small_record()


def card(zone_id="side_out", record=SMALL):
    return zone_card(record, zone_id, in_force())


def test_areas_with_their_basis():
    # The side: 2000 × 1200; its kept area 200 × 60; the door: 1000 × 1200 with a stated ratio of 1.05.
    side, door = card().areas, card("door_out").areas
    assert (side.drawn_mm2, side.surface_mm2, side.kept_drawn_mm2) == pytest.approx((2_400_000, 2_400_000, 12_000))
    assert side.kept_pct == pytest.approx(0.5)
    assert side.basis == RATIO_TAKEN_AS_1
    assert door.surface_mm2 == pytest.approx(1_260_000)
    assert "1.05" in door.basis
    assert "not stated" in door.basis
    assert card("flange").areas.estimate
    assert not side.estimate


def test_a_basis_is_quoted_where_it_is_stated():
    zones = tuple(z.model_copy(update={"surface_ratio_from": "two tape girths"}) for z in SMALL.zones)
    assert card("door_out", replace(SMALL, zones=zones)).areas.basis == "surface ratio 1.05, two tape girths"


def test_only_what_lies_in_the_zone():
    shapes = {
        "inside": rectangle(1100, 100, 1200, 200),
        "touching": rectangle(900, 0, 1000, 1200),
        "across": rectangle(950, 900, 1050, 1000),
        "elsewhere": rectangle(0, 0, 100, 100),
        "spot": Shape.model_validate({"type": "Point", "coordinates": [1500, 500]}),
    }
    findings = tuple(Finding(finding_id=k, drawing_id="left", kind="dent", shape=v) for k, v in shapes.items())
    findings += (Finding(finding_id="placeless", drawing_id="left", kind="dent"),
                 Finding(finding_id="other_drawing", drawing_id="inner", kind="dent", shape=shapes["inside"]))  # fmt: skip
    found = {one.finding_id: one.drawn_mm2 for one in card(record=replace(SMALL, findings=findings)).findings}
    assert found == pytest.approx({"inside": 10_000, "across": 5_000, "spot": 0})


def test_kept_areas_say_where_they_were_made_again():
    again = SMALL.areas[0].model_copy(update={"origin": "recreated"})
    mask = Area(area_id="M1", drawing_id="left", purpose="mask", shape=rectangle(2000, 0, 4000, 100))
    kept, masked = card(record=replace(SMALL, areas=(again, mask))).kept
    assert (kept.recreated, kept.purpose, kept.drawn_mm2) == (True, "keep", pytest.approx(12_000))
    assert (masked.purpose, masked.drawn_mm2) == ("mask", pytest.approx(100_000))
    assert masked.edge_words == "edge not stated"


def test_film_with_what_was_refused():
    ((phase, film),) = card().films
    assert (phase, film.n, film.median_um) == ("as found", 2, 56)
    assert [one.reading_id for one in film.refused] == ["r3"]


def test_every_phase_has_its_own_film_as_found_first():
    late = SMALL.readings[0].model_copy(update={"reading_id": "r9", "phase": "after strip"})
    record = replace(SMALL, readings=(late, *SMALL.readings))
    assert [phase for phase, _ in card(record=record).films] == ["as found", "after strip"]


def test_sources_are_found_through_zone_stack_area_and_part():
    sources = tuple(
        Source(source_id=f"q_{about}", kind="document", title="t", about=(about,))
        for about in ("side_out", "s1", "K1", "side", "door_out", "c2")
    )
    found = {one.source_id: one.through for one in card(record=replace(SMALL, sources=sources)).sources}
    assert found == {"q_side_out": "side_out", "q_s1": "s1", "q_K1": "K1", "q_side": "side"}


def test_what_the_work_left_is_no_evidence_of_the_zone():
    told = (
        Source(source_id="D1", kind="statement", title="Step 3 done: strip; note: all of it", by="Ann", about=("side_out",)),
        Source(source_id="P1", kind="statement", title="Where it lies: rack A", about=("side",)),
        Source(source_id="q1", kind="statement", title="Step by step it was done, says the owner", about=("side_out",)),
        Source(source_id="q2", kind="document", title="Step 3 done", about=("side_out",)),
    )
    found = card(record=replace(SMALL, sources=told))
    assert [one.source_id for one in found.sources] == ["q1", "q2"]
    assert [one.source_id for one in found.work] == ["D1", "P1"]


def test_signoffs_of_the_zone_and_its_kept_areas():
    signoffs = tuple(Signoff(subject=s, what="keep", by="a", on="2025-01-01") for s in ("side_out", "K1", "door_out"))
    assert [one.subject for one in card(record=replace(SMALL, signoffs=signoffs)).signoffs] == ["side_out", "K1"]


def test_what_nobody_has_looked_at():
    door = " ".join(card("door_out").not_seen)
    for word in ("no stack", "photo", "no usable reading", "intent"):
        assert word in door
    assert "surface ratio" not in door
    side = " ".join(card().not_seen)
    assert "no stack" not in side
    assert "photo" not in side
    assert "surface ratio" in side


def test_a_stack_that_stops_short_leaves_the_substrate_unseen():
    record = replace(SMALL, stacks=tuple(s.model_copy(update={"reaches_substrate": False}) for s in SMALL.stacks))
    assert any("layers may be missing below" in line for line in card(record=record).not_seen)
    # Its layers are still shown: it is the best there is.
    assert card(record=record).best_stack_id == "s1"


def test_covers_with_a_gap_that_is_not_stated():
    (cover,) = card("flange").covers
    assert (cover.part_id, cover.gap) == ("door", None)
    assert "not stated" in cover.words


def test_an_unknown_zone():
    with pytest.raises(KeyError):
        card("nowhere")
