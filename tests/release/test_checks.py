"""Release to strip: each blocker alone on a record where nothing else stands against it, and its cure."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from bodymap.model import Area, Finding, Layer, Line, Part, Setting, Stack, Step, Zone
from bodymap.release.blockers import CODES
from bodymap.release.checks import release_of
from bodymap.release.evidence import spots_asked
from bodymap.release.report import release_json, release_lines
from bodymap.settings import in_force
from tests.release.survey import KEEP, SETTINGS, STRIP, blocker, cart, codes, readings, rect, signed


def changed(entry, **fields):
    return entry.model_copy(update=fields)


def test_nothing_stands_against_the_whole_survey():
    release = release_of(cart(), SETTINGS)["side"]
    assert (release.release, release.blockers, release.asked, release.methods) == (True, (), True, ("chemical",))
    assert release.signed_by == ("Ann", "Ben")


@pytest.mark.parametrize(
    ("code", "record", "where"),
    [
        ("no-stack-to-substrate", cart(without=("s1", "s1/1")), ("zone", "side")),
        ("faces-not-seen", cart(without=("s2",)), ("zone", "flange")),
        ("too-few-readings", cart(without=("side4",)), ("reading", "side")),
        (
            "finding-without-geometry",
            cart(Finding(finding_id="F", drawing_id="left", kind="dent")),
            ("finding", "F"),
        ),
        ("line-without-offsets", cart(without=("offsets",)), ("line", "L")),
        ("no-photo-before", cart(without=("photo",)), ("source", "side")),
        ("hazards-not-tested", cart(without=("hazards tested",)), ("zone", "side")),
        ("keep-edge-without-kind", cart(changed(KEEP, edge=None), without=("K",)), ("area", "K")),
        ("keep-not-signed", cart(without=("keep",)), ("area", "K")),
        ("method-not-stated", cart(changed(STRIP, method=None), without=("2",)), ("step", "2")),
        ("margin-in-rougher-zone", cart(changed(STRIP, method="blast"), without=("2",)), ("step", "2")),
        ("margin-in-rougher-zone", cart(changed(KEEP, margin=49), without=("K",)), ("area", "K")),
        ("margin-in-rougher-zone", cart(changed(KEEP, margin=None), without=("K",)), ("area", "K")),
        ("two-signatures", cart(without=("release to strip",)), ("signoff", "side")),
    ],
)
def test_one_thing_missing_is_one_blocker_with_its_cure_and_place(code, record, where):
    assert codes(record) == [code]
    found = blocker(record, code)
    assert found.what
    assert found.cure
    assert (found.where.kind, found.where.ident) == where


def test_every_code_is_reached_by_a_test_here():
    marks = test_one_thing_missing_is_one_blocker_with_its_cure_and_place.pytestmark
    reached = {row[0] for mark in marks if mark.name == "parametrize" for row in mark.args[1]}
    assert set(CODES) - reached == {"method-not-for-substrate", "not-to-be-stripped"}  # each has a test of its own below


# --- stacks and faces ---------------------------------------------------------------------------------------------------


def test_a_stack_that_stops_short_is_none_to_the_substrate_but_the_face_is_seen():
    short = cart(Stack(stack_id="short", zone_id="side", method="chip", reaches_substrate=False), without=("s1", "s1/1"))
    assert codes(short) == ["no-stack-to-substrate"]
    assert codes(short, "flange")[:1] == ["no-stack-to-substrate"]
    assert "faces-not-seen" not in codes(short, "flange")


def test_an_unseen_face_of_another_part_does_not_count():
    assert codes(cart(Zone(zone_id="back", drawing_id="hid", part_id="board", face="back", shape=rect(0, 50, 9, 60)))) == []


# --- readings -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("width", "height", "spots"),
    [
        (1000, 600, 5),
        (50, 600, 0),  # no place is 25 mm from every edge
        (150, 150, 1),  # 100 × 100 left: one square of 100 mm
        (250, 150, 2),  # 200 × 100
        (160, 150, 2),  # 110 × 100: begun squares count
        (250, 250, 4),
        (300, 250, 5),  # 250 × 200 = 5 squares
        (2000, 700, 7),  # the shop's plan: one to each 0.2 m² of 1.4 m²
        (3000, 1000, 9),  # and never more than nine
    ],
)
def test_spots_asked_grow_with_the_zone_up_to_those_of_the_shops_plan(width, height, spots):
    zone = Zone(zone_id="z", drawing_id="left", part_id="body", face="outer", shape=rect(0, 0, width, height))
    record = replace(cart(), zones=(zone,))
    assert spots_asked(record, SETTINGS, zone) == spots
    assert spots_asked(record, SETTINGS, changed(zone, face="jamb")) == 0


def test_repeats_at_one_spot_and_readings_that_do_not_count_are_no_spots():
    five = readings()
    one_spot = [changed(reading, spot="same") for reading in five]
    names = tuple(reading.reading_id for reading in five)
    assert "1 of the 5" in blocker(cart(*one_spot, without=names), "too-few-readings").what
    wrong = [
        changed(five[0], principle="eddy"),
        changed(five[1], invalid="on the edge"),
        changed(five[2], phase="red"),
        *five[3:],
    ]
    assert "2 of the 5" in blocker(cart(*wrong, without=names), "too-few-readings").what


def test_the_shop_may_ask_for_more_spots():
    own = in_force([Setting(key="spots_shop_least", value="9", basis="own trial")])
    (found,) = release_of(cart(), own)["side"].blockers
    assert "5 of the 9" in found.what
    assert "4 more" in found.cure


def test_a_substrate_that_no_gauge_at_hand_reads_is_cured_by_a_measured_stack():
    told = blocker(cart(), "too-few-readings", "tail")
    assert "no gauge of this record can read on GRP" in told.what
    assert "µm of every layer" in told.cure
    stack = Stack(stack_id="t1", zone_id="tail", method="section", reaches_substrate=True)
    layer = Layer(stack_id="t1", position=1, coat_id="red", extent="full")
    assert "too-few-readings" in codes(cart(stack, layer), "tail")
    assert "too-few-readings" not in codes(cart(stack, changed(layer, um=30)), "tail")
    ultrasonic = cart(*readings("tail", "ultrasonic", 4))
    assert "4 of the 5" in blocker(ultrasonic, "too-few-readings", "tail").what
    assert "too-few-readings" not in codes(cart(*readings("tail", "ultrasonic", 5)), "tail")


# --- findings, lines, photographs, hazards ------------------------------------------------------------------------------


def test_a_finding_without_a_place_blocks_its_own_drawing_only():
    finding = Finding(finding_id="F", drawing_id="hid", kind="crack")
    assert codes(cart(finding)) == []
    assert "finding-without-geometry" in codes(cart(finding), "flange")


def test_a_line_blocks_the_zones_it_runs_over_only():
    without = cart(without=("offsets",))
    assert "line-without-offsets" in codes(without)
    assert "line-without-offsets" in codes(without, "tail")
    assert "line-without-offsets" not in codes(without, "flange")


def test_a_line_whose_width_reaches_into_a_zone_runs_over_it():
    upper = Zone(zone_id="upper", drawing_id="left", part_id="board", face="outer", shape=rect(0, 601, 1000, 900))
    record = cart(upper, without=("offsets", "L"))

    def line_at(y):
        shape = {"type": "LineString", "coordinates": [[0, y], [1000, y]]}
        return replace(record, lines=(Line(line_id="L", drawing_id="left", width=4, shape=shape),))

    assert "line-without-offsets" in codes(line_at(600.5), "upper")
    assert "line-without-offsets" not in codes(line_at(598), "upper")


def test_a_photograph_of_the_zone_counts_and_one_taken_after_the_release_does_not():
    photo = cart().sources[0]
    assert codes(cart(changed(photo, about=("side",)), without=("photo",))) == []
    assert codes(cart(changed(photo, about=("flange",)), without=("photo",))) == ["no-photo-before"]
    assert codes(cart(changed(photo, kind="document"), without=("photo",))) == ["no-photo-before"]
    assert codes(cart(changed(photo, date="2026-03-03"), without=("photo",))) == ["no-photo-before"]
    assert codes(cart(changed(photo, date=None), without=("photo",))) == []


@pytest.mark.parametrize("subject", ["side", "body", "cart", "vehicle"])
def test_hazards_may_be_signed_for_the_zone_the_part_or_the_vehicle(subject):
    assert codes(cart(signed(subject, "hazards tested", "Ann"), without=("hazards tested",))) == []


def test_hazards_signed_for_another_part_do_not_count():
    assert codes(cart(signed("board", "hazards tested", "Ann"), without=("hazards tested",))) == ["hazards-not-tested"]


# --- kept areas and methods ---------------------------------------------------------------------------------------------


def tail_strip(method, *steps, step=5, margin=100):
    """The kept area moved to 960..990, so that it lies 20 mm from the tail board; the tail is stripped, the side is not."""
    keep = changed(
        KEEP,
        margin=margin,
        shape=changed(KEEP)
        .model_validate({"area_id": "K", "drawing_id": "left", "purpose": "keep", "shape": rect(960, 100, 990, 300)})
        .shape,
    )
    return cart(keep, Step(step=step, action="strip", target=("tail",), method=method), *steps, without=("K", "2"))


@pytest.mark.parametrize(
    ("method", "margin", "blocked"),
    [
        ("blade", None, False),
        ("hand", None, False),
        ("chemical", 50, False),  # the band is worked by hand inside the zone
        ("chemical", 49.9, True),
        ("chemical", None, True),
        ("soft_media", 50, False),
        ("soft_media", 20, True),
        ("blast", 100, True),  # grit does not stop at a line: a band inside the zone does not help
        ("blast", 1000, True),
    ],
)
def test_a_method_needs_its_distance_from_a_kept_area(method, margin, blocked):
    assert ("margin-in-rougher-zone" in codes(tail_strip(method, margin=margin), "tail")) is blocked


def test_a_blast_beyond_its_margin_and_beyond_the_stated_one_is_free():
    def at(gap, margin):
        far = changed(
            KEEP,
            margin=margin,
            shape=KEEP.model_validate(
                {"area_id": "K", "drawing_id": "left", "purpose": "keep", "shape": rect(900, 100, 1010 - gap, 300)}
            ).shape,
        )
        record = cart(far, Step(step=5, action="strip", target=("tail",), method="blast"), without=("K", "2"))
        return "margin-in-rougher-zone" in codes(record, "tail")

    assert [at(100, 50), at(99, 50), at(100, 101)] == [False, True, True]


def test_a_part_taken_off_before_the_strip_is_no_neighbour_and_the_cure_says_so():
    off, late = Step(step=4, action="remove", target=("board",)), Step(step=6, action="remove", target=("board",))
    back = Step(step=3, action="fit", target=("board",))
    told = blocker(tail_strip("blast"), "margin-in-rougher-zone", "tail")
    assert "take Tail board off before step 5" in told.cure
    assert "20 mm from it" in told.what
    assert "margin-in-rougher-zone" not in codes(tail_strip("blast", off), "tail")
    assert "margin-in-rougher-zone" in codes(tail_strip("blast", late), "tail")
    assert "margin-in-rougher-zone" in codes(tail_strip("blast", changed(off, step=1), back, step=5), "tail")


def test_on_a_sheet_of_hidden_faces_only_faces_of_one_part_are_neighbours():
    """Hidden faces are laid flat beside each other: where they lie on the sheet means nothing."""
    other = Zone(zone_id="lip", drawing_id="hid", part_id="board", face="flange", shape=rect(0, 30, 1000, 50))
    keep = Area(area_id="H", drawing_id="hid", purpose="keep", edge="hard", shape=rect(0, 0, 10, 20))
    steps = [Step(step=n, action="strip", target=(zone,), method="soft_media") for n, zone in ((5, "lip"), (6, "flange"))]
    record = cart(other, keep, signed("H", "keep", "Ann"), *steps)
    assert "margin-in-rougher-zone" in codes(record, "flange")
    assert "margin-in-rougher-zone" not in codes(record, "lip")


def test_a_method_that_harms_the_substrate_is_a_blocker_wherever_the_kept_areas_are():
    record = cart(Step(step=5, action="strip", target=("tail",), method="chemical"), without=("K", "keep", "1"))
    told = blocker(record, "method-not-for-substrate", "tail")
    assert "resin" in told.what
    assert "soft media, blade, hand work" in told.cure


def test_a_blank_method_is_no_blocker_away_from_kept_areas():
    record = cart(changed(STRIP, method=None), without=("2", "K", "keep", "1"))
    assert codes(record) == []


def test_a_kept_area_is_asked_for_within_reach_of_the_method():
    """The unsigned kept area lies 20 mm from the tail: within reach of a stripper, out of reach of a blade."""
    for method, asked in (("chemical", True), ("blade", False)):
        record = tail_strip(method, margin=10)
        unsigned = replace(record, signoffs=tuple(one for one in record.signoffs if one.what != "keep"))
        assert ("keep-not-signed" in codes(unsigned, "tail")) is asked


def test_a_mask_is_no_kept_area():
    mask = Area(area_id="M", drawing_id="left", purpose="mask", shape=rect(0, 0, 50, 50))
    assert codes(cart(mask)) == []


@pytest.mark.parametrize("intent", ["keep", "clean"])
def test_a_zone_to_keep_or_clean_is_never_released(intent):
    record = cart()
    side, *others = record.zones
    assert codes(replace(record, zones=(changed(side, intent=intent), *others))) == ["not-to-be-stripped"]


def test_a_zone_that_lies_wholly_in_kept_areas_is_never_released():
    halves = [
        changed(
            KEEP,
            area_id=name,
            margin=50,
            shape=KEEP.model_validate({"area_id": name, "drawing_id": "left", "purpose": "keep", "shape": shape}).shape,
        )
        for name, shape in (("K1", rect(-10, -10, 500, 700)), ("K2", rect(500, -10, 1005, 700)))
    ]
    signatures = [signed(name, "keep", "Ann") for name in ("K1", "K2")]
    assert codes(cart(*halves, *signatures)) == ["not-to-be-stripped"]


# --- which zones are asked, and the reports -----------------------------------------------------------------------------


def test_asked_are_the_zones_of_strip_steps_or_all_that_are_not_kept_where_there_are_none():
    assert [zone for zone, release in release_of(cart(), SETTINGS).items() if release.asked] == ["side"]
    record = cart(without=("2",))
    side, flange, tail = record.zones
    unplanned = replace(record, zones=(side, changed(flange, intent="keep"), tail))
    assert [zone for zone, release in release_of(unplanned, SETTINGS).items() if release.asked] == ["side", "tail"]


def test_a_zone_stripped_twice_is_asked_for_both_methods():
    record = cart(Step(step=9, action="strip", target=("side",), method="blast"))
    release = release_of(record, SETTINGS)["side"]
    assert release.methods == ("chemical", "blast")
    assert [one.where.ident for one in release.blockers] == ["9"]


def test_ready_means_that_only_signatures_are_missing():
    assert release_of(cart(without=("release to strip",)), SETTINGS)["side"].ready
    assert not release_of(cart(without=("release to strip", "photo")), SETTINGS)["side"].ready


def test_json_has_the_keys_that_scripts_rely_on():
    record = cart(signed("side", "override", "Eve", note="no-photo-before: lost in the fire"), without=("photo", "side4"))
    report = json.loads(json.dumps(release_json(release_of(record, SETTINGS))))
    side = report["zones"]["side"]
    assert set(report["zones"]) == {"side", "flange", "tail"}
    assert side["release"] is False
    assert [{"code", "what", "cure"} <= set(one) for one in side["blockers"]] == [True]
    assert side["overridden"][0]["code"] == "no-photo-before"
    assert (side["overridden"][0]["by"], side["overridden"][0]["reason"]) == ("Eve", "lost in the fire")
    lines = "\n".join(release_lines(record, release_of(record, SETTINGS)))
    assert "too-few-readings" in lines
    assert "overruled by Eve" in lines


def test_a_part_of_which_nothing_is_kept_and_a_strip_too_narrow_for_a_probe_are_noted():
    narrow = Zone(zone_id="bar", drawing_id="left", part_id="bar", face="outer", shape=rect(0, 700, 1000, 740))
    bar = Part(part_id="bar", name="Bar", substrate="steel", removable=False)
    notes = release_of(cart(narrow, bar), SETTINGS)["bar"].notes
    assert any("no place is 25 mm from edges" in note for note in notes)
    assert any("nothing of Bar is kept" in note for note in notes)
    assert release_of(cart(), SETTINGS)["side"].notes == ()
