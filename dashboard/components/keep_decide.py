"""Decide by zone: keep, clean, as built or better, signed by name and reason."""

from __future__ import annotations

import streamlit as st

from bodymap.model.zone import Intent
from bodymap.views.zone_card import INTENT_WORDS
from dashboard import actions_release
from dashboard.components import fields, keep_signing, keep_state, survey_fields
from dashboard.loaders import Opened
from dashboard.loaders import keep_and_strip as loaders
from dashboard.state import Workspace
from dashboard.words import count, plain

_NOT_STATED = "not stated"
_MEANS: dict[Intent, str] = {
    "keep": "Nothing is taken off and nothing is put on. Signed as a decision to keep.",
    "clean": "Cleaned, never stripped or painted. Signed as a decision to keep.",
    "as_built": "Stripped and painted again as it was found, its faults of making included.",
    "better": "Stripped and finished better than it was built. What was not so before is told in the hand-over file.",
}


def show(now: Opened, workspace: Workspace) -> None:
    """How the zones stand, and a decision on those that are chosen."""
    if workspace.chosen:
        _standing(now, workspace)
    else:
        _counts(now)
    if keep_signing.writable(now):
        _form(now, workspace)


def _counts(now: Opened) -> None:
    rows = []
    for intent, words in [*INTENT_WORDS.items(), (None, _NOT_STATED)]:
        zones = [zone for zone in now.record.zones if zone.intent == intent]
        names = "; ".join(zone.title for zone in zones[:3]) + (" …" if len(zones) > 3 else "")
        rows.append({"Intent": words, "Zones": str(len(zones)), "": plain(names) if zones else ""})
    st.table(rows, border="horizontal")
    st.caption("Touch a zone, or draw a lasso or box round several, and decide for all of them at once.")


def _standing(now: Opened, workspace: Workspace) -> None:
    releases = loaders.releases(now)
    rows = []
    for zone_id in workspace.chosen:
        zone = now.record.zone[zone_id]
        signed = [f"{one.by}, {one.on}" for one in now.record.signoffs if one.subject == zone_id and one.what == "keep"]
        rows.append(
            {
                "Zone": plain(zone.title),
                "Intent": INTENT_WORDS[zone.intent] if zone.intent else _NOT_STATED,
                "Signed to keep": plain("; ".join(signed)) if signed else "–",
                "Release": releases[zone_id].state,
            }
        )
    st.table(rows, border="horizontal")


def _form(now: Opened, workspace: Workspace) -> None:
    kept = keep_state.current()
    with st.container(key="keep_decision", border=True):
        st.markdown(f"**Decision for {keep_signing.chosen_words(now, workspace)}**")
        kept.intent = survey_fields.choice("Intent *", INTENT_WORDS, "keep_intent", kept.intent)
        if kept.intent:
            st.caption(_MEANS[kept.intent])
            _warn(now, workspace, kept.intent)
        kept.reason = fields.lines("Why *", "keep_reason", kept.reason, 2000)
        keep_signing.name(workspace)
        if st.button("Save and sign", type="primary", key="save_intent"):
            _save(now, workspace)


def _warn(now: Opened, workspace: Workspace, intent: Intent) -> None:
    releases = loaders.releases(now)
    locked = [zone for zone in workspace.chosen if releases[zone].signed]
    if locked:
        st.warning(f"{count(len(locked), 'zone')} of these {'is' if len(locked) == 1 else 'are'} released to strip already.")
    planned = [zone for zone in workspace.chosen if releases[zone].methods]
    if planned and intent in ("keep", "clean"):
        st.warning(f"The plan strips {count(len(planned), 'zone')} of these: take them out of its strip steps.")
    signed = {one.subject for one in now.record.signoffs if one.what == "keep"} & set(workspace.chosen)
    if signed and intent not in ("keep", "clean"):
        st.warning("Somebody has signed to keep: that signature stays on record, and this decision goes against it.")


def _save(now: Opened, workspace: Workspace) -> None:
    kept = keep_state.current()
    needed = {"zones (choose them)": workspace.chosen, "the intent": kept.intent}
    needed |= {"why": kept.reason.strip(), "who decides": workspace.by}
    done = keep_signing.save(
        workspace,
        lambda: actions_release.save_intent(
            now, workspace.chosen, kept.intent, by=workspace.by, why=kept.reason.strip(), seen=workspace.seen
        ),
        "Decided",
        needed,
        ("keep_intent", "keep_reason"),
    )
    if done:
        kept.intent, kept.reason = None, ""
        st.rerun()
