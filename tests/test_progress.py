"""Long work says how far it is, from nothing to the whole, and leaves nothing where it is stopped, wherever that is."""

from __future__ import annotations

import gc
import threading
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.briefs.mask_brief import mask_brief_pdf, mask_brief_print
from bodymap.briefs.strip_sheet import strip_sheet_pdf, strip_sheet_print
from bodymap.cli.hand_over import hand_over
from bodymap.errors import BodymapError
from bodymap.exchange.bundle import zipped
from bodymap.exchange.open_folder import read_folder, write_folder
from bodymap.exchange.workbook import workbook_bytes
from bodymap.film.report import film_report
from bodymap.film.spot_plan import plan_spots
from bodymap.geometry.convert import to_shapely
from bodymap.progress import cleared, counted, each, silent, spread, stretch
from bodymap.settings import in_force
from bodymap.views.as_left import as_left
from bodymap.views.brief import brief_view
from bodymap.views.hand_over_tables import sheets_of
from bodymap.views.strip_sheet import strip_sheet_view
from bodymap.views.template import template_of
from bodymap.views.template_sheets import template_sheets
from demo import VEHICLE_FOLDER
from tests.hand_over_case import trailer_folder

AT = "2026-05-01T08:00:00.000Z"


class Stop(Exception):
    """Raised by whoever looks on."""


class Watch:
    """A step that keeps what it was told; `stop_at`: the number of the call from which it raises."""

    def __init__(self, stop_at: int | None = None) -> None:
        self.told: list[tuple[str, float]] = []
        self.stop_at = stop_at

    def __call__(self, words: str, share: float) -> None:
        if self.stop_at is not None and len(self.told) >= self.stop_at:
            raise Stop
        self.told.append((words, share))

    @property
    def shares(self) -> list[float]:
        return [share for _, share in self.told]


def grows_to_one(shares) -> bool:
    return shares == sorted(shares) and shares[0] >= 0 and shares[-1] == pytest.approx(1.0)


@pytest.fixture(scope="module")
def van():
    return read_folder(VEHICLE_FOLDER)


# --- the pieces ------------------------------------------------------------------------------------------------------


@given(st.lists(st.integers()), st.floats(0, 1), st.floats(0, 1))
def test_things_one_by_one_and_side_by_side_come_in_order_and_are_told(things, one, other):
    begin, end = sorted((one, other))
    alone, together = Watch(), Watch()
    assert list(each(things, "Counting", stretch(alone, begin, end))) == things
    assert list(spread(lambda thing: thing * 2, things, "Doubling", together)) == [(thing, thing * 2) for thing in things]
    assert len(alone.told) == len(together.told) == len(things) + 1
    assert alone.shares == sorted(alone.shares)
    assert alone.shares[-1] == pytest.approx(end)
    assert min(alone.shares) >= begin - 1e-12
    assert grows_to_one(together.shares)


@given(st.integers(0, 1000), st.integers(0, 1000), st.floats(0, 1), st.floats(0, 1))
def test_of_many_things_it_is_told_at_each_hundredth_and_never_back(there, many, one, other):
    begin, end = sorted((one, other))
    watch = Watch()
    assert list(counted(range(there), many, "Counting", stretch(watch, begin, end))) == list(range(there))
    assert len(watch.told) == -(-there // 100) + 1
    assert watch.shares == sorted(watch.shares)
    assert all(begin <= share <= end for share in watch.shares)
    assert watch.shares[-1] == pytest.approx(end)


def test_no_more_is_begun_at_once_than_the_processors_need(monkeypatch):
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    begun, lock = [], threading.Lock()

    def work(thing):
        with lock:
            begun.append(thing)
        return thing

    for number, _ in spread(work, range(50), "Working", silent):
        assert len(begun) <= number + 4


def test_what_a_work_raises_comes_out_and_the_rest_is_not_begun():
    begun = []

    def work(thing):
        begun.append(thing)
        if thing == 3:
            raise BodymapError("the third")
        return thing

    with pytest.raises(BodymapError, match="the third"):
        list(spread(work, range(1000), "Working", silent))
    assert len(begun) < 100


def test_what_was_being_made_is_removed_though_the_removing_is_interrupted(tmp_path, monkeypatch):
    (tmp_path / "half").mkdir()
    (tmp_path / "half" / "file").write_text("half made")
    from bodymap import progress

    remove, calls = progress.shutil.rmtree, []

    def interrupted(folder, **how):
        calls.append(folder)
        if len(calls) == 1:
            raise KeyboardInterrupt
        remove(folder, **how)

    monkeypatch.setattr(progress.shutil, "rmtree", interrupted)
    with pytest.raises(KeyboardInterrupt):
        cleared(tmp_path / "half")
    assert not (tmp_path / "half").exists()


# --- what is written -------------------------------------------------------------------------------------------------


def hand_over_of(source, folder, step):
    return hand_over(source, folder, by="Ann", at=AT, step=step)


def first_and_last(told):
    """Number of the first and of the last call of each stage, told by its words without what is counted."""
    stages = [words.partition(" (")[0] for words, _ in told]
    return sorted({stages.index(stage) for stage in stages} | {len(stages) - 1 - stages[::-1].index(one) for one in stages})


def test_a_hand_over_tells_how_far_it_is_and_stopped_anywhere_leaves_nothing(tmp_path, monkeypatch):
    source = trailer_folder(tmp_path)
    watch = Watch()
    hand_over_of(source, tmp_path / "whole", watch)
    assert grows_to_one(watch.shares)
    before = sorted(tmp_path.iterdir())
    with monkeypatch.context() as quick:  # the typesetter calls nobody, and takes longer than all the rest
        quick.setattr("bodymap.cli.hand_over.hand_over_pdf", lambda *_: b"%PDF")
        for number in first_and_last(watch.told):
            with pytest.raises(Stop):
                hand_over_of(source, tmp_path / "stopped", Watch(number))
            assert sorted(tmp_path.iterdir()) == before, watch.told[number]
    hand_over_of(source, tmp_path / "stopped", silent)
    assert zipped(tmp_path / "stopped") == zipped(tmp_path / "whole"), "after all the stops it is made as if there were none"


def test_a_write_out_tells_how_far_it_is_and_stopped_anywhere_leaves_nothing(tmp_path, van):
    watch = Watch()
    write_folder(tmp_path / "whole", van.record, van.journal, van.media, watch)
    assert grows_to_one(watch.shares)
    assert sum("pictures" in words for words, _ in watch.told) == len(van.media) + 1
    for number in first_and_last(watch.told):
        with pytest.raises(Stop):
            write_folder(tmp_path / "stopped", van.record, van.journal, van.media, Watch(number))
        assert [path.name for path in tmp_path.iterdir()] == ["whole"], watch.told[number]


def test_packing_tells_how_far_it_is(tmp_path):
    watch = Watch()
    assert zipped(trailer_folder(tmp_path), watch) == zipped(tmp_path / "trailer")
    assert grows_to_one(watch.shares)


# --- what is reckoned ------------------------------------------------------------------------------------------------


def brief(van, step):
    few = [area.area_id for area in van.record.areas[:4]]
    view = brief_view(van.record, in_force(van.record.settings), few, stretch(step, 0.0, 0.5))
    photos = {name: van.media[name].read_bytes() for name in view.photo_files}
    return mask_brief_pdf(view, None, AT, photos, stretch(step, 0.5, 1.0))


def tables(van):
    settings = in_force(van.record.settings)
    return sheets_of(van.record, settings, as_left(van.record, settings), van.journal)


WORKS = {
    "mask brief": brief,
    "strip sheet": lambda van, step: strip_sheet_view(van.record, in_force(van.record.settings), step=step),
    "template": lambda van, step: template_sheets(
        template_of(van.record, next(f"area:{area.area_id}" for area in van.record.areas), in_force()), in_force(), step=step
    ),
    "film": lambda van, step: film_report(van.record, in_force(van.record.settings), step=step),
    "spot plan": lambda van, step: plan_spots(van.record, "shop", in_force(van.record.settings), step=step),
    "workbook": lambda van, step: workbook_bytes(tables(van), "Van", datetime(2026, 5, 1, tzinfo=UTC), step),
}


@pytest.mark.parametrize("name", WORKS)
def test_reckoning_tells_how_far_it_is_and_can_be_stopped(name, van):
    watch = Watch()
    WORKS[name](van, watch)
    assert grows_to_one(watch.shares)
    assert len(watch.told) > 3
    with pytest.raises(Stop):
        WORKS[name](van, Watch(len(watch.told) // 2))


def test_the_spots_are_told_of_zone_by_zone_and_many_in_one_zone_now_and_then(van):
    settings, watch, many = in_force(van.record.settings), Watch(), Watch()
    plan = plan_spots(van.record, "shop", settings, step=watch)
    last = f"({len(plan.counts)} of {len(plan.counts)} zones)"
    assert len({words for words, _ in watch.told}) == len(plan.counts) + 1
    assert watch.told[-2][0].endswith(last)
    zone = max(van.record.zones, key=lambda zone: to_shapely(zone.shape).area).zone_id
    plan_spots(van.record, "shop", settings, [zone], {zone: 60}, many)
    assert len(many.told) > 6, "of every beginning, and of its rounds"
    assert grows_to_one(many.shares)


def test_every_row_of_a_workbook_is_filled_and_written_and_both_are_told(van):
    watch, sheets = Watch(), tables(van)
    workbook_bytes(sheets, "Van", datetime(2026, 5, 1, tzinfo=UTC), watch)
    assert len(watch.told) > 2 * sum(len(sheet.rows) for sheet in sheets) / 100
    assert any(0.4 < share < 0.85 for share in watch.shares), "also while the library writes them"


def test_a_workbook_stopped_while_the_library_writes_leaves_nothing_that_complains_later(van):
    watch, sheets = Watch(), tables(van)
    workbook_bytes(sheets, "Van", datetime(2026, 5, 1, tzinfo=UTC), watch)
    halfway = next(number for number, share in enumerate(watch.shares) if share > 0.6)

    def stopped():
        try:
            workbook_bytes(sheets, "Van", datetime(2026, 5, 1, tzinfo=UTC), Watch(halfway))
        except Stop as error:
            return [error]
        raise AssertionError("it was not stopped")

    held = stopped()
    held.append(held)  # in a circle, as the error is where it is told later
    del held
    gc.collect()  # an archive that cannot be closed any more would say so now


def test_print_and_pages_made_at_once_are_the_print_made_alone(van):
    settings = in_force(van.record.settings)
    view = brief_view(van.record, settings, only=[van.record.areas[0].area_id])
    made = mask_brief_print(view, None, AT, {})
    assert made.pdf == mask_brief_pdf(view, None, AT)
    assert {page[:8] for page in made.pages} == {b"\x89PNG\r\n\x1a\n"}
    sheet = strip_sheet_view(van.record, settings, [van.record.zones[0].zone_id])
    pdf, pages = strip_sheet_print(sheet, None, AT)
    assert pdf == strip_sheet_pdf(sheet, None, AT)
    assert pages
