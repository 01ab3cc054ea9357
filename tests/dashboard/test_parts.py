"""The parts screen without a browser: moves, amendments, covers, labels; every word kept, none written over."""

from __future__ import annotations

from streamlit.testing.v1 import AppTest

from bodymap.model import Part
from bodymap.store.record_file import Put, RecordFile
from bodymap.views.parts import statements_of_place
from dashboard.components.parts_state import PartsScreen

from .running import choose, opened, press, says, words
from .small import AT


def parts(chosen: str = "", by: str = "Ann") -> AppTest:
    """The screen with a part chosen, run once."""
    return opened("screens/parts.py", PartsScreen(chosen=chosen), by=by)


def rows(at: AppTest) -> list[str]:
    """The rows of the list, as they read."""
    return [
        button.label.replace("\\", "").replace("\u00a0", " ").replace("\u2060", "")
        for button in at.button
        if (button.key or "").startswith("part_row_")
    ]


def record_at(path):
    return RecordFile(path).record()


def test_the_list_has_every_part_and_says_not_stated_where_nothing_is_known(record_path):
    at = parts()
    door, side = rows(at)
    assert door.startswith("**door · Door**")
    assert "lies: not stated · steel · comes off" in door
    assert "1.26 m²" in door  # 1.0 m × 1.2 m × 1.05
    assert "stays on" in side
    choose(at, "Shown", "off")
    assert rows(at) == [door]


def test_a_touch_on_a_row_shows_its_card_and_another_puts_it_down(record_path):
    at = parts()
    press(at, "part_row_side")
    assert [one.value for one in at.subheader] == ["Side"]
    press(at, "part_row_side")
    assert not at.subheader


def test_each_move_is_a_new_statement_and_the_last_one_counts(record_path):
    at = parts("door")
    says(at, "It lies now at", "rack B, shelf 3")
    press(at, "say_lies")
    assert "rack B, shelf 3" in words(at)
    press(at, "lies_0")
    said = statements_of_place(record_at(record_path), "door")
    assert [(one.title, one.by) for one in said] == [
        ("Where it lies: rack B, shelf 3", "Ann"),
        ("Where it lies: on the vehicle", "Ann"),
    ]
    assert "lies: on the vehicle" in rows(at)[0]
    assert RecordFile(record_path).verify() == ()


def test_a_move_without_a_name_is_not_written_and_stays_typed(record_path):
    before = RecordFile(record_path).head()
    at = parts("door", by="")
    says(at, "It lies now at", "rack B")
    press(at, "say_lies")
    assert any("your name" in one.value for one in at.warning)
    assert RecordFile(record_path).head() == before
    assert next(one for one in at.text_input if one.label == "It lies now at").value == "rack B"


def test_a_part_is_added_and_a_tag_that_is_there_is_never_written_over(record_path):
    at = parts()
    press(at, "add_part")
    says(at, "Tag (letters, digits, - and _) *", "door")
    says(at, "Name *", "Another door")
    choose(at, "Of *", "aluminium")
    choose(at, "Comes off? *", "yes")
    press(at, "save_part")
    assert any("nothing was written over" in one.value for one in at.error)
    assert record_at(record_path).part["door"].name == "Door"
    says(at, "Tag (letters, digits, - and _) *", "two words")
    press(at, "save_part")
    assert any("two words" in one.value for one in at.error)
    says(at, "Tag (letters, digits, - and _) *", "door_R")
    press(at, "save_part")
    part = record_at(record_path).part["door_R"]
    assert (part.name, part.substrate, part.removable, part.marks) == ("Another door", "aluminium", True, None)


def test_amending_says_why_and_keeps_what_was_not_asked(record_path):
    at = parts("door")
    says(at, "Marks: numbers stamped or cut, and where", "1047 at the upper hinge")
    press(at, "save_part")
    assert any("why it is amended" in one.value for one in at.warning)
    says(at, "Why it is amended *", "read it with a lamp")
    press(at, "save_part")
    part = record_at(record_path).part["door"]
    assert (part.marks, part.name, part.removable) == ("1047 at the upper hinge", "Door", True)
    assert RecordFile(record_path).journal()[-1].why == "Amended: read it with a lamp"


def test_an_amendment_of_somebody_else_meanwhile_is_told_and_not_written_over(record_path):
    at = parts("door")
    theirs = Part(part_id="door", name="Door, left", substrate="steel", removable=True)
    RecordFile(record_path).append([Put(theirs)], by="Ben", why="clearer", at=AT, expect=None)
    says(at, "Name *", "Door, near side")
    says(at, "Why it is amended *", "clearer")
    press(at, "save_part")
    assert any("by Ben" in one.value for one in at.error)
    assert record_at(record_path).part["door"].name == "Door, left"
    assert next(one for one in at.text_input if one.label == "Name *").value == "Door, near side"


def test_what_a_part_hides_is_said_with_its_gap_and_taken_out_again(record_path):
    at = parts("door")
    says(at, "It hides this face", "side_low")
    choose(at, "Through a gap", "yes")
    press(at, "add_cover")
    covers = {one.zone_id: one.gap for one in record_at(record_path).covers}
    assert covers == {"flange": None, "side_low": True}
    press(at, "bare_flange")
    assert {one.zone_id for one in record_at(record_path).covers} == {"side_low"}


def test_labels_are_made_for_what_comes_off_and_numbers_go_on(record_path):
    at = parts()
    labels, numbers = (next(one for one in at.download_button if one.key == key) for key in ("labels_pdf", "stickers_pdf"))
    assert labels.label.startswith("1 label"), "the side does not come off"
    assert numbers.label.startswith("140 numbers")
    assert "150" not in numbers.label


def test_nothing_of_a_record_is_read_as_markup(record_path):
    hostile = Part(part_id="x", name="**<b>x</b>** $y$", substrate="steel", removable=True, marks="[a](http://b)")
    RecordFile(record_path).append([Put(hostile)], by="Ben", why="", at=AT, expect=None)
    at = parts("x")
    assert all("<b>" not in one.value and "[a](" not in one.value for one in [*at.markdown, *at.subheader])
