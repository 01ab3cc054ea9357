"""Found against planned: violations first, then every face that ends other than wanted, with the guilty step."""

from __future__ import annotations

from functools import partial

import streamlit as st

from bodymap.views.plan_sheet import coats_named
from bodymap.views.plan_words import VERDICTS, stack_ids, stack_said, step_words, steps_said
from dashboard.components import fields
from dashboard.components.rehearsal_state import Rehearsal
from dashboard.loaders import Opened, rehearsal
from dashboard.loaders.rehearsal import Run
from dashboard.words import count, plain, square_metres

_GUILTY_MOST = 6


def show(now: Opened, mine: Rehearsal, shown: Run, at: int) -> None:
    """What the plan comes to at its end."""
    st.subheader("Found against planned", anchor=False)
    _violations(shown)
    _tinted(shown)
    if shown.rows:
        _guilty(mine, shown)
        _table(shown)
    elif shown.plan.steps and shown.result.total_mm2:
        st.success("Every face that has a goal ends as wanted, and no step goes over a kept area.")
    _face(now, mine, shown, at)
    _notes(now, shown)


def _violations(shown: Run) -> None:
    held = [row for row in shown.rows if row.violation]
    if held:
        steps = sorted({number for row in held for number in row.blame})
        st.error(
            f"**{count(len(held), 'kept area is', 'kept areas are')} painted over**, by {steps_said(steps)}: "
            f"{plain('; '.join(row.face for row in held))}.",
            icon=":material/block:",
        )


def _tinted(shown: Run) -> None:
    for one in shown.tinted:
        signed = f" Signed for: {plain(one.accepted)}." if one.accepted else ""
        st.warning(f"{plain(one.words)}{signed}", icon=":material/format_paint:")


def _guilty(mine: Rehearsal, shown: Run) -> None:
    """The guilty steps, each with a way to it."""
    blame: dict[int, int] = {}
    for row in shown.rows:
        for number in row.blame:
            blame[number] = blame.get(number, 0) + 1
    for number in sorted(blame)[:_GUILTY_MOST]:
        with st.container(horizontal=True, vertical_alignment="center"):
            st.button(
                f"Go to step {number}", key=f"rehearsal_go_{number}", on_click=partial(mine.go, shown.plan.place_of(number))
            )
            words = step_words(shown.record, shown.plan.steps[shown.plan.place_of(number) - 1], short=True)
            st.markdown(f"{plain(words)}: **{count(blame[number], 'face')} wrong**", width="stretch")
    if len(blame) > _GUILTY_MOST:
        st.caption(f"And {count(len(blame) - _GUILTY_MOST, 'more guilty step')}: see the table.")


def _table(shown: Run) -> None:
    with st.container(key="rehearsal_table"):
        st.table(
            [
                {
                    "Wrong": f":red[**{plain(row.what)}**]",
                    "Face": plain(row.face),
                    "By": steps_said(row.blame),
                    "Ends as": "painted over" if row.violation else plain(stack_ids(row.ends_as)),
                    "Wanted": "as found" if row.violation else plain(stack_ids(row.wanted)),
                    "Drawn": square_metres(row.area_mm2),
                }
                for row in shown.rows
            ],
            border="horizontal",
        )
    st.caption(plain(coats_named(shown.record, shown.rows)))


def _face(now: Opened, mine: Rehearsal, shown: Run, at: int) -> None:
    """One face at the step that is shown, and at the end."""
    names = {zone.zone_id: f"{zone.title} ({zone.zone_id})" for zone in now.record.zones}
    mine.zone_id = fields.one_of(
        "Face", names, "rehearsal_face", mine.zone_id or None, placeholder="Touch a face on the map, or type its name"
    ) or ""  # fmt: skip
    if not mine.zone_id:
        return
    number = shown.plan.number_at(at)
    here = rehearsal.pieces_at(now, shown.plan, number)
    for when, result in ((f"after step {number}", here), ("at the end", shown.result)):
        for piece in (*result.pieces, *result.others):
            if piece.zone_id == mine.zone_id:
                kept = ", kept area" if piece.kept else ""
                unseen = "" if piece.known else "; below it: not seen"
                layers = plain(stack_said(shown.record, piece.stack))
                st.markdown(f"**{when}**, {square_metres(piece.area_mm2)}{kept}: {layers}{unseen}")
                if result is shown.result and piece.goal is not None:
                    verdict = VERDICTS[piece.verdict or "match"]
                    by = f", {steps_said(piece.steps)}" if piece.verdict != "match" else ""
                    st.markdown(f"**wanted**: {plain(stack_said(shown.record, piece.goal))} – **{verdict}**{by}")


def _notes(now: Opened, shown: Run) -> None:
    result = shown.result
    lines = list(result.notes)
    for work in result.hand_work:
        title = now.record.zone[work.zone_id].title
        lines.append(f"step {work.step}: {square_metres(work.area_mm2)} of {title} by hand, the margin of a kept area")
    if result.without_goal:
        titles = ", ".join(now.record.zone[zone].title for zone in result.without_goal)
        lines.append(f"not compared, no goal stated: {titles}")
    if lines:
        with st.expander(f"Noted ({len(lines)})", key="rehearsal_noted"):
            st.text("\n".join(lines))
