"""What a proposal shows beforehand is what the record file then holds."""

from __future__ import annotations

import pytest

from bodymap.geometry.calibrate import Calibration
from bodymap.geometry.calibrate_drawing import calibrated_drawing
from bodymap.geometry.proposal import applied
from bodymap.geometry.zone_edits import cut_by_line, merge
from bodymap.model import Cover, Goal, OutlineShape, Stack, Step
from bodymap.store.proposed import changes_of
from bodymap.store.record_file import RecordFile, create
from tests.geometry.drawn import line, record, square, zone

AT = "2026-01-01T10:00:00.000Z"
SIGNED = {"by": "tester", "why": "a test", "at": AT}


@pytest.fixture
def file(tmp_path):
    held = record(
        zone("a", square(0, 0, 200, 100)),
        OutlineShape(drawing_id="faces", kind="body", shape=square(0, 0, 5, 5)),
        OutlineShape(drawing_id="left", kind="body", shape=square(0, 0, 200, 100)),
        Stack(stack_id="s", zone_id="a", x=180, y=50, method="window", reaches_substrate=True),
        Cover(zone_id="a", part_id="door"),
        Step(step=1, action="strip", target=("a",)),
    )
    create(tmp_path / "cart.gpkg", held, **SIGNED)
    return RecordFile(tmp_path / "cart.gpkg")


def stand(file, proposal):
    before = file.record()
    file.append(changes_of(proposal, file), **SIGNED, expect=file.revision())
    assert file.verify() == ()
    after = file.record()
    shown = applied(before, proposal)
    for kind in ("drawing", "outline", "zone", "cover", "stack", "goal", "step"):
        assert after.of_kind(kind) == shown.of_kind(kind), kind
    return after


def test_cut_and_merged(file):
    stand(file, cut_by_line(file.record(), "a", line((150, -1), (150, 101)), ["b"]))
    after = stand(file, merge(file.record(), ["a", "b"], {}))
    assert [z.zone_id for z in after.zones] == ["a"]
    assert after.goals == ()


def test_entries_without_a_key_are_replaced_where_they_stand(file):
    after = stand(file, calibrated_drawing(file.record(), "left", Calibration(scale=2)))
    assert [shape.shape for shape in after.outline] == [square(0, 0, 5, 5), square(0, 0, 400, 200)]
    # what was said before stays in the journal
    assert sum(entry.kind == "outline" for entry in file.journal()) == 3


def test_nothing_is_written_where_the_record_would_not_hold_together(file):
    from bodymap.errors import Faults
    from bodymap.geometry.proposal import Proposal

    before = file.head()
    with pytest.raises(Faults):
        file.append(
            changes_of(Proposal((Goal(zone_id="nowhere", position=1, coat_id="c", extent="full"),)), file),
            **SIGNED, expect=None,
        )  # fmt: skip
    assert file.head() == before
