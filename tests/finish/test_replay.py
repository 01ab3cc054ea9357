"""The repaint plan over the polygons, on cases worked out on paper (all lengths mm, areas mm²)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.finish.replay import replay
from bodymap.model import Area, Coat, Cover, Drawing, Goal, Layer, Part, Record, Stack, Step, Vehicle, Zone
from bodymap.settings import in_force

SETTINGS = in_force()


def rect(x0, y0, x1, y1):
    return {"type": "Polygon", "coordinates": [[[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]]]}


def vehicle(*, areas=(), steps=(), goals=(("body", "p"), ("body", "c"), ("door", "p"), ("door", "c"), ("jamb", "p"))):
    """A body 100 × 100, a door 100 × 50 beside it, and a jamb 100 × 10 behind the door, which lets mist in."""
    counted = {}
    rows = []
    for zone, coat, *extent in goals:
        counted[zone] = counted.get(zone, 0) + 1
        rows.append(Goal(zone_id=zone, position=counted[zone], coat_id=coat, extent=extent[0] if extent else "full"))
    return Record(
        vehicle=Vehicle(vehicle_id="v", name="van"),
        drawings=(
            Drawing(drawing_id="d", name="left", kind="outside"),
            Drawing(drawing_id="h", name="jambs", kind="hidden"),
        ),
        parts=(
            Part(part_id="shell", name="Shell", substrate="steel", removable=False),
            Part(part_id="door", name="Door", substrate="steel", removable=True),
        ),
        zones=(
            Zone(zone_id="body", drawing_id="d", part_id="shell", face="outer", shape=rect(0, 0, 100, 100)),
            Zone(zone_id="door", drawing_id="d", part_id="door", face="outer", shape=rect(105, 0, 205, 50)),
            Zone(zone_id="jamb", drawing_id="h", part_id="shell", face="jamb", shape=rect(0, 0, 100, 10)),
        ),
        covers=(Cover(zone_id="jamb", part_id="door", gap=True),),
        coats=(Coat(coat_id="p", name="Primer", kind="primer"), Coat(coat_id="c", name="Colour", kind="colour")),
        stacks=tuple(
            Stack(stack_id=f"s_{zone}", zone_id=zone, method="window", reaches_substrate=True)
            for zone in ("body", "door", "jamb")
        ),
        layers=tuple(
            Layer(stack_id=f"s_{zone}", position=n, coat_id=coat, extent="full")
            for zone in ("body", "door", "jamb")
            for n, coat in ((1, "p"), (2, "c"))
            if (zone, coat) != ("jamb", "c")
        ),
        areas=tuple(areas),
        goals=tuple(rows),
        steps=tuple(
            Step(step=n, action=action, target=target, parts=parts) for n, (action, target, parts) in enumerate(steps, 1)
        ),
    )


def step(action, *target, parts=()):
    return action, target, parts


STRIP = step("strip", "body", "door", "jamb")
PRIME = step("coat", "p")
COLOUR = step("coat", "c")
OFF, ON = step("remove", "door"), step("fit", "door")


def area(shape, purpose="keep", **more):
    return Area(area_id=more.pop("area_id", "k"), drawing_id="d", purpose=purpose, shape=shape, **more)


def outcome(record):
    """{(zone, stack, verdict): area} and the whole replay."""
    result = replay(record, SETTINGS)
    named = {}
    for piece in result.pieces:
        key = (
            piece.zone_id,
            " ".join(f"{coat}~" if extent == "mist" else coat for coat, extent in piece.stack),
            piece.verdict,
        )
        named[key] = named.get(key, 0) + piece.area_mm2
    return named, result


def test_a_plan_that_opens_the_door_for_primer_and_shuts_it_for_colour_is_as_found_but_for_the_mist():
    named, result = outcome(vehicle(steps=[STRIP, OFF, step("coat", "p", parts=("door",)), ON, COLOUR]))
    assert named == pytest.approx(
        {("body", "p c", "match"): 10_000, ("door", "p c", "match"): 5_000, ("jamb", "p c~", "extra"): 1_000}
    )
    assert next(piece.steps for piece in result.pieces if piece.zone_id == "jamb") == (5,)
    assert (result.match_mm2, result.total_mm2) == pytest.approx((15_000, 16_000))


def test_the_mist_is_right_where_the_goal_has_it():
    goals = [("body", "p"), ("body", "c"), ("door", "p"), ("door", "c"), ("jamb", "p"), ("jamb", "c", "mist")]
    _, result = outcome(vehicle(goals=goals, steps=[STRIP, OFF, step("coat", "p", parts=("door",)), ON, COLOUR]))
    assert result.match_mm2 == pytest.approx(16_000)


def test_a_part_forgotten_in_the_booth_lacks_the_coat_and_the_step_that_took_it_off_is_named():
    named, result = outcome(vehicle(steps=[STRIP, OFF, PRIME, ON, COLOUR]))
    assert named["door", "c", "missing"] == pytest.approx(5_000)
    assert next(piece.steps for piece in result.pieces if piece.zone_id == "door") == (2, 3)


def test_only_the_parts_are_painted_where_the_step_says_so():
    named, _ = outcome(vehicle(steps=[STRIP, OFF, step("coat", "p", parts=("only", "door"))]))
    assert named["body", "", "missing"] == pytest.approx(10_000)
    assert named["door", "p", "missing"] == pytest.approx(5_000)


def test_a_door_left_off_for_colour_lets_the_full_coat_on_to_the_jamb():
    named, result = outcome(
        vehicle(steps=[STRIP, OFF, step("coat", "p", parts=("door",)), step("coat", "c", parts=("door",)), ON])
    )
    assert named["jamb", "p c", "extra"] == pytest.approx(1_000)
    assert next(piece.steps for piece in result.pieces if piece.zone_id == "jamb") == (4,)


def test_a_kept_area_is_left_out_of_the_strip_and_a_coat_on_it_is_a_violation():
    # Kept 20 × 20 = 400 of the body. Primer and colour both go over it.
    named, result = outcome(
        vehicle(areas=[area(rect(10, 10, 30, 30))], steps=[STRIP, OFF, step("coat", "p", parts=("door",)), ON, COLOUR])
    )
    assert named["body", "p c", "match"] == pytest.approx(9_600)
    assert named["body", "p c p c", "kept harmed"] == pytest.approx(400)
    assert [(v.step, v.area_id, v.action, pytest.approx(v.area_mm2)) for v in result.violations] == [
        (3, "k", "coat", 400),
        (5, "k", "coat", 400),
    ]


def test_a_masked_kept_area_stays_as_found():
    areas = [area(rect(10, 10, 30, 30)), area(rect(10, 10, 30, 30), "mask", area_id="m", edge="hard")]
    named, result = outcome(vehicle(areas=areas, steps=[STRIP, step("mask", "m"), PRIME, COLOUR, step("unmask", "m")]))
    assert result.violations == ()
    assert named["body", "p c", "match"] == pytest.approx(10_000)


def test_a_soft_edge_lets_mist_in_for_10_mm():
    # Mask 40 × 40 = 1600, its core 20 × 20 = 400, the rim 1200. The kept area is the same square: the rim harms it.
    areas = [area(rect(10, 10, 50, 50)), area(rect(10, 10, 50, 50), "mask", area_id="m", edge="soft")]
    named, result = outcome(vehicle(areas=areas, steps=[STRIP, step("mask", "m"), PRIME, step("unmask", "m"), COLOUR]))
    assert named["body", "p c p~ c", "kept harmed"] == pytest.approx(1_200)
    assert named["body", "p c c", "kept harmed"] == pytest.approx(400)
    assert [(v.step, pytest.approx(v.area_mm2)) for v in result.violations] == [(3, 1_200), (5, 1_600)]


def test_a_soft_mask_without_a_keep_leaves_mist_and_bare_metal():
    areas = [area(rect(10, 10, 50, 50), "mask", area_id="m", edge="soft")]
    named, result = outcome(vehicle(areas=areas, goals=[("body", "p")], steps=[STRIP, step("mask", "m"), PRIME]))
    assert named == pytest.approx(
        {("body", "p", "match"): 8_400, ("body", "p~", "missing"): 1_200, ("body", "", "missing"): 400}
    )
    core = next(piece for piece in result.pieces if piece.stack == ())
    assert core.steps == (2, 3)  # masked by step 2, sprayed past by step 3


def test_a_mask_left_on_keeps_the_next_coat_off():
    areas = [area(rect(0, 0, 50, 100), "mask", area_id="m")]
    named, _ = outcome(vehicle(areas=areas, steps=[STRIP, PRIME, step("mask", "m"), COLOUR]))
    assert named["body", "p", "missing"] == pytest.approx(5_000)
    assert named["body", "p c", "match"] == pytest.approx(5_000)


def test_a_hard_mask_beside_a_soft_one_wins_where_they_overlap():
    areas = [
        area(rect(0, 0, 40, 40), "mask", area_id="soft", edge="soft"),
        area(rect(0, 0, 20, 40), "mask", area_id="hard", edge="hard"),
    ]
    named, _ = outcome(
        vehicle(areas=areas, goals=[("body", "p")], steps=[STRIP, step("mask", "soft"), step("mask", "hard"), PRIME])
    )
    # Soft core 10..30 × 10..30; hard 0..20 × 0..40. Shut: 800 + (20..30 × 10..30) 200. Rim: 1600 − 1000 = 600.
    assert named["body", "", "missing"] == pytest.approx(1_000)
    assert named["body", "p~", "missing"] == pytest.approx(600)


def test_a_kept_area_across_two_zones_is_one_violation_a_zone():
    _, result = outcome(vehicle(areas=[area(rect(90, 0, 115, 10))], steps=[COLOUR]))
    assert sorted(round(v.area_mm2, 6) for v in result.violations) == [100, 100]


def test_the_margin_of_a_kept_area_is_hand_work_in_each_zone_it_reaches():
    # Kept 50..100 × 0..100 of the body with 10 mm margin: 10 × 100 in the body; the door begins 5 mm on: 5 × 50.
    _, result = outcome(vehicle(areas=[area(rect(50, 0, 100, 100), margin=10)], steps=[STRIP]))
    assert {(work.zone_id, round(work.area_mm2, 6)) for work in result.hand_work} == {("body", 1_000), ("door", 250)}


def test_the_wrong_order_is_called_so():
    goals = [("body", "p"), ("body", "c")]
    named, result = outcome(vehicle(goals=goals, steps=[STRIP, COLOUR, PRIME]))
    assert named == pytest.approx({("body", "c p", "order"): 10_000})
    assert result.pieces[0].steps == (2, 3)


def test_a_zone_without_a_goal_is_not_compared():
    _, result = outcome(vehicle(goals=[("body", "p"), ("body", "c")], steps=[]))
    assert {piece.zone_id for piece in result.pieces} == {"body"}
    assert result.without_goal == ("door", "jamb")


def test_where_nobody_looked_the_start_is_not_known_and_never_a_match():
    from dataclasses import replace

    unseen = replace(vehicle(goals=[("body", "p")], steps=[PRIME]), stacks=(), layers=())
    named, result = outcome(unseen)
    assert named == pytest.approx({("body", "p", "missing"): 10_000})
    assert not result.pieces[0].known
    stripped = replace(vehicle(goals=[("body", "p")], steps=[STRIP, PRIME]), stacks=(), layers=())
    assert outcome(stripped)[1].match_mm2 == pytest.approx(10_000)


def test_of_several_masks_the_one_over_the_piece_is_the_guilty_one():
    areas = [
        area(rect(0, 0, 10, 100), "mask", area_id="left", edge="hard"),
        area(rect(90, 0, 100, 100), "mask", area_id="right", edge="hard"),
    ]
    plan = [STRIP, step("mask", "left"), step("mask", "right"), PRIME]
    _, result = outcome(vehicle(areas=areas, goals=[("body", "p")], steps=plan))
    wrong = {piece.surface.bounds: piece.steps for piece in result.pieces if piece.verdict != "match"}
    assert wrong == {(0, 0, 10, 100): (2, 4), (90, 0, 100, 100): (3, 4)}


def test_a_cover_fitted_too_early_is_guilty_together_with_the_coat_that_did_not_get_under_it():
    goals = [("jamb", "p"), ("jamb", "c")]
    _, result = outcome(vehicle(goals=goals, steps=[STRIP, OFF, PRIME, ON, COLOUR]))
    assert [(p.stack, p.verdict, p.steps) for p in result.pieces] == [
        ((("p", "full"), ("c", "mist")), "missing", (4, 5)),
    ]


def test_a_wrong_coat_in_place_of_the_right_one_is_told_together_with_the_strip_that_took_the_right_one():
    _, result = outcome(vehicle(goals=[("body", "p"), ("body", "c")], steps=[step("strip", "body"), PRIME]))
    assert [(p.stack, p.verdict, p.steps) for p in result.pieces] == [((("p", "full"),), "missing", (1,))]


def test_mist_twice_is_not_a_full_coat():
    """Two thin layers of a coat rank as high as one full layer if they are summed; they are another finish all the same."""
    goals = [("jamb", "p"), ("jamb", "c", "mist"), ("jamb", "c", "mist")]
    _, result = outcome(vehicle(goals=goals, steps=[STRIP, OFF, PRIME, COLOUR, ON]))
    assert [(p.stack, p.verdict) for p in result.pieces] == [((("p", "full"), ("c", "full")), "missing")]


def test_only_the_layers_between_the_wrong_ones_are_guilty_of_a_wrong_order():
    goals = [("body", "p"), ("body", "c"), ("body", "p"), ("body", "c")]
    _, result = outcome(vehicle(goals=goals, steps=[STRIP, PRIME, PRIME, COLOUR, COLOUR]))
    assert [(p.verdict, p.steps) for p in result.pieces] == [("order", (3, 4))]


def test_zones_without_a_goal_are_run_and_told_beside_what_is_compared():
    _, result = outcome(vehicle(goals=[("body", "p")], steps=[STRIP, PRIME]))
    assert {(p.zone_id, p.stack, p.goal, p.verdict) for p in result.others} == {
        ("door", (("p", "full"),), None, None),
        ("jamb", (("p", "mist"),), None, None),
    }


def test_what_is_odd_in_a_plan_is_told():
    plan = [ON, OFF, OFF, step("mask", "m"), step("mask", "m"), step("unmask", "m"), step("unmask", "m"), step("mask", "m")]
    areas = [area(rect(0, 0, 1, 1), "mask", area_id="m")]
    assert outcome(vehicle(areas=areas, steps=plan))[1].notes == (
        "step 1: Door is fitted, but it was not off",
        "step 3: Door is off already, since step 2",
        "step 5: m is masked already, since step 4",
        "step 7: m is unmasked, but it was not masked",
        "Door is still off after the last step (taken off in step 2)",
        "m is still masked after the last step (masked in step 8)",
    )
    beside = outcome(vehicle(steps=[step("coat", "p", parts=("door",))]))[1].notes
    assert beside == ("step 1: Door is to be painted beside the vehicle, but it is on the vehicle",)


def test_the_plan_can_be_run_as_far_as_a_step():
    record = vehicle(goals=[("body", "p"), ("body", "c")], steps=[STRIP, PRIME, COLOUR])
    assert [replay(record, SETTINGS, upto=n).pieces[0].stack for n in (0, 1, 2, 3)] == [
        (("p", "full"), ("c", "full")),
        (),
        (("p", "full"),),
        (("p", "full"), ("c", "full")),
    ]


ACTIONS = st.sampled_from(
    [
        OFF,
        ON,
        STRIP,
        PRIME,
        COLOUR,
        step("coat", "c", parts=("door",)),
        step("coat", "p", parts=("only",)),
        step("mask", "m"),
        step("unmask", "m"),
        step("strip", "body"),
    ]
)
BOXES = st.tuples(st.integers(-20, 180), st.integers(-20, 90), st.integers(5, 90), st.integers(5, 90)).map(
    lambda b: rect(b[0], b[1], b[0] + b[2], b[1] + b[3])
)


@given(st.lists(ACTIONS, max_size=8), BOXES, BOXES, st.sampled_from(["hard", "soft", None]))
def test_pieces_add_up_and_a_changed_stack_in_a_kept_area_is_always_a_violation(steps, kept, masked, edge):
    record = vehicle(areas=[area(kept), area(masked, "mask", area_id="m", edge=edge)], steps=steps)
    result = replay(record, SETTINGS)
    for zone, drawn in (("body", 10_000), ("door", 5_000), ("jamb", 1_000)):
        assert sum(piece.area_mm2 for piece in result.pieces if piece.zone_id == zone) == pytest.approx(drawn)
    harmed = sum(piece.area_mm2 for piece in result.pieces if piece.verdict == "kept harmed")
    assert (harmed > 0) is bool(result.violations)
    assert all(piece.stack == piece.goal for piece in result.pieces if piece.kept and piece.verdict == "match")


@given(st.lists(st.sampled_from([OFF, ON, step("mask", "m"), step("unmask", "m")]), max_size=8))
def test_a_plan_without_strip_and_coat_changes_nothing(steps):
    record = vehicle(areas=[area(rect(0, 0, 30, 30), "mask", area_id="m")], steps=steps)
    assert {(p.zone_id, p.stack) for p in replay(record, SETTINGS).pieces} == {
        ("body", (("p", "full"), ("c", "full"))),
        ("door", (("p", "full"), ("c", "full"))),
        ("jamb", (("p", "full"),)),
    }
