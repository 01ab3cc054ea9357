"""The strip sheet as data: leaves, states, covers worked out on paper, warnings that lie inside their zones."""

from __future__ import annotations

import math

import pytest
import shapely

from bodymap.model import Step, Zone
from bodymap.views.strip_picture import ALARM
from bodymap.views.strip_sheet import picture_mm, strip_sheet_view
from bodymap.views.strip_words import masks_on
from tests.release.survey import KEEP, SETTINGS, STRIP, cart, rect


def leaf(record, **how):
    (found,) = strip_sheet_view(record, SETTINGS, **how).leaves
    return found


def test_what_the_plan_strips_is_on_it_or_what_was_chosen():
    assert [zone.zone_id for zone in leaf(cart()).zones] == ["side"]
    view = strip_sheet_view(cart(), SETTINGS, ["tail", "flange", "side"])
    assert [[zone.zone_id for zone in one.zones] for one in view.leaves] == [["side", "flange"], ["tail"]]
    assert (view.zones, view.released) == (3, 1)
    with pytest.raises(KeyError):
        strip_sheet_view(cart(), SETTINGS, ["nowhere"])


def test_only_what_is_released_is_free():
    assert leaf(cart()).free
    assert [zone.signed for zone in leaf(cart()).zones] == [("Ann, 2026-03-01", "Ben, 2026-03-02")]
    for without in ("release to strip", "photo"):
        assert not leaf(cart(without=(without,))).free


def test_cover_and_tape_of_a_kept_area_by_hand():
    """Kept 60 × 200 with 50 mm round it: 12 000 + 26 000 + π 50² mm²; round it 520 + 2π 50 mm. Two layers of foil against
    stripper, 20 % lap; 10 % lap of the tape."""
    (keep,) = leaf(cart()).keeps
    surface = (12_000 + 26_000 + math.pi * 50**2) / 1e6
    assert keep.cover.layers == 2
    assert keep.cover.surface_m2 == pytest.approx(surface, rel=1e-3)
    assert keep.cover.foil_m2 == pytest.approx(surface * 2 * 1.2, rel=1e-3)
    assert keep.cover.tape_m == pytest.approx((520 + 2 * math.pi * 50) / 1000 * 2 * 1.1, rel=1e-3)


@pytest.mark.parametrize(
    ("method", "layers"), [("soft_media", 1), ("chemical", 2), (None, 2), ("blade", None), ("hand", None)]
)
def test_hand_work_takes_no_cover(method, layers):
    record = cart(STRIP.model_copy(update={"method": method}), without=("2",))
    (keep,) = leaf(record).keeps
    assert (keep.cover.layers if keep.cover else None) == layers


def test_a_kept_area_counts_once_however_many_leaves_show_it():
    """The kept area lies on the side and reaches on to the tail, 10 mm away: a leaf each, one cover."""
    keep = KEEP.model_copy(update={"shape": KEEP.shape.model_validate(rect(940, 100, 1000, 300))})
    record = cart(keep, STRIP.model_copy(update={"target": ("side", "tail")}), without=("K", "2"))
    view = strip_sheet_view(record, SETTINGS)
    covers = [one.cover for each in view.leaves for one in each.keeps]
    assert len(covers) == 2
    assert view.foil_m2 == pytest.approx(covers[0].foil_m2)


def test_what_must_never_be_touched_names_kept_zones_of_the_part():
    kept = Zone(zone_id="sill", drawing_id="left", part_id="body", face="outer", intent="keep", shape=rect(0, -90, 900, -10))
    assert leaf(cart(kept)).never == ("sill: keep as found",)


def test_rules_say_how_near_and_that_nothing_stops_blast():
    assert any("no nearer than 50 mm" in rule for rule in leaf(cart()).rules)
    rules = leaf(cart(STRIP.model_copy(update={"method": "blast"}), without=("2",))).rules
    assert any("No taped line stops it" in rule for rule in rules)


def test_masks_and_parts_by_then():
    record = cart(Step(step=3, action="remove", target=("board",)), Step(step=4, action="unmask", target=("K",)))
    side = [record.zone["side"]]
    assert "K K (since step 1)" in masks_on(record, 2, side)
    assert "Off the vehicle by then: nothing" in masks_on(record, 3, side)
    assert "Tail board" in masks_on(record, 5, side)
    assert "no mask" in masks_on(record, 5, side)


def test_the_warning_lies_inside_its_zone_and_off_its_number():
    picture = leaf(cart(without=("release to strip",))).pictures[0]
    (alarm,) = picture.alarms
    assert alarm.text == ALARM
    scale, size = picture.picture.scale, alarm.size_mm
    # Bold capitals are at most about 0.8 em wide each.
    half = 0.8 * size * len(ALARM) / 2
    assert half * 2 * scale < 1000
    label = picture.picture.labels[0]
    box = shapely.box(alarm.x - half * 0.85, alarm.y - size / 2, alarm.x + half * 0.85, alarm.y + size / 2)
    assert not box.contains(shapely.Point(label.x, label.y))


def test_pictures_fill_their_room():
    assert picture_mm("a4", 1)[0] == 190
    for number in range(2, 7):
        wide, _ = picture_mm("a4", number)
        assert 2 * wide < 190
    assert picture_mm("a3", 4) > picture_mm("a4", 4)
