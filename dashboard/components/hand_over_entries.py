"""The history of entries: looked for, newest first; one of them read whole, and held against another of the same thing."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import streamlit as st

from bodymap.model import JournalEntry
from bodymap.views.journal_words import KIND_WORDS, Asked, EntryWords, changes_between, found, of_same_thing
from dashboard.components import fields
from dashboard.components.hand_over_state import HandOver
from dashboard.loaders import Opened
from dashboard.loaders import hand_over as loaders
from dashboard.state import forget, held
from dashboard.words import NOT_STATED, count, plain

_ROW_PX, _MOST_PX = 44, 400
_LETTERS_MOST = 80
_NOTHING = 0


def show(now: Opened, mine: HandOver) -> None:
    """The filters, the table, and the entry that is read."""
    told = loaders.told(now)
    if not told:
        st.info("This record has no journal: nothing tells who entered what, and when.")
        return
    _filters(told, mine)
    since = mine.since.isoformat() if mine.since else ""
    rows = found(told, Asked(mine.by, mine.kind, mine.about, since))
    st.markdown(f"**{len(rows)} of {count(len(told), 'entry', 'entries')}**, newest first. Choose one to read it whole.")
    if rows:
        st.dataframe(
            [_row(one) for one in rows],
            hide_index=True,
            key=held("entries_table"),
            row_height=_ROW_PX,
            height=min(_ROW_PX * (len(rows) + 1) + 4, _MOST_PX),
            on_select=lambda: _touched(rows, mine),
            selection_mode="single-row",
            column_config={"No.": st.column_config.NumberColumn(format="%d", width=70)},
        )
    _read(now, told, mine)


def _filters(told: Sequence[EntryWords], mine: HandOver) -> None:
    hands = {"": "everybody", **{one.entry.by: one.entry.by for one in told}}
    there = {one.entry.kind for one in told}
    kinds = {"": "everything", **{kind: words for kind, words in KIND_WORDS.items() if kind in there}}
    with st.container(horizontal=True, vertical_alignment="bottom", key="entry_filters"):
        was = (mine.by, mine.kind, mine.about, mine.since)
        mine.by = fields.one_of("By", hands, "entries_by", mine.by, width=220) or ""
        mine.kind = fields.one_of("Of what", kinds, "entries_kind", mine.kind, width=260) or ""
        mine.about = st.text_input(
            "Id, name or reason", value=mine.about, key=held("entries_about"), max_chars=_LETTERS_MOST, width=260
        )
        mine.since = st.date_input("Since", value=mine.since, key=held("entries_since"), width=180, format="YYYY-MM-DD",
                                   min_value=date(1900, 1, 1), max_value=date(2200, 1, 1))  # fmt: skip
    if was != (mine.by, mine.kind, mine.about, mine.since):
        forget("entries_table")


def _row(one: EntryWords) -> dict[str, str | int]:
    """Shown as plain text by the table, which reads no markup."""
    entry = one.entry
    return {
        "No.": entry.seq,
        "When (UTC)": entry.at[:16].replace("T", " "),
        "By": entry.by,
        "What": f"{one.thing}: {one.did}",
        "Why": entry.why or NOT_STATED,
        "Hash": entry.hash[:12],
    }


def _touched(rows: Sequence[EntryWords], mine: HandOver) -> None:
    chosen = st.session_state[held("entries_table")].selection.rows
    mine.entry = rows[chosen[0]].entry.seq if chosen and chosen[0] < len(rows) else None
    mine.against = None
    forget("entry_")


def _read(now: Opened, told: Sequence[EntryWords], mine: HandOver) -> None:
    """One entry, chosen in the table or by its number."""
    number = st.number_input("Entry no.", value=mine.entry, min_value=1, max_value=len(told), step=1,
                             key=held("entry_number"), width=240, placeholder="none chosen")  # fmt: skip
    if number != mine.entry:
        mine.entry, mine.against = number, None
        forget("entry_against")
    if mine.entry is None:
        return
    one = told[mine.entry - 1]
    entry = one.entry
    with st.container(border=True, key="entry_card"):
        st.subheader(plain(f"Entry {entry.seq}: {one.thing}, {one.did}"), anchor=False)
        st.text(f"{entry.at} · by {entry.by}\nWhy: {entry.why or NOT_STATED}")
        st.markdown("Hash of this entry, and of the one before it:")
        st.code(f"{entry.hash}\n{entry.before}", language=None, wrap_lines=True)
        _changes(now, entry, mine)


def _changes(now: Opened, entry: JournalEntry, mine: HandOver) -> None:
    """What it says, held against another entry of the same thing: the one before it, if no other is chosen."""
    others = [one for one in of_same_thing(now.journal, entry) if one.seq != entry.seq]
    earlier = [one.seq for one in others if one.seq < entry.seq]
    against = mine.against if mine.against is not None else (earlier[-1] if earlier else _NOTHING)
    if others:
        names = {_NOTHING: "nothing: all that it says"}
        names |= {one.seq: f"entry {one.seq}, {one.at[:10]}, {one.by}" for one in others}
        mine.against = fields.one_of("Compared with", names, "entry_against", against, width=420)
        against = mine.against
    other = next((one for one in others if one.seq == against), None)
    # The later one comes last, whichever was chosen first.
    before, after = sorted((other, entry), key=lambda one: one.seq) if other else (None, entry)
    changes = changes_between(before, after)
    if before is None:
        st.table([{"Field": plain(one.field), "Says": plain(one.after)} for one in changes], border="horizontal")
    elif changes:
        st.table(
            [
                {
                    "Field": plain(one.field),
                    f"Entry {before.seq}": plain(one.before),
                    f"Entry {after.seq}": plain(one.after),
                }
                for one in changes
            ],
            border="horizontal",
        )
    else:
        st.markdown("They say the same.")
