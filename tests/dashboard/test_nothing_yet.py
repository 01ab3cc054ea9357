"""A record that holds a vehicle and nothing else: every screen says in one line what comes first, and leads there."""

from __future__ import annotations

import sys

import pytest

from bodymap.model import Record, Vehicle
from bodymap.store import record_file
from dashboard.app import SCREENS

from .running import opened, words
from .small import AT, small_record

# Where each screen leads to, and the start of what it says.
NEXT = {
    "panel_sheet.py": ("drawings", "No zone is drawn yet"),
    "drawings.py": ("", "No drawing yet: name one below"),
    "parts.py": ("drawings", "No part yet: add the first here"),
    "survey.py": ("drawings", "No zone is drawn yet: until then sources can be entered"),
    "film.py": ("drawings", "No zone is drawn yet: a reading belongs to a zone"),
    "coat_order.py": ("drawings", "No zone is drawn yet: the order of coats is read from stacks"),
    "keep_and_strip.py": ("drawings", "No zone is drawn yet"),
    "mask_brief.py": ("drawings", "No zone is drawn yet"),
    "rehearsal.py": ("drawings", "No zone is drawn yet: the plan is run on the zones"),
    "hand_over.py": ("drawings", "No zone is drawn yet: nothing can be measured"),
}


def record_of(record, tmp_path, monkeypatch):
    path = tmp_path / "cart.gpkg"
    record_file.create(path, record, by="start", why="begun", at=AT, media={})
    monkeypatch.setattr(sys, "argv", ["app.py", str(path)])


def ways(at) -> list[str]:
    """The pages that are led to, besides the row of all screens."""
    return [link.proto.page for link in at.get("page_link")][len(SCREENS) :]


def test_every_screen_is_asked():
    assert set(NEXT) == set(SCREENS)


@pytest.mark.parametrize("screen", NEXT)
def test_with_a_vehicle_alone(tmp_path, monkeypatch, screen):
    record_of(Record(vehicle=Vehicle(vehicle_id="v1", name="Ice cart")), tmp_path, monkeypatch)
    at = opened(f"screens/{screen}")
    goal, said = NEXT[screen]
    assert said in words(at)
    assert ways(at) == ([goal] if goal else [])
    assert not at.get("plotly_chart"), "an empty chart says nothing"
    assert not at.warning


def test_what_was_said_is_entered_before_anything_is_drawn(tmp_path, monkeypatch):
    record_of(Record(vehicle=Vehicle(vehicle_id="v1", name="Ice cart")), tmp_path, monkeypatch)
    at = opened("screens/survey.py")
    assert any(field.label == "What it is *" for field in at.text_input)


def test_zones_without_stacks_lead_to_the_survey_and_without_areas_to_the_panel_sheet(tmp_path, monkeypatch):
    record = small_record()
    for kind in ("stack", "layer", "area", "reading"):
        record = record.with_kind(kind, [])
    record_of(record, tmp_path, monkeypatch)
    at = opened("screens/coat_order.py")
    assert "No stack shows a coat yet" in words(at)
    assert ways(at) == ["survey"]
    assert ways(opened("screens/mask_brief.py")) == [""]
    assert ways(opened()) == []
