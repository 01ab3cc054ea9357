"""Tape and film of all masks together, against lengths and areas reckoned by hand and against the count by step.

10 % tape lap and 20 % film lap: common practice, no source.
"""

from __future__ import annotations

import pytest

from bodymap.model import Area, Step
from bodymap.settings import in_force
from bodymap.views.brief import brief_view
from bodymap.views.mask_materials import mask_materials, tape_of_all
from tests.views.brief_specimen import PANEL, STEPS, WITNESS, rect, van

DEFAULTS = in_force()


def metres(view):
    return sum(row.length_m for row in view.tape)


def test_totals_count_a_covered_area_not_at_all_and_one_put_on_twice_twice():
    # Witness inside the mask; boundary of the mask 2 × (300 + 100) mm, surface 0.03 m² on a zone of ratio 1.04.
    over = Area(area_id="M9", drawing_id="left", purpose="mask", edge="hard", shape=rect(3250, 880, 300, 100))
    once = (Step(step=1, action="mask", target=("M9",)), Step(step=2, action="coat", target=("silver",)))
    again = (Step(step=3, action="unmask", target=("M9",)), Step(step=4, action="mask", target=("M9",)))
    for steps, times in ((once, 1), ((*once, *again), 2)):
        view = brief_view(van(areas=(WITNESS, over), steps=steps), DEFAULTS)
        assert metres(view) == pytest.approx(times * 0.8 * 1.10)
        assert view.behind_m == pytest.approx(times * 0.8 * 1.10)
        assert view.film_with_lap_m2 == pytest.approx(times * 0.03 * 1.04 * 1.20)
        assert "Covered by another mask, not added: K4 (by M9)." in view.counting
    assert "Taped anew each time it goes on: M9 2 times." in view.counting


def test_a_kept_area_that_a_later_coat_would_hit_is_counted():
    over = Area(area_id="M9", drawing_id="left", purpose="mask", edge="hard", shape=rect(3250, 880, 300, 100))
    steps = (
        Step(step=1, action="mask", target=("M9",)), Step(step=2, action="coat", target=("silver",)),
        Step(step=3, action="unmask", target=("M9",)), Step(step=4, action="coat", target=("blue",)),
    )  # fmt: skip
    view = brief_view(van(areas=(WITNESS, over), steps=steps), DEFAULTS)
    assert metres(view) == pytest.approx((0.8 + 0.52) * 1.10)
    assert view.counting == ("No step masks it, counted once: K4.",)


def test_page_one_and_the_count_by_step_are_the_same_where_every_area_is_planned():
    again = (Step(step=8, action="unmask", target=("K4",)), Step(step=9, action="mask", target=("K4",)))
    record = van(areas=(WITNESS, PANEL), steps=(*STEPS, *again))
    view, by_step = brief_view(record, DEFAULTS), mask_materials(record, DEFAULTS)
    assert [row.area_id for row in by_step] == ["K4", "M1", "K4"]
    tapes = {row.tape: row.length_m for row in view.tape} | {"wide tape behind": view.behind_m}
    assert tapes == pytest.approx({row.tape: row.length_m for row in tape_of_all(by_step)})
    assert view.film_with_lap_m2 == pytest.approx(sum(row.film_m2 for row in by_step))
