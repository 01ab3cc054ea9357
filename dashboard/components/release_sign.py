"""Signatures of the release: the release itself by two people, hazards tested, and what is overruled by name and reason."""

from __future__ import annotations

import streamlit as st

from bodymap.release.blockers import BY_NAME_ONLY, CODE_WORDS
from dashboard import actions_release
from dashboard.components import fields, keep_signing, keep_state
from dashboard.loaders import Opened
from dashboard.loaders import keep_and_strip as loaders
from dashboard.state import Workspace
from dashboard.words import count

_KINDS = {"release": "Sign the release", "hazards": "Hazards tested", "override": "Overrule"}


def show(now: Opened, workspace: Workspace) -> None:
    """What is signed, and by whom."""
    if not keep_signing.writable(now):
        return
    kept = keep_state.current()
    with st.container(key="keep_signing_box", border=True):
        kept.signing = fields.segments("Sign", _KINDS, "keep_signing", kept.signing)
        ask = {"release": _release, "hazards": _hazards, "override": _override}[kept.signing]
        ask(now, workspace)


def _ready(now: Opened, workspace: Workspace) -> list[str]:
    releases = loaders.releases(now)
    return [zone for zone in workspace.chosen if releases[zone].ready and not releases[zone].signed]


def _release(now: Opened, workspace: Workspace) -> None:
    kept, ready = keep_state.current(), _ready(now, workspace)
    st.markdown(f"**Chosen: {keep_signing.chosen_words(now, workspace)}**")
    waiting = len(workspace.chosen) - len(ready)
    if waiting:
        st.caption(f"{count(waiting, 'chosen zone')} cannot be signed now: blocked still, or signed by two already.")
    st.caption("Two different people sign. With the second name the as-found entries of the zone are closed.")
    kept.note = fields.line("Note", "keep_note", kept.note, 500)
    keep_signing.name(workspace)
    of_zones = f" of {count(len(ready), 'zone')}" if ready else ""
    if st.button(f"Sign the release{of_zones}", type="primary", key="sign_release"):
        note, needed = kept.note.strip(), {"a chosen zone that only waits for signatures": ready, "who signs": workspace.by}
        _done(
            keep_signing.save(
                workspace,
                lambda: actions_release.sign_release(now, ready, by=workspace.by, note=note, seen=workspace.seen),
                f"Release of {count(len(ready), 'zone')} signed by {workspace.by}",
                needed,
                ("keep_note",),
            )
        )


def _hazards(now: Opened, workspace: Workspace) -> None:
    kept, record = keep_state.current(), now.record
    parts = dict.fromkeys(record.zone[zone].part_id for zone in workspace.chosen)
    subjects = {"vehicle": "the whole vehicle"}
    subjects |= {part: f"part: {record.part[part].name}" for part in parts}
    subjects |= {zone: f"zone: {record.zone[zone].title}" for zone in workspace.chosen}
    if kept.subject not in subjects:
        kept.subject = "vehicle"
    kept.subject = fields.one_of("Tested is *", subjects, "keep_subject", kept.subject)
    st.caption("For lead, chromate and, in old sealer and deadener, asbestos. Local law decides what a test is.")
    kept.note = fields.line("What was found *", "keep_note", kept.note, 500)
    keep_signing.name(workspace)
    if st.button("Sign that it was tested", type="primary", key="sign_hazards"):
        note, subject = kept.note.strip(), kept.subject
        _done(
            keep_signing.save(
                workspace,
                lambda: actions_release.sign(
                    now, [subject], "hazards tested", by=workspace.by, note=note, seen=workspace.seen
                ),
                "Hazards tested",
                {"what was found": note, "who signs": workspace.by},
                ("keep_note",),
            )
        )


def _override(now: Opened, workspace: Workspace) -> None:
    kept, releases = keep_state.current(), loaders.releases(now)
    standing = {blocker.code for zone in workspace.chosen for blocker in releases[zone].blockers}
    names = {code: words for code, words in CODE_WORDS.items() if code in standing}
    st.markdown(f"**Chosen: {keep_signing.chosen_words(now, workspace)}**")
    kept.override_codes = [code for code in kept.override_codes if code in names]
    held = kept.override_codes
    kept.override_codes = fields.some_of("Overrule *", names, "keep_override", held, placeholder="What stands against it")
    if set(kept.override_codes) & BY_NAME_ONLY:
        st.warning("You overrule another person's signature, or a decision to keep. It stays on record under your name.")
    kept.note = fields.lines("Reason *", "keep_note", kept.note, 2000)
    keep_signing.name(workspace)
    if st.button("Overrule by name and reason", type="primary", key="sign_override"):
        reason, codes = kept.note.strip(), list(kept.override_codes)
        # Only where one of them stands: an override is no blank cheque for zones it was not meant for.
        zones = [zone for zone in workspace.chosen if {one.code for one in releases[zone].blockers} & set(codes)]
        done = keep_signing.save(
            workspace,
            lambda: actions_release.save_override(now, zones, codes, by=workspace.by, reason=reason, seen=workspace.seen),
            f"Overruled for {count(len(zones), 'zone')}",
            {"what is overruled": codes, "the reason": reason, "who overrules": workspace.by},
            ("keep_note", "keep_override"),
        )
        if done:
            kept.override_codes = []
        _done(done)


def _done(done: bool) -> None:  # noqa: FBT001 - what a save gave back
    if done:
        keep_state.current().note = ""
        st.rerun()
