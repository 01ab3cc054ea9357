"""The replay against a slow twin of its own: the same words of the open folder, done square by square.

The twin knows no geometry engine: every drawing is cut into unit squares, and each square has its own list of layers.
"""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings

from bodymap.finish.replay import replay
from tests.finish.vehicles import RIM, SETTINGS, box_of, planned


def inside(square, box, shrink=0):
    x, y = square
    x0, y0, x1, y1 = box
    return x0 + shrink <= x < x1 - shrink and y0 + shrink <= y < y1 - shrink


class Twin:
    """One square after another."""

    def __init__(self, record):
        self.record = record
        self.off, self.masked = set(), set()
        self.squares = {}
        self.known = {}
        self.hurt = Counter()
        for zone in record.zones:
            x0, y0, x1, y1 = (int(n) for n in box_of(zone.shape))
            seen = [(layer.coat_id, layer.extent) for layer in record.layers if layer.stack_id == f"s_{zone.zone_id}"]
            for x in range(x0, x1):
                for y in range(y0, y1):
                    self.squares[zone.zone_id, (x, y)] = list(seen)
                    self.known[zone.zone_id, (x, y)] = any(one.zone_id == zone.zone_id for one in record.stacks)

    def keeps(self, zone_id, square):
        drawing = self.record.zone[zone_id].drawing_id
        return [
            area.area_id
            for area in self.record.areas
            if area.purpose == "keep" and area.drawing_id == drawing and inside(square, box_of(area.shape))
        ]

    def run(self):
        for step in sorted(self.record.steps, key=lambda step: step.step):
            if step.action == "remove":
                self.off.add(step.target[0])
            if step.action == "fit":
                self.off.discard(step.target[0])
            if step.action == "mask":
                self.masked.add(step.target[0])
            if step.action == "unmask":
                self.masked.discard(step.target[0])
            for zone_id, square in self.squares:
                if step.action == "strip" and zone_id in step.target and not self.keeps(zone_id, square):
                    self.squares[zone_id, square] = []
                    self.known[zone_id, square] = True
                if step.action == "coat":
                    self.spray(step, zone_id, square)

    def spray(self, step, zone_id, square):
        extent = self.on_square(zone_id, square, self.on_zone(step, zone_id))
        if extent == "none":
            return
        self.squares[zone_id, square].append((step.target[0], extent))
        for area in self.keeps(zone_id, square):
            self.hurt[step.step, area] += 1

    def on_zone(self, step, zone_id):
        parts = list(step.parts)
        only = parts[:1] == ["only"]
        part = self.record.zone[zone_id].part_id
        if part in self.off:
            return "full" if part in parts[only:] else "none"
        if only:
            return "none"
        gaps = [bool(c.gap) for c in self.record.covers if c.zone_id == zone_id and c.part_id not in self.off]
        if not gaps:
            return "full"
        return "mist" if all(gaps) else "none"

    def on_square(self, zone_id, square, extent):
        """Taped: nothing; in the outer rim of a soft edge mist."""
        for area_id in self.masked:
            area = self.record.area[area_id]
            if area.drawing_id == self.record.zone[zone_id].drawing_id and inside(square, box_of(area.shape)):
                deep = area.edge != "soft" or inside(square, box_of(area.shape), RIM)
                extent = "none" if deep or extent == "none" else "mist"
        return extent


@given(planned())
@settings(max_examples=120, deadline=None)
def test_every_square_has_the_layers_that_the_piece_over_it_has(record):
    twin = Twin(record)
    twin.run()
    counted = Counter(
        (zone, bool(twin.keeps(zone, square)), twin.known[zone, square], tuple(layers))
        for (zone, square), layers in twin.squares.items()
    )
    result = replay(record, SETTINGS)
    measured = Counter()
    for piece in (*result.pieces, *result.others):
        measured[piece.zone_id, piece.kept, piece.known, piece.stack] += piece.area_mm2
    assert dict(measured) == pytest.approx(dict(counted))
    hurt = Counter()
    for one in result.violations:
        hurt[one.step, one.area_id] += one.area_mm2
    assert dict(hurt) == pytest.approx(dict(twin.hurt))


@given(planned())
@settings(max_examples=60, deadline=None)
def test_what_matches_is_what_equals_the_goal(record):
    twin = Twin(record)
    twin.run()
    goals = {zone.zone_id: None for zone in record.zones}
    for goal in sorted(record.goals, key=lambda goal: goal.position):
        goals[goal.zone_id] = [*(goals[goal.zone_id] or []), (goal.coat_id, goal.extent)]
    first = Twin(record)
    right = total = 0
    for (zone, square), layers in twin.squares.items():
        if twin.keeps(zone, square):
            total += 1
            right += layers == first.squares[zone, square]
        elif goals[zone] is not None:
            total += 1
            right += layers == goals[zone] and twin.known[zone, square]
    result = replay(record, SETTINGS)
    assert (result.match_mm2, result.total_mm2) == pytest.approx((right, total))


@given(planned())
@settings(max_examples=60, deadline=None)
def test_guilty_of_too_much_are_steps_that_sprayed_a_coat_of_which_there_is_too_much(record):
    coats = {step.step: step.target[0] for step in record.steps if step.action == "coat"}
    stripped = {zone for step in record.steps if step.action == "strip" for zone in step.target}
    for piece in replay(record, SETTINGS).pieces:
        if piece.verdict == "match":
            assert piece.steps == ()
        elif piece.verdict in ("extra", "kept harmed"):
            assert {coats[step] for step in piece.steps} <= {coat for coat, _ in piece.stack}
            # what was not there as found was sprayed by somebody
            assert piece.steps or (piece.zone_id in record.stacks_of and piece.zone_id not in stripped)
