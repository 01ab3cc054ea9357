"""The screens without a browser: what they say and what they write."""

from __future__ import annotations

import io
import os
import sys
from dataclasses import replace
from threading import Event
from time import sleep

import pytest
from PIL import Image

from bodymap.exchange.open_folder import write_folder
from bodymap.store.record_file import Put, RecordFile, create
from dashboard import loaders
from dashboard.loaders import checking
from dashboard.state import AreaForm, Drawn

from .running import opened, tables, whole, words
from .small import AT, small_record


def band_form(**said) -> AreaForm:
    return AreaForm(way="band", zone_id="side_out", piece=0, width_mm=50, edge="hard", origin="original", **said)


def test_without_a_choice_the_totals_of_the_vehicle_are_shown(record_path):
    at = opened()
    assert "The whole vehicle" in words(at)
    # 1.2 + 2.4 + 0.6 + 0.018 m² drawn; the door alone has a ratio: 1.2 × 1.05
    assert "4.22 m²" in tables(at)
    assert "4.28 m²" in tables(at)
    assert "Next:" in words(at)


def test_one_chosen_zone_has_its_card_and_two_are_added_up(record_path):
    assert "Door outside" in words(opened(chosen=["door_out"]))
    at = opened(chosen=["door_out", "side_low"])
    assert "2 zones chosen" in words(at)
    assert "1.80 m²" in tables(at)


def test_what_the_record_says_is_never_read_as_markup(record_path):
    at = opened()
    said = [element.value for element in at.markdown if "Test van" in element.value]
    assert said
    assert all("<b>" not in value and "*bold*" not in value for value in said)
    assert not [block for block in at.markdown if block.allow_html and "Test van" in block.value]


def test_film_says_what_was_refused_and_why(record_path):
    at = opened(tint="film")
    assert "r3" in words(at)
    assert "56" in tables(at)  # median of 55 and 57; the eddy-current reading on steel is refused


def test_what_is_missing_is_told_and_nothing_is_written(record_path):
    before = RecordFile(record_path).head()
    at = opened(form=band_form())
    at.button(key="save_area").click().run()
    told = " ".join(warning.value for warning in at.warning)
    for what in ("a name", "the reason", "who marks it"):
        assert what in told
    assert "kind of edge" not in told
    assert RecordFile(record_path).head() == before


def test_a_band_is_saved_with_who_and_why_and_the_form_begins_again(record_path):
    at = opened(form=band_form(name="Door gap band", reason="flange line"), by="Ann")
    assert "0.100 m² drawn" in words(at)  # 50 mm along 2000 mm
    at.button(key="save_area").click().run()
    whole(at)
    entry = RecordFile(record_path).journal()[-1]
    assert (entry.by, entry.why, entry.kind, entry.ident) == ("Ann", "flange line", "area", "K2")
    assert at.session_state["workspace"].form.name == ""
    assert at.session_state["workspace"].by == "Ann"
    assert any(f"entry {entry.seq}" in toast.value for toast in at.toast)


def test_a_surface_drawn_on_the_map_is_clipped_to_the_zones(record_path):
    # 400 × 200 mm, the upper half of it over the top edge of the side (y = 1200 on the drawing).
    x, y = loaders.layout(loaders.opened(), "outside").to_sheet("left", 2000, 1200)
    ring = ((x, y - 100), (x + 400, y - 100), (x + 400, y + 100), (x, y + 100))
    at = opened(drawn=Drawn("box", ring))
    assert "0.040 m² drawn" in words(at)
    at = opened(drawn=Drawn("box", ring), form=AreaForm(only_inside=False))
    assert "50% of the shape lies outside" in words(at)


def test_offsets_from_a_datum_make_an_area(record_path):
    # 0 to 500 mm along the waist, from it to 30 mm above: 500 × 30 mm.
    form = AreaForm(way="offsets", datum_id="waist", stations=((0, 0, 30), (500, 0, 30)))
    assert "0.015 m² drawn" in words(opened(form=form))


def test_a_change_by_somebody_else_is_told_and_not_overwritten(record_path):
    form = AreaForm(area_id="K1", way="as_it_is", name="Mine", reason="r", edge="hard", origin="original")
    at = opened(form=form, by="Ann")
    theirs = small_record().areas[0].model_copy(update={"name": "Theirs"})
    RecordFile(record_path).append([Put(theirs)], by="Ben", why="seen better", at=AT, expect=None)
    at.button(key="save_area").click().run()
    whole(at)
    told = " ".join(error.value for error in at.error)
    assert "somebody else" in told
    assert "Ben" in told
    assert RecordFile(record_path).record().area["K1"].name == "Theirs"
    assert at.session_state["workspace"].form.name == "Mine", "what was typed stays"


def test_amending_keeps_the_shape_and_the_unknown_properties(record_path):
    was = RecordFile(record_path).record().area["K1"]
    at = opened(by="Ann")
    at.selectbox(key="area_picked_0").select("K1").run()
    at.button(key="amend_area").click().run()
    next(box for box in at.text_input if box.label == "Name *").input("Witness, left").run()
    at.button(key="save_area").click().run()
    whole(at)
    now = RecordFile(record_path).record().area["K1"]
    assert now == was.model_copy(update={"name": "Witness, left"})


def test_amending_where_it_is_needs_the_new_place(record_path):
    was = RecordFile(record_path).record().area["K1"]
    form = AreaForm(area_id="K1", way="drawn", name="Mine", reason="r", edge="hard", origin="original")
    at = opened(form=form, by="Ann")
    at.button(key="save_area").click().run()
    whole(at)
    assert "where it is" in at.warning[0].value
    assert RecordFile(record_path).record().area["K1"] == was


def test_withdrawing_asks_why_and_undo_brings_it_back(record_path):
    was = RecordFile(record_path).record().areas
    at = opened(by="Ann")
    at.selectbox(key="area_picked_0").select("K1").run()
    at.button(key="withdraw_area").click().run()
    assert "why" in at.warning[0].value
    assert RecordFile(record_path).record().areas == was
    at.text_input(key="withdraw_why_0").input("wrong panel").run()
    at.button(key="withdraw_area").click().run()
    assert RecordFile(record_path).record().areas == ()
    at.button(key="undo_area").click().run()
    assert RecordFile(record_path).record().areas == was


def test_choices_stay_when_another_screen_was_shown(record_path):
    at = opened()
    at.text_input(key="by_0").input("Ann").run()
    at.switch_page("screens/mask_brief.py").run()
    at.switch_page("screens/panel_sheet.py").run()
    assert at.text_input(key="by_0").value == "Ann"


def test_the_mask_brief_lists_every_area_and_can_be_saved(record_path):
    at = opened("screens/mask_brief.py")
    assert "K1" in tables(at)
    assert at.get("download_button")


def test_a_record_without_areas_says_where_they_come_from(tmp_path, monkeypatch):
    folder = tmp_path / "van"
    write_folder(folder, small_record().with_kind("area", ()), (), {})
    monkeypatch.setattr(sys, "argv", ["app.py", str(folder)])
    assert "No area is kept or masked yet" in words(opened("screens/mask_brief.py"))


def test_an_open_folder_is_shown_and_offers_no_saving(tmp_path, monkeypatch):
    folder = tmp_path / "van"
    write_folder(folder, small_record(), (), {})
    monkeypatch.setattr(sys, "argv", ["app.py", str(folder)])
    at = opened(drawn=Drawn("box", ((0, 0), (100, 0), (100, 100), (0, 100))))
    assert "shown and not changed" in words(at)
    assert not [button for button in at.button if button.key in ("save_area", "withdraw_area", "undo_area")]


@pytest.mark.parametrize("content", [b"", b"no record at all"])
def test_what_is_no_record_is_told_in_words(tmp_path, monkeypatch, content):
    path = tmp_path / "odd.gpkg"
    path.write_bytes(content)
    monkeypatch.setattr(sys, "argv", ["app.py", str(path)])
    at = opened()
    assert "could not be read" in words(at)
    assert path.read_bytes() == content


def test_a_record_that_was_tampered_with_is_told(record_path):
    import sqlite3

    with sqlite3.connect(record_path) as connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f'DROP TRIGGER "{name}"')
        connection.execute("UPDATE journal SET why = 'another reason' WHERE seq = 3")
    connection.close()
    assert "not what was written" in words(opened())


def test_the_zone_names_are_all_there_for_the_keyboard(record_path):
    at = opened()
    chooser = at.multiselect(key="chosen_0")
    assert len(chooser.options) == len(small_record().zones)
    chooser.select("side_low").run()
    assert at.session_state["workspace"].chosen == ["side_low"]


def test_what_is_added_is_checked_as_it_comes_and_the_whole_now_and_then(record_path, monkeypatch):
    looked = []
    verify = RecordFile.verify
    monkeypatch.setattr(RecordFile, "verify", lambda file, **more: looked.append(file) or verify(file, **more))
    first = checking.checked(loaders.opened())
    area = RecordFile(record_path).record().areas[0]
    for name in ("Once", "Twice"):
        change = [Put(area.model_copy(update={"name": name}))]
        RecordFile(record_path).append(change, by="Ben", why="seen better", at=AT, expect=None)
        now = loaders.opened()
        assert checking.checked(now) == first
        assert len(looked) == 1
    assert now.head.count == first.whole.count + 2
    monkeypatch.setattr(checking, "_WHOLE_AGAIN_S", -1.0)
    assert checking.checked(now).whole == now.head
    assert len(looked) == 2


def test_a_long_record_is_looked_through_beside_the_page(record_path, monkeypatch):
    begun, go_on = Event(), Event()
    verify = RecordFile.verify
    monkeypatch.setattr(RecordFile, "verify", lambda file, **more: begun.set() or (go_on.wait(30) and verify(file, **more)))
    for name, value in (("_LONG", 0), ("_PAGE_FIRST_S", 0.0), ("_AT_ONCE_S", 0.01)):
        monkeypatch.setattr(checking, name, value)
    now = loaders.opened()
    assert checking.checked(now) is None
    assert begun.wait(30)
    assert checking.checked(now) is None, "it is not taken for whole before it was looked through"
    go_on.set()
    while (found := checking.checked(now)) is None:
        pass
    assert (found.faults, found.whole) == ((), now.head)
    # When it is due again, what is known serves until the work is done.
    go_on.clear()
    begun.clear()
    monkeypatch.setattr(checking, "_WHOLE_AGAIN_S", -1.0)
    assert checking.checked(now) == found
    assert begun.wait(30)
    go_on.set()


@pytest.mark.parametrize("long", [False, True])
def test_what_cannot_be_looked_through_is_told_and_tried_again(record_path, monkeypatch, long):
    verify, gone = RecordFile.verify, []

    def broken(file, **more):
        if gone:
            raise OSError("the disk is gone")
        return verify(file, **more)

    monkeypatch.setattr(RecordFile, "verify", broken)
    for name, value in (("_LONG", 0 if long else 5000), ("_PAGE_FIRST_S", 0.0), ("_AT_ONCE_S", 30.0)):
        monkeypatch.setattr(checking, name, value)
    assert not checking.checked(loaders.opened()).unread
    monkeypatch.setattr(checking, "_WHOLE_AGAIN_S", -1.0)
    gone.append(True)
    for _ in range(200):  # a long one is looked through beside the page, while what is known serves
        found = checking.checked(loaders.opened())
        if found.unread:
            break
        sleep(0.05)
    assert found.unread == "the disk is gone"
    at = opened()
    assert "could not be looked through" in " ".join(one.value for one in at.warning)
    gone.clear()
    monkeypatch.setattr(checking, "_UNREAD_AGAIN_S", -1.0)
    monkeypatch.setattr(checking, "_WHOLE_AGAIN_S", 1800.0)
    for _ in range(200):
        found = checking.checked(loaders.opened())
        if not found.unread:
            break
        sleep(0.05)
    assert (found.unread, found.faults) == ("", ())


def test_saves_meanwhile_do_not_begin_a_second_look(record_path, monkeypatch):
    begun, go_on = [], Event()
    verify = RecordFile.verify
    monkeypatch.setattr(
        RecordFile, "verify", lambda file, **more: begun.append(1) or (go_on.wait(30) and verify(file, **more))
    )
    for name, value in (("_LONG", 0), ("_PAGE_FIRST_S", 0.0), ("_AT_ONCE_S", 0.05)):
        monkeypatch.setattr(checking, name, value)
    area = RecordFile(record_path).record().areas[0]
    for name in ("Once", "Twice"):
        assert checking.checked(loaders.opened()) is None
        change = [Put(area.model_copy(update={"name": name}))]
        RecordFile(record_path).append(change, by="Ben", why="seen better", at=AT, expect=None)
    go_on.set()
    while (found := checking.checked(loaders.opened())) is None:
        pass
    assert found.faults == ()
    assert len(begun) == 1


def test_a_chain_that_was_cut_is_not_taken_for_checked(record_path):
    now = loaders.opened()
    first = checking.checked(now)
    area = now.record.areas[0].model_copy(update={"name": "Other"})
    RecordFile(record_path).append([Put(area)], by="Ben", why="seen better", at=AT, expect=None)
    later = loaders.opened()
    forged = later.journal[-1].model_copy(update={"why": "seen worse"})
    assert checking._follows(later, first.whole)
    assert not checking._follows(replace(later, journal=(*later.journal[:-1], forged)), first.whole)
    assert not checking._follows(replace(later, journal=later.journal[: first.whole.count - 1]), first.whole)
    other = first.whole.model_copy(update={"hash": "0" * 64})
    assert not checking._follows(later, other)


def test_a_picture_is_shown_small_and_upright(record_path):
    tags, out = Image.Exif(), io.BytesIO()
    tags[0x0112] = 6  # EXIF 2.32: the row 0 is the visual right-hand side; upright it is taller than wide
    picture = Image.new("RGB", (1600, 1200), "white")
    picture.paste("red", (0, 0, 1600, 300))
    picture.save(out, "JPEG", exif=tags)
    file = RecordFile(record_path)
    item = file.add_media("turned.jpg", out.getvalue())
    broken = file.add_media("broken.jpg", out.getvalue()[:200])
    file.append([Put(item), Put(broken)], by="Ben", why="a look", at=AT, expect=None)
    now = loaders.opened()
    with Image.open(io.BytesIO(loaders.thumbnail(now, "turned.jpg"))) as small:
        assert small.size == (270, 360)
        red, green, _ = small.getpixel((255, 180))
        assert red > 200 > 60 > green, "the red band is at the right"
    assert loaders.thumbnail(now, "broken.jpg") is None
    assert loaders.thumbnail(now, "no such file.jpg") is None


def test_what_is_harmed_without_a_save_is_found_when_all_is_looked_through_again(record_path, monkeypatch):
    file = RecordFile(record_path)
    item = file.add_media("look.jpg", b"a picture")
    file.append([Put(item)], by="Ben", why="a look", at=AT, expect=None)
    now = loaders.opened()
    assert checking.checked(now).faults == ()
    file.place_of(item).write_bytes(b"another one")
    assert checking.checked(now).faults == ()
    monkeypatch.setattr(checking, "_WHOLE_AGAIN_S", -1.0)
    (fault,) = checking.checked(now).faults
    assert "look.jpg" in fault


def test_a_folder_changed_by_hand_is_told(tmp_path, monkeypatch):
    folder = tmp_path / "folder"
    path = tmp_path / "van.gpkg"
    create(path, small_record(), by="start", why="begun", at=AT)
    file = RecordFile(path)
    write_folder(folder, *file.whole())
    monkeypatch.setattr(sys, "argv", ["app.py", str(folder)])
    assert checking.checked(loaders.opened()).faults == ()
    parts = folder / "parts.csv"
    parts.write_text(parts.read_text().replace("steel", "aluminium"))
    os.utime(parts, ns=(2**60, 2**60))  # as a copy of an older file has it
    assert any("parts.csv" in fault for fault in checking.checked(loaders.opened()).faults)
