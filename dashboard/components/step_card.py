"""The step card of a tinted coat: its fit, how much film it forgives, what a gauge sees, the body zone by zone."""

from __future__ import annotations

from dataclasses import dataclass

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.finish.tint_report import TintReport
from bodymap.views.tint_curve import Across, AcrossRow
from dashboard import state
from dashboard.components import fields
from dashboard.components.rehearsal_fields import decimal
from dashboard.loaders import Opened, rehearsal
from dashboard.state import forget
from dashboard.words import count, plain

DEMO_CARD = "step_card.csv"
_VERDICTS = {"differs": ":red[**differs**]", "alike": "alike", "cannot tell": "cannot tell"}
_STILL = {"displayModeBar": False, "scrollZoom": False, "doubleClick": False}


@dataclass
class StepCardWork:
    """The card that was taken in and what is asked of it. `delta_e`, `at_um`, `pass_um`, `reading_um`: None: not stated."""

    data: bytes | None = None
    name: str = ""
    coat_id: str | None = None
    at_um: float | None = None
    delta_e: float | None = None
    pass_um: float | None = None
    reading_um: float | None = None
    reference_um: float | None = None


def show(now: Opened) -> None:
    """The card."""
    st.subheader("Step card", anchor=False)
    mine = state.of(StepCardWork)
    _take(now, mine)
    if mine.data is None:
        st.info(
            "A step card is the tinted coat sprayed in steps over its true ground, each step's film gauged on a coupon and "
            "its colour read at the bench. Columns: um and L, a, b; or um and r, g, b. The row with um 0 is the ground."
        )
        return
    tinted = {coat.coat_id: f"{coat.coat_id} · {coat.name}" for coat in now.record.coats if coat.kind == "tinted"}
    left, right = st.columns([10, 13], gap="medium")
    with left:
        _ask(now, mine, tinted)
    try:
        card = rehearsal.step_card(now, mine.data, mine.name, mine.at_um, mine.delta_e, mine.pass_um, mine.reading_um)
    except BodymapError as error:
        st.error("The step card was not taken in.")
        st.text(str(error))
        return
    with left:
        _said(card.report)
    with right:
        theme = state.theme()
        with st.container(key="tint_curve"):
            st.plotly_chart(
                rehearsal.tint_chart(card, theme), key="tint_chart", theme=None, config=_STILL,
                alt="Colour difference against film of the tinted coat, with the band that is allowed.",
            )  # fmt: skip
        st.caption("Line: the law fitted, dashed beyond the card. Points: steps as read. Foot: the colours themselves.")
    if mine.coat_id:
        _across(rehearsal.across(now, card.report, mine.coat_id, mine.reference_um))


def _take(now: Opened, mine: StepCardWork) -> None:
    with st.container(horizontal=True, vertical_alignment="bottom"):
        near = rehearsal.beside(now, DEMO_CARD)
        if near is not None and st.button(f"Take {DEMO_CARD}", key="step_card_beside"):
            mine.data, mine.name = rehearsal.bytes_of(near), DEMO_CARD
        file = st.file_uploader("Step card (CSV)", type="csv", key="step_card_file", max_upload_size=5)
    if file is not None and (file.name, file.getvalue()) != (mine.name, mine.data) and st.button("Take this card in"):
        mine.data, mine.name = file.getvalue(), file.name
    if mine.name:
        st.markdown(f"Card: **{plain(mine.name)}**")


def _ask(now: Opened, mine: StepCardWork, tinted: dict[str, str]) -> None:
    """What is asked: coat, film, ΔE, pass, build."""
    coat_id = fields.one_of("Tinted coat", tinted, "step_card_coat", mine.coat_id, placeholder="not stated")
    if coat_id != mine.coat_id:
        mine.coat_id = coat_id
        coat = now.record.coat.get(coat_id or "")
        usual = [um for um in (coat.um_low, coat.um_high) if um is not None] if coat else []
        mine.at_um = coat.film_um if coat and coat.film_um else (sum(usual) / len(usual) if usual else mine.at_um)
        mine.pass_um = coat.pass_um if coat and coat.pass_um else mine.pass_um
        forget("step_card_figure")
    with st.container(horizontal=True):
        mine.at_um = decimal("Film asked about, µm", "step_card_figure_at", mine.at_um, 0.0, 2000.0, 1.0)
        mine.delta_e = decimal("ΔE allowed", "step_card_figure_de", mine.delta_e, 0.1, 20.0, 0.1)
        mine.pass_um = decimal("Film of a pass, µm", "step_card_figure_pass", mine.pass_um, 0.1, 500.0, 1.0)
        mine.reading_um = decimal("Gauge reads in all, µm", "step_card_figure_reading", mine.reading_um, 0.0, 5000.0, 10.0)
        mine.reference_um = decimal("Compare zones with, µm", "step_card_figure_ref", mine.reference_um, 0.0, 2000.0, 1.0)


def _said(report: TintReport) -> None:
    """Tolerance first, then the gauge, then the fit."""
    allowed, gauge, fit = report.tolerance, report.gauge, report.fit
    minus, plus = (f"{side:.1f}" if side is not None else "any" for side in (allowed.minus_um, allowed.plus_um))
    st.subheader(f"At {allowed.at_um:g} µm: −{minus} / +{plus} µm for ΔE {allowed.delta_e:g}", anchor=False)
    if report.effect:
        less = "" if report.effect.one_less is None else f"one pass less ΔE {report.effect.one_less:.1f}, "
        st.markdown(f"**A pass of {report.effect.pass_um:g} µm:** {less}one more ΔE {report.effect.one_more:.1f}.")
    words = plain(gauge.words[:1].upper() + gauge.words[1:]) + "."
    if gauge.sees is False:
        st.warning(words, icon=":material/exposure_plus_1:")
    else:
        st.info(words)
    st.table(
        {
            "Steps": f"{fit.steps}, up to {fit.range_um[1]:g} µm",
            "ΔE for each µm here": f"{report.slope_per_um:.2f}",
            "The law misses the steps by": f"ΔE {fit.rms_delta_e:.2f} (rms), at worst {fit.worst.delta_e:.2f} "
            f"at {fit.worst.um:g} µm",
        },
        border="horizontal",
    )
    for note in report.notes:
        st.caption(plain(note))


def _across(across: Across) -> None:
    st.subheader("Across the body, predicted from film", anchor=False)
    if not across.rows:
        st.caption("No zone with this coat has film readings.")
        return
    if across.reference_um is None:
        st.warning("No zone's film of this coat can be told from its readings; the reasons are below.")
    else:
        off = sum(row.across is not None and row.across.verdict == "differs" for row in across.rows)
        st.markdown(
            f"Against **{across.reference_um:.0f} µm**: **{count(off, 'zone')}** off by more than is allowed, wherever in "
            "its bounds the film lies."
        )
    with st.container(key="tint_across"):
        st.table([_row(row) for row in across.rows], border="horizontal")
    st.caption(
        "Film of the tinted coat = reading − the other coats, between its thin and its thick end. A difference that was "
        "there as found may be history: do not correct it because it is listed here."
    )


def _row(row: AcrossRow) -> dict[str, str]:
    film, across = row.film, row.across
    if across is None:
        return {"Face": plain(row.title), "Film µm": "cannot tell", "ΔE": "–", "Verdict": plain(row.why_not), "From": "–"}
    beyond = ", beyond the card" if across.beyond_card else ""
    return {
        "Face": plain(row.title),
        "Film µm": f"{film.um:.0f} ({film.low_um:.0f}–{film.high_um:.0f})",
        "ΔE": f"{across.delta_e:.1f} ({across.least_delta_e:.1f}–{across.most_delta_e:.1f}){beyond}",
        "Verdict": _VERDICTS[across.verdict],
        "From": f"{count(film.n, 'reading')}; {plain(film.taken_off)}",
    }
