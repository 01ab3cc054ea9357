"""A piece of evidence: a photo, a paper, what somebody said; with date, who, rights, and what it speaks of."""

from __future__ import annotations

import hashlib
from functools import partial

import streamlit as st

from bodymap.exchange.photo import MOST_MB
from bodymap.model import Source
from bodymap.model.source import SourceKind
from dashboard import actions_survey
from dashboard.components import fields, survey_fields, survey_photo, survey_save
from dashboard.components.survey_state import SourceForm, Survey
from dashboard.loaders import Opened
from dashboard.state import Workspace

KINDS: dict[SourceKind, str] = {
    "photo": "Photo",
    "document": "Document",
    "drawing": "Drawing",
    "sample": "Sample",
    "statement": "Statement",
    "measurement": "Measurement",
}
_PDF = b"%PDF-"


def show(now: Opened, workspace: Workspace, survey: Survey) -> None:
    """The form."""
    form = survey.source
    form.kind = survey_fields.choice("Kind *", KINDS, "source_kind", form.kind)
    form.title = fields.line("What it is *", "source_title", form.title, 200)
    names = about_names(now)
    about = form.about if form.about is not None else [zone for zone in workspace.chosen if zone in names]
    # The zones chosen on the map are taken until something else is chosen here.
    chosen = fields.some_of("Speaks of", names, f"source_about_{'_'.join(about)}", [one for one in about if one in names])
    if chosen != about:
        form.about = chosen
    survey_photo.show(survey, form, "source")
    _document(survey, form)
    with st.container(horizontal=True, vertical_alignment="bottom"):
        form.date = fields.line("Date (YYYY, YYYY-MM or YYYY-MM-DD)", "source_date", form.date, 60)
        form.by = fields.line("Made or said by", "source_by", form.by, 120)
        form.rights = fields.line("Rights", "source_rights", form.rights, 200)
    survey_save.foot(
        now,
        workspace,
        survey,
        what="source",
        needed={
            "its kind": form.kind,
            "what it is": form.title.strip(),
            "a date that is not still to come": not survey_fields.is_to_come(form.date) or None,
        },
        build=partial(_entries, form, tuple(chosen), workspace),
        why=f"Survey: evidence, {form.title.strip()}",
    )


def about_names(now: Opened) -> dict[str, str]:
    """Everything that a source can speak of, by id."""
    record = now.record
    names = {one.zone_id: f"{one.title} ({one.zone_id})" for one in record.zones}
    names |= {one.part_id: f"part {one.name} ({one.part_id})" for one in record.parts}
    names |= {one.stack_id: f"stack {one.stack_id}" for one in record.stacks}
    names |= {one.coat_id: f"coat {one.name} ({one.coat_id})" for one in record.coats}
    names |= {one.finding_id: f"finding {one.finding_id}, {one.kind}" for one in record.findings}
    names |= {one.line_id: f"line {one.line_id}" for one in record.lines}
    return names | {one.area_id: f"area {one.title} ({one.area_id})" for one in record.areas}


def _document(survey: Survey, form: SourceForm) -> None:
    """A paper as PDF, where the evidence is no photo."""
    if form.photo or form.kind in (None, "photo"):
        return
    if form.document:
        st.caption(f"A PDF of {len(form.document) / 1e6:.1f} MB goes with it; not saved yet.")
        if st.button("Another file", key="source_pdf_again"):
            form.document = None
            st.rerun()
        return
    told = st.file_uploader(
        f"Or a PDF (up to {MOST_MB} MB)", type=["pdf"], key=f"source_pdf_{survey.taken}", max_upload_size=MOST_MB
    )
    if told is None:
        return
    data = told.getvalue()
    if not data.startswith(_PDF):
        st.error("Not taken. The file: found no PDF; allowed: a PDF, or a picture in the field above.")
    elif len(data) > MOST_MB * 1_000_000:
        st.error(f"Not taken. The file: found {len(data) / 1e6:.1f} MB; allowed: up to {MOST_MB} MB.")
    else:
        form.document = data
        survey.taken += 1
        st.rerun()


def _entries(form: SourceForm, about: tuple[str, ...], workspace: Workspace, now: Opened) -> list:
    source = Source(
        source_id=actions_survey.next_ident(now, "source"),
        kind=form.kind,
        title=form.title.strip(),
        date=form.date.strip() or (form.photo.taken if form.photo else None),
        by=form.by.strip() or (workspace.by if form.kind == "photo" and form.photo else None),
        rights=form.rights.strip() or None,
        about=about,
    )
    if form.photo:
        return list(actions_survey.with_photo(now, form.photo, source))
    if form.document:
        sha256 = hashlib.sha256(form.document).hexdigest()
        return list(actions_survey.with_file(now, form.document, ".pdf", sha256, source))
    return [source]
