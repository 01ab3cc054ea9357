"""Everything the screens read, each thing read and reckoned once for each revision of the record.

The only place with Streamlit's caches. Records, views and figures are frozen or never changed after they are made, so
they are shared between windows (`cache_resource`) and not copied at each run. A record file is touched through the
store only: opening its path by any other means would drop the locks that protect it.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import plotly.graph_objects as go
import streamlit as st
from PIL import Image, ImageOps

from bodymap.briefs.mask_brief import mask_brief_pdf, mask_brief_png, unprintable
from bodymap.errors import BodymapError
from bodymap.exchange.open_folder import FolderContent, read_folder
from bodymap.film.summary import ZoneFilm, zone_film
from bodymap.geometry.areas import AreasReport, areas_of
from bodymap.model import Head, JournalEntry, Record
from bodymap.model.journal import head_of
from bodymap.settings import Settings, in_force
from bodymap.store.record_file import RecordFile
from bodymap.views import draft as drafts
from bodymap.views.brief import BriefView, brief_view
from bodymap.views.draft import Draft, area_sizes
from bodymap.views.sheet import SheetChoice, SheetLayout, lay_out, sheet_view
from bodymap.views.sheet_extent import Bounds, bounds_of
from bodymap.views.totals import Totals, next_step, totals_of
from bodymap.views.zone_card import ZoneCard, zone_card
from dashboard.figures.framing import framed
from dashboard.figures.sheet import sheet_figure as drawn_sheet
from dashboard.state import CHOSEN_ZONES, AreaForm, Workspace

_REVISIONS = 4
_VIEWS = 32
_PICTURES = 256
_THUMBNAIL_PX = 480


@dataclass(frozen=True)
class Opened:
    """A record as it stands at one revision. `read_only`: why nothing can be saved to it; empty: it can."""

    path: Path
    revision: int
    record: Record
    journal: tuple[JournalEntry, ...]
    head: Head
    settings: Settings
    notes: tuple[str, ...]
    read_only: str


def record_path() -> Path:
    """The record this server was started on: the last argument."""
    if len(sys.argv) < 2:
        raise BodymapError("no record was named; start with: bodymap open RECORD")
    return Path(sys.argv[-1])


def opened() -> Opened:
    """The record as it stands now."""
    path = record_path()
    if path.is_dir():
        return _folder(path, _folder_revision(path))
    return _file(path, RecordFile(path).revision())


@st.cache_resource(max_entries=_REVISIONS, show_spinner=False)
def _file(path: Path, revision: int) -> Opened:
    file = RecordFile(path)
    record, journal = file.record(), file.journal()
    return Opened(path, revision, record, journal, head_of(journal), in_force(record.settings), (), "")


@st.cache_resource(max_entries=_REVISIONS, show_spinner=False)
def _folder(path: Path, revision: int) -> Opened:
    content = _folder_content(path, revision)
    record, journal = content.record, content.journal
    why = "This is an open folder: it is shown and not changed. Take it in to a record file to work on it."
    return Opened(path, revision, record, journal, head_of(journal), in_force(record.settings), content.notes, why)


@st.cache_resource(max_entries=_REVISIONS, show_spinner=False)
def _folder_content(path: Path, revision: int) -> FolderContent:  # noqa: ARG001 - the revision is part of the cache's key
    return read_folder(path)


def _folder_revision(path: Path) -> int:
    """Changes when a file of the folder does."""
    return max(file.stat().st_mtime_ns for file in (path, *path.iterdir()))


@st.cache_resource(max_entries=_REVISIONS, show_spinner=False)
def faults_of(path: Path, revision: int, asked: int) -> tuple[str, ...]:  # noqa: ARG001 - parts of the cache's key
    """What is wrong with the record file and its journal; nothing: it is whole. `asked` asks again."""
    return () if path.is_dir() else tuple(RecordFile(path).verify())


def media_paths(now: Opened) -> Mapping[str, Path]:
    """Where the media files of a record lie, by name."""
    if now.path.is_dir():
        return _folder_content(now.path, now.revision).media
    file = RecordFile(now.path)
    return {item.name: file.media_path(item.name) for item in now.record.media}


@st.cache_resource(max_entries=_PICTURES, show_spinner=False)
def thumbnail(path: Path) -> bytes | None:
    """A small PNG of a picture, upright; None where the file is no picture that can be read."""
    try:
        with Image.open(path) as picture:
            picture.thumbnail((_THUMBNAIL_PX, _THUMBNAIL_PX))
            small = ImageOps.exif_transpose(picture).convert("RGB")
    except (OSError, ValueError, Image.DecompressionBombError):
        return None
    out = io.BytesIO()
    small.save(out, "PNG")
    return out.getvalue()


# --- what is reckoned from a record: each takes the record as `_now` and is told apart by path and revision --------------


@st.cache_resource(max_entries=_REVISIONS, show_spinner=False)
def _areas(path: Path, revision: int, _now: Opened) -> AreasReport:
    return areas_of(_now.record)


def totals(now: Opened, chosen: tuple[str, ...]) -> Totals:
    """Totals of the chosen zones; of the vehicle where none is chosen."""
    return totals_of(now.record, _areas(now.path, now.revision, now), set(chosen) or None)


@st.cache_resource(max_entries=_REVISIONS, show_spinner=False)
def _next_step(path: Path, revision: int, _now: Opened) -> str:
    return next_step(_now.record)


def what_next(now: Opened) -> str:
    """What to do next, in one line."""
    return _next_step(now.path, now.revision, now)


@st.cache_resource(max_entries=_VIEWS, show_spinner=False)
def _layout(path: Path, revision: int, kind: str, _now: Opened) -> SheetLayout:
    return lay_out(_now.record, kind)


def layout(now: Opened, kind: str) -> SheetLayout:
    """How the drawings of one sheet are laid out."""
    return _layout(now.path, now.revision, kind, now)


@st.cache_resource(max_entries=_VIEWS, show_spinner=False)
def _sheet(path: Path, revision: int, choice: SheetChoice, theme: str, look_at: str, touch: str, _now: Opened) -> go.Figure:
    view = sheet_view(_now.record, choice, _now.settings)
    figure = drawn_sheet(view, theme)
    chosen = tuple(choice.selected) if look_at == CHOSEN_ZONES else ()
    bounds = bounds_of(_now.record, layout(_now, choice.kind), look_at if not chosen else "", chosen)
    return framed(figure, bounds, touch)


def sheet_figure(now: Opened, workspace: Workspace, theme: str) -> go.Figure:
    """The map as this window wants it. Shared: take a copy to draw on."""
    choice = SheetChoice(
        kind=workspace.sheet,
        tint=workspace.tint,
        coat_id=workspace.coat_id if workspace.tint == "coat" else None,
        marks=frozenset(workspace.marks),
        selected=frozenset(workspace.chosen),
    )
    return _sheet(now.path, now.revision, choice, theme, workspace.look_at, workspace.touch, now)


@st.cache_resource(max_entries=_PICTURES, show_spinner=False)
def _card(path: Path, revision: int, zone_id: str, _now: Opened) -> ZoneCard:
    return zone_card(_now.record, zone_id, _now.settings)


def card(now: Opened, zone_id: str) -> ZoneCard:
    """What the card of one zone says."""
    return _card(now.path, now.revision, zone_id, now)


@st.cache_resource(max_entries=_REVISIONS, show_spinner=False)
def _films(path: Path, revision: int, _now: Opened) -> tuple[ZoneFilm, ...]:
    record = _now.record
    return tuple(zone_film(record, zone.zone_id) for zone in record.zones if record.readings_of.get(zone.zone_id))


def films(now: Opened, chosen: tuple[str, ...]) -> tuple[ZoneFilm, ...]:
    """Film of the zones that have readings; of the chosen ones only where some are."""
    return tuple(film for film in _films(now.path, now.revision, now) if not chosen or film.zone_id in chosen)


def edge_pieces(now: Opened, zone_id: str) -> tuple[str, ...]:
    """The pieces of a zone's boundary, in words."""
    return drafts.edge_pieces(now.record, zone_id, now.settings)


def draft(now: Opened, form: AreaForm, ring: tuple[tuple[float, float], ...] | None, sheet: str) -> Draft | None:
    """The area that the form describes; None while too little is said. Raises BodymapError, in words."""
    record = now.record
    if form.way == "drawn" and ring:
        return drafts.drawn_draft(record, layout(now, sheet), ring, only_inside=form.only_inside)
    if form.way == "band" and form.zone_id and form.width_mm:
        place = layout(now, record.drawing[record.zone[form.zone_id].drawing_id].kind)
        return drafts.band_draft(record, place, form.zone_id, form.piece, form.width_mm, now.settings)
    if form.way == "offsets" and form.datum_id:
        place = layout(now, record.drawing[record.datum[form.datum_id].drawing_id].kind)
        return drafts.offset_draft(record, place, form.datum_id, form.stations, only_inside=form.only_inside)
    return None


@st.cache_resource(max_entries=_REVISIONS, show_spinner=False)
def _area_sizes(path: Path, revision: int, _now: Opened) -> Mapping[str, float]:
    return area_sizes(_now.record)


def drawn_sizes(now: Opened) -> Mapping[str, float]:
    """Drawn mm² of each kept or masked area, by id."""
    return _area_sizes(now.path, now.revision, now)


@dataclass(frozen=True)
class MaskBrief:
    """The mask brief as it is shown and as it is printed. `notes`: what the print cannot show."""

    view: BriefView
    pdf: bytes
    pages: tuple[bytes, ...]
    notes: tuple[str, ...]


@st.cache_resource(max_entries=2, show_spinner="Setting the sheets …")
def _mask_brief(path: Path, revision: int, _now: Opened) -> MaskBrief:
    view = brief_view(_now.record, _now.settings)
    head, printed_at = (_now.head if _now.head.count else None), moment()
    pages = mask_brief_png(view, head, printed_at)
    return MaskBrief(view, mask_brief_pdf(view, head, printed_at), tuple(pages), unprintable(view))


def mask_brief(now: Opened) -> MaskBrief:
    """The mask brief of the record as it stands."""
    return _mask_brief(now.path, now.revision, now)


def moment() -> str:
    """Now, in UTC, as the journal and the prints write it."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
