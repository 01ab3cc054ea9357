"""The survey without a browser: what is touched and typed is what the record says, and nothing begun is lost."""

from __future__ import annotations

import io

import pytest
from PIL import Image
from streamlit.testing.v1 import AppTest

from bodymap.geometry.convert import to_shapely
from bodymap.model import Coat, Layer, Reading, Stack
from bodymap.store.record_file import Put, RecordFile
from dashboard.components.sheet_map import Placed
from dashboard.state import Drawn, Workspace

from .running import APP, choose, field, key_of, press, says, whole, words
from .small import AT

SCREEN = "screens/survey.py"


def survey(what: str = "stack", *, by: str = "Ann", token: str = "", placed: Placed | None = None, **said) -> AppTest:
    """The survey, run once."""
    at = AppTest.from_file(str(APP), default_timeout=60)
    if token:
        at.query_params["tablet"] = token
    if said or not token:
        at.session_state["workspace"] = Workspace(by=by, **said)
    if placed:
        at.session_state[key_of(Placed)] = placed
    at.run()
    at.switch_page(SCREEN).run()
    if what != "stack":
        choose(at, "What is entered", what)
    whole(at)
    return at


def placed_at(path, x: float, y: float) -> Placed:
    """The door as if it was touched there [drawing mm]."""
    return Placed("door_out", *_on_sheet(path, ((x, y),))[0])


def token_of(at: AppTest) -> str:
    told = at.query_params["tablet"]
    return told[0] if isinstance(told, list) else told


def build(at: AppTest) -> None:
    """A ladder of two coats: the second as mist over dirt on a surface that was cut back."""
    press(at, "swatch_c1", "swatch_c2")
    choose(at, "The last layer is", "mist")
    choose(at, "On the surface under it", ["dirt", "cut_back"])


def how(at: AppTest) -> None:
    choose(at, "Reaches the steel? *", "yes")
    choose(at, "Looked at by *", "window")


def others_put(path, *entries, by: str = "Ben", why: str = "at the other tablet") -> None:
    RecordFile(path).append([Put(entry) for entry in entries], by=by, why=why, at=AT, expect=None)


def stack(ident: str) -> tuple[Stack, Layer]:
    return (
        Stack(stack_id=ident, zone_id="side_low", method="chip", reaches_substrate=False),
        Layer(stack_id=ident, position=1, coat_id="c2", extent="full"),
    )


# --- stacks -----------------------------------------------------------------------------------------------------------


def test_a_ladder_is_built_by_touching_swatches_and_saved_as_it_was_touched(record_path):
    at = survey(chosen=["door_out"], placed=placed_at(record_path, 400, 300))
    build(at)
    how(at)
    press(at, "save_stack")
    record = RecordFile(record_path).record()
    saved = record.stack["s2"]
    assert (saved.zone_id, saved.method, saved.reaches_substrate, saved.by) == ("door_out", "window", True, "Ann")
    assert (saved.x, saved.y) == (400, 300)
    first, second = record.layers_of["s2"]
    assert (first.coat_id, first.extent, first.interface, first.cut_back) == ("c1", "full", (), None)
    assert (second.coat_id, second.extent, second.interface, second.cut_back) == ("c2", "mist", ("dirt",), True)
    assert RecordFile(record_path).verify() == ()


def test_the_last_layer_comes_off_and_a_coat_goes_on_once(record_path):
    at = survey(chosen=["door_out"])
    build(at)
    assert at.button(key="swatch_c2").disabled, "a coat is one event"
    press(at, "layer_off")
    assert not at.button(key="swatch_c2").disabled
    press(at, "swatch_c2")
    how(at)
    press(at, "save_stack")
    last = RecordFile(record_path).record().layers_of["s2"][-1]
    assert (last.extent, last.interface, last.cut_back) == ("full", (), None), "nothing clings to a layer that was taken off"


def test_what_is_missing_is_told_and_the_ladder_stays(record_path):
    before = RecordFile(record_path).head()
    at = survey(chosen=["door_out"], by="")
    build(at)
    press(at, "save_stack")
    told = " ".join(one.value for one in at.warning)
    for what in ("whether the substrate is reached", "how it was looked at", "your name"):
        assert what in told
    assert RecordFile(record_path).head() == before
    assert at.button(key="swatch_c1").disabled


def test_a_reload_keeps_the_half_built_ladder_its_zone_its_place_and_the_name(record_path):
    at = survey(chosen=["door_out"], placed=placed_at(record_path, 400, 300))
    build(at)
    choose(at, "Looked at by *", "section")
    spot = next(one.value for one in at.markdown if one.value.startswith("Place:"))
    again = survey(token=token_of(at))
    assert again.button(key="swatch_c1").disabled
    assert spot in [one.value for one in again.markdown]
    assert "Door outside" in words(again)
    choose(again, "Reaches the steel? *", "no")
    press(again, "save_stack")
    record = RecordFile(record_path).record()
    assert (record.stack["s2"].method, record.stack["s2"].by) == ("section", "Ann")
    assert record.layers_of["s2"][1].extent == "mist"


def test_a_window_of_its_own_has_nothing_of_anothers_but_may_go_on_with_what_was_left(record_path):
    at = survey(chosen=["door_out"])
    build(at)
    other = survey(by="Ben", chosen=["side_low"])
    assert token_of(other) != token_of(at)
    assert not other.button(key="swatch_c1").disabled
    assert "Not saved on a page that was closed" in words(other)
    press(other, f"take_up_{token_of(at)}")
    assert other.button(key="swatch_c1").disabled
    assert "Door outside" in words(other)


def test_two_windows_are_offered_different_numbers(record_path):
    first = survey(chosen=["door_out"])
    press(first, "swatch_c1")
    second = survey(chosen=["side_low"])
    assert (field(first, "Sticker").value, field(second, "Sticker").value) == ("s2", "s3")


def test_a_number_that_is_taken_is_asked_about_and_never_written_over(record_path):
    at = survey(chosen=["door_out"])
    build(at)
    how(at)
    says(at, "Sticker", "s1")
    before = RecordFile(record_path).record()
    assert "s1 is taken" in words(at)
    press(at, "save_stack")
    assert RecordFile(record_path).record() == before
    press(at, "keep_as_new", "save_stack")
    record = RecordFile(record_path).record()
    assert record.stack["s1"] == before.stack["s1"]
    assert record.layers_of["s1"] == before.layers_of["s1"]
    assert len(record.layers_of["s2"]) == 2


def test_a_number_that_another_tablet_took_meanwhile_is_told_with_what_they_wrote(record_path):
    at = survey(chosen=["door_out"])
    build(at)
    how(at)
    others_put(record_path, *stack("s2"))
    press(at, "save_stack")
    assert "s2 is taken: put by Ben" in words(at)
    assert "Theirs: Sill" in words(at)
    press(at, "look_at_theirs", "keep_as_new", "save_stack")
    record = RecordFile(record_path).record()
    assert record.stack["s2"].zone_id == "side_low"
    assert [layer.coat_id for layer in record.layers_of["s3"]] == ["c1", "c2"]


def test_a_brush_over_the_map_does_not_carry_a_ladder_to_another_zone(record_path):
    at = survey(chosen=["door_out"])
    build(at)
    at.multiselect[0].set_value(["side_low"]).run()
    assert "begun in Door outside" in words(at)
    how(at)
    press(at, "save_stack")
    assert RecordFile(record_path).record().stack["s2"].zone_id == "door_out"


def test_a_ladder_can_be_said_to_belong_to_the_other_zone(record_path):
    at = survey(chosen=["door_out"])
    build(at)
    at.multiselect[0].set_value(["side_low"]).run()
    press(at, "belongs")
    how(at)
    press(at, "save_stack")
    assert RecordFile(record_path).record().stack["s2"].zone_id == "side_low"


def test_a_coat_is_added_on_the_spot_and_is_a_swatch_at_once(record_path):
    at = survey(chosen=["door_out"])
    says(at, "Name of the coat *", "Blue <b>lacquer</b>")
    choose(at, "Kind *", "tinted")
    press(at, "add_coat")
    coat = RecordFile(record_path).record().coat["c3"]
    assert (coat.name, coat.kind, coat.colour, coat.um_low) == ("Blue <b>lacquer</b>", "tinted", None, None)
    press(at, "swatch_c3")
    assert all("<b>" not in one.label for one in at.button)


# --- what others write ------------------------------------------------------------------------------------------------


def test_what_others_wrote_is_told_in_one_line_until_it_is_seen(record_path):
    at = survey(chosen=["door_out"])
    assert "Nobody else wrote anything" in words(at)
    others_put(record_path, *stack("s7"))
    at.run()
    assert "2 entries by Ben" in words(at)
    assert "stack s7" in words(at)
    build(at)
    how(at)
    press(at, "save_stack")
    assert "by Ann" not in words(at).split("since you last looked")[0].split("entries")[-1], "one's own are no news"
    press(at, "others_seen")
    assert "Nobody else wrote anything" in words(at)


# --- readings ---------------------------------------------------------------------------------------------------------


def test_several_repeats_of_one_spot_are_typed_in_one_field(record_path):
    at = survey("reading", chosen=["side_low"])
    says(at, "Readings in µm, blanks between *", "212 214.5 210")
    assert "3 readings, mean **212 µm**" in words(at)
    choose(at, "Gauge *", "magnetic")
    press(at, "save_reading")
    saved = RecordFile(record_path).record().readings_of["side_low"]
    assert [(one.reading_id, one.um, one.spot, one.by) for one in saved] == [
        ("r4", 212.0, "P001", "Ann"),
        ("r5", 214.5, "P001", "Ann"),
        ("r6", 210.0, "P001", "Ann"),
    ]
    assert {one.phase for one in saved} == {"as found"}
    assert field(at, "Readings in µm, blanks between *").value == ""
    assert field(at, "Spot").value == "P002"


def test_a_gauge_that_cannot_read_here_is_refused_with_the_reason_or_kept_as_not_usable(record_path):
    at = survey("reading", chosen=["side_low"])
    says(at, "Readings in µm, blanks between *", "60")
    choose(at, "Gauge *", "eddy")
    assert "an eddy-current gauge is not meant for steel" in words(at)
    press(at, "save_reading")
    assert not RecordFile(record_path).record().readings_of.get("side_low")
    says(at, "Keep them all the same, marked as not usable", value=True)
    press(at, "save_reading")
    (kept,) = RecordFile(record_path).record().readings_of["side_low"]
    assert "not meant for steel" in kept.invalid


def test_a_slip_of_the_pen_is_told_and_stays_in_the_field(record_path):
    at = survey("reading", chosen=["side_low"])
    says(at, "Readings in µm, blanks between *", "212,5 21o")
    assert "'212,5'" in words(at)
    choose(at, "Gauge *", "magnetic")
    press(at, "save_reading")
    assert not RecordFile(record_path).record().readings_of.get("side_low")
    assert field(at, "Readings in µm, blanks between *").value == "212,5 21o"


def test_a_spot_of_another_zone_is_not_mixed_with_this_one_but_repeats_go_on(record_path):
    one = Reading(reading_id="r4", zone_id="side_out", um=60, principle="magnetic", spot="P001", by="Ben")
    others_put(record_path, one)
    at = survey("reading", chosen=["side_low"])
    says(at, "Readings in µm, blanks between *", "61")
    choose(at, "Gauge *", "magnetic")
    says(at, "Spot", "P001")
    assert "P001 is taken: 1 reading by Ben in Side" in words(at)
    press(at, "save_reading")
    assert not RecordFile(record_path).record().readings_of.get("side_low")
    at.multiselect[0].set_value(["side_out"]).run()
    assert "these are more repeats of it" in words(at)


# --- findings, lines, sources -----------------------------------------------------------------------------------------


def test_a_finding_drawn_on_the_sheet_has_its_shape_and_one_without_a_place_says_what_waits(record_path):
    at = survey("finding", chosen=["door_out"])
    assert "a release to strip waits for it" in words(at)
    placed = at.session_state["workspace"]
    placed.drawn = Drawn("box", _on_sheet(record_path, ((100, 100), (300, 100), (300, 200), (100, 200))))
    at.run()
    choose(at, "What was found *", "ghost")
    choose(at, "Severity", 3)
    press(at, "save_finding")
    (found,) = RecordFile(record_path).record().findings
    assert (found.finding_id, found.kind, found.severity, found.drawing_id) == ("F01", "ghost", 3, "left")
    assert to_shapely(found.shape).area == pytest.approx(200 * 100)


def _on_sheet(path, ring):
    from bodymap.views.sheet import lay_out

    layout = lay_out(RecordFile(path).record(), "outside")
    return tuple(layout.to_sheet("left", x, y) for x, y in ring)


def test_a_line_is_entered_by_offsets_and_lies_where_they_say(record_path):
    at = survey("line")
    says(at, "Measured from *", "waist")
    says(at, "Station and offset in mm, a pair a line *", "0 40\n1000 42\n2000 45")
    choose(at, "Painted", "brush")
    press(at, "save_line")
    (line,) = RecordFile(record_path).record().lines
    # The waist runs level from (1000, 600) to the right; plus is on its left, which is up.
    assert line.shape.coordinates == ((1000, 640), (2000, 642), (3000, 645))
    assert line.hand == "brush"


def test_an_offset_past_the_end_of_the_datum_is_told_and_nothing_is_written(record_path):
    at = survey("line")
    says(at, "Measured from *", "waist")
    says(at, "Station and offset in mm, a pair a line *", "0 40\n2500 42")
    assert "2500" in words(at)
    press(at, "save_line")
    assert RecordFile(record_path).record().lines == ()


def photo(**exif) -> bytes:
    tags, out = Image.Exif(), io.BytesIO()
    tags[0x8769] = {0x9003: "2025:10:06 14:03:22"}
    tags[0x8825] = {1: "N", 2: (52.0, 31.0, 7.0), 3: "E", 4: (13.0, 24.0, 37.0)}
    Image.effect_noise((64, 48), 60).convert("RGB").save(out, "JPEG", exif=tags)
    return out.getvalue()


def test_a_photo_goes_with_its_stack_dated_by_the_camera_without_its_place(record_path):
    at = survey(chosen=["door_out"])
    at.file_uploader[0].upload("shot.jpg", photo(), "image/jpeg").run()
    whole(at)
    assert "place taken out" in words(at)
    build(at)
    how(at)
    press(at, "save_stack")
    file = RecordFile(record_path)
    record = file.record()
    source = next(one for one in record.sources if one.file)
    assert (source.kind, source.date, source.by) == ("photo", "2025-10-06T14:03:22", "Ann")
    assert source.about == ("door_out", "s2")
    kept = file.media_path(source.file)
    assert source.sha256 in kept.name, "stored by what is in it"
    with Image.open(io.BytesIO(kept.read_bytes())) as picture:
        assert not picture.getexif().get_ifd(0x8825)
    assert file.verify() == ()


def test_no_picture_is_refused_in_words_and_what_is_entered_stays(record_path):
    at = survey(chosen=["door_out"])
    build(at)
    at.file_uploader[0].upload("shot.jpg", b"these are no pixels", "image/jpeg").run()
    whole(at)
    assert any("found no picture that can be read" in one.value for one in at.error)
    assert at.button(key="swatch_c1").disabled


def test_a_statement_is_kept_with_date_rights_and_what_it_speaks_of_and_a_wrong_date_is_told(record_path):
    at = survey("source", chosen=["door_out"])
    choose(at, "Kind *", "statement")
    says(at, "What it is *", "It was always green, says the first owner")
    says(at, "Made or said by", "first owner")
    says(at, "Date (YYYY, YYYY-MM or YYYY-MM-DD)", "last summer")
    press(at, "save_source")
    assert any("last summer" in one.value for one in at.error)
    says(at, "Date (YYYY, YYYY-MM or YYYY-MM-DD)", "1998-07")
    press(at, "save_source")
    source = RecordFile(record_path).record().sources[-1]
    assert (source.kind, source.date, source.by, source.about) == ("statement", "1998-07", "first owner", ("door_out",))


# --- not yet seen, undo, reading only ---------------------------------------------------------------------------------


def test_what_was_not_seen_is_listed_and_a_touch_goes_there(record_path):
    at = survey("unseen")
    assert "never looked at" in str(at.get("plotly_chart")[0].proto.spec)
    assert at.session_state["workspace"].tint == "plain"  # the other screens keep theirs
    press(at, "go_flange")
    workspace = at.session_state["workspace"]
    assert (workspace.chosen, workspace.sheet, workspace.touch, workspace.tint) == (["flange"], "hidden", "place", "plain")
    assert "Flange" in words(at)
    assert at.button(key="swatch_c1")


def test_undo_takes_the_whole_entry_back(record_path):
    before = RecordFile(record_path).record()
    at = survey(chosen=["door_out"])
    build(at)
    how(at)
    press(at, "save_stack", "undo_survey")
    after = RecordFile(record_path).record()
    assert (after.stacks, after.layers) == (before.stacks, before.layers)
    build(at)
    assert field(at, "Sticker").value == "s3", "a number that once stood for something is not given again"


def test_numbers_the_program_gives_move_on_where_two_write_at_one_moment(record_path):
    """Another tablet writes between the making of the entries and their saving: both are kept."""
    from unittest.mock import patch

    at = survey("reading", chosen=["side_low"])
    says(at, "Readings in µm, blanks between *", "61")
    choose(at, "Gauge *", "magnetic")
    append, first = RecordFile.append, []

    def late(self, *args, **how):
        if not first:
            first.append(1)
            theirs = Reading(reading_id="r4", zone_id="side_out", um=99, principle="magnetic", spot="P9")
            append(self, [Put(theirs)], by="Ben", why="", at=AT, expect=None)
        return append(self, *args, **how)

    with patch.object(RecordFile, "append", late):
        press(at, "save_reading")
    record = RecordFile(record_path).record()
    assert {one.reading_id: one.um for one in record.readings if one.reading_id in ("r4", "r5")} == {"r4": 99, "r5": 61}


def test_a_coat_of_every_kind_has_a_swatch(record_path):
    from typing import get_args

    from bodymap.model.coat import CoatKind

    coats = [Coat(coat_id=f"k_{kind}", name=f"one {kind}", kind=kind, colour="#123456") for kind in get_args(CoatKind)]
    others_put(record_path, *coats)
    at = survey(chosen=["door_out"])
    for coat in coats:
        assert at.button(key=f"swatch_{coat.coat_id}")
