"""The parts as they are handled, and their labels."""

from __future__ import annotations

import pytest

from bodymap.errors import BodymapError
from bodymap.geometry.areas import areas_of
from bodymap.model import Cover, Drawing, Part, Source, Zone
from bodymap.model.source import LIES
from bodymap.settings import in_force
from bodymap.views.part_labels import SIZES, STICKER, label_sheet, sticker_sheet
from bodymap.views.parts import part_cards, part_pairs, statements_of_place
from tests.dashboard.small import rectangle, small_record


def cards(record):
    return {card.part_id: card for card in part_cards(record, areas_of(record), in_force(()))}


def said(number: int, part: str, place: str, **more) -> Source:
    return Source(source_id=f"q{number}", kind="statement", title=f"{LIES} {place}", about=(part,), **more)


def test_a_part_knows_its_faces_areas_and_what_it_hides():
    card = cards(small_record())["door"]
    assert [face.zone_id for face in card.faces] == ["door_out"]
    assert (card.drawn_mm2, card.surface_mm2) == (1_200_000, 1_260_000)  # 1000 × 1200, and × 1.05
    assert [(one.zone_id, one.gap) for one in card.hides] == [("flange", None)]
    assert card.sides == ("Left side",)
    assert card.lies == ""


def test_the_last_word_on_where_a_part_lies_counts_and_the_earlier_ones_stay():
    record = small_record().with_kind(
        "source",
        [
            said(1, "door", "rack A", by="Ann", date="2026-01-02"),
            said(2, "door", "rack B, shelf 3", by="Ben", date="2026-01-01"),
            said(3, "side", "on the vehicle"),
        ],
    )
    card = cards(record)["door"]
    assert (card.lies, card.lies_by, card.lies_on) == ("rack B, shelf 3", "Ben", "2026-01-01")
    assert [one.source_id for one in statements_of_place(record, "door")] == ["q1", "q2"]


def test_other_words_about_a_part_say_nothing_of_where_it_lies():
    others = [
        Source(source_id="q1", kind="statement", title="It lies well in the hand", about=("door",)),
        Source(source_id="q2", kind="document", title=f"{LIES} rack A", about=("door",)),
        said(3, "side", "rack C").model_copy(update={"about": ("side", "door")}),
    ]
    assert cards(small_record().with_kind("source", others))["door"].lies == ""


def two_sided():
    """Left and right drawing, the right one the mirror image; a door, and a quarter that is of one part on both sides."""
    record = small_record()

    def zone(zone_id, drawing_id, part_id, box):
        return Zone(zone_id=zone_id, drawing_id=drawing_id, part_id=part_id, face="outer", shape=rectangle(*box))

    drawings = (
        Drawing(drawing_id="left", name="Left side", kind="outside"),
        Drawing(drawing_id="right", name="Right side", kind="outside", mirror_of="left"),
    )
    parts = tuple(Part(part_id=one, name=one, substrate="steel", removable=True) for one in ("door_a", "door_b", "nose"))
    zones = (
        zone("za", "left", "door_a", (1000, 0, 2000, 1000)),
        zone("zn", "left", "nose", (0, 0, 700, 500)),
        zone("zb", "right", "door_b", (2000, 0, 3000, 1000)),
        zone("zm", "right", "nose", (3300, 0, 4000, 500)),
    )
    record = record.with_kind("drawing", drawings).with_kind("part", parts).with_kind("zone", zones)
    for kind in ("cover", "datum", "stack", "layer", "area", "reading", "source"):
        record = record.with_kind(kind, ())
    return record


def test_partners_are_found_by_the_mirrored_drawing_and_a_part_on_both_sides_is_not_its_own():
    assert part_pairs(two_sided(), in_force(())) == (("door_a", "door_b"),)
    found = cards(two_sided())
    assert (found["door_a"].side, found["door_a"].partner_id) == ("left", "door_b")
    assert (found["door_b"].side, found["door_b"].partner_id) == ("right", "door_a")
    assert (found["nose"].side, found["nose"].partner_id) == ("", "")


def test_a_cover_with_a_gap_is_told_as_it_is():
    record = small_record().with_kind("cover", [Cover(zone_id="flange", part_id="door", gap=True)])
    assert cards(record)["door"].hides[0].gap is True


def test_labels_say_what_is_known_and_that_marks_are_not_stated():
    sheet = label_sheet("Van", part_cards(two_sided(), areas_of(two_sided()), in_force(())), ["nose", "door_b"], "tie")
    assert [label.part_id for label in sheet.labels] == ["door_b", "nose"], "in the order of the record"
    door = sheet.labels[0]
    assert (door.side, door.partner, door.marks, door.substrate) == ("right", "door_a door_a", "not stated", "steel")


def test_every_size_fits_on_a4_with_room_for_the_edge_of_a_printer():
    # ISO 216: A4 is 210 × 297 mm. 8 mm above, and 10 mm below for the foot of the page.
    for size in (*SIZES.values(), STICKER):
        assert size.width_mm * size.across <= 210 - 2 * 8
        assert size.height_mm * size.down <= 297 - 8 - 10


def test_numbers_go_on_from_the_last_and_step_over_what_is_used():
    sheet = sticker_sheet("Van", ["S01", "S02"], {"S04"}, "S01", 3)
    assert sheet.numbers == ("S03", "S05", "S06")
    assert len(set(sticker_sheet("Van", [], set(), "S01", 560).numbers)) == 560


@pytest.mark.parametrize("count", [0, -1, 561])
def test_a_count_that_is_none_is_refused(count):
    with pytest.raises(BodymapError, match=f"found {count}; allowed: 1 to 560"):
        sticker_sheet("Van", [], set(), "S01", count)


def test_no_part_and_no_such_size_are_refused():
    with pytest.raises(BodymapError, match="found no part"):
        label_sheet("Van", (), ["door"], "tie")
    with pytest.raises(BodymapError, match="found 'huge'"):
        label_sheet("Van", (), ["door"], "huge")
