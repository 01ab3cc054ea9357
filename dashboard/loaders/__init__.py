"""Everything the screens read, each thing read and reckoned once for each revision of the record.

The only place with Streamlit's caches. Records, views and figures are frozen or never changed after they are made, so
they are shared between windows (`cache_resource`) and not copied at each run. A record file is touched through the
store only: opening its path by any other means would drop the locks that protect it.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TypeVar

import plotly.graph_objects as go
import streamlit as st
from PIL import Image, ImageOps

from bodymap.errors import BodymapError
from bodymap.exchange.open_folder import FolderContent, read_folder
from bodymap.film.stories import film_stories
from bodymap.film.summary import ZoneFilm, zone_film
from bodymap.geometry.areas import AreasReport, areas_of
from bodymap.history.order import coat_order
from bodymap.history.read import History, read_history
from bodymap.history.set_aside import set_aside
from bodymap.model import Head, JournalEntry, Record
from bodymap.model.journal import head_of, out_of_step, record_after
from bodymap.settings import Settings, in_force
from bodymap.store.record_file import RecordFile
from bodymap.views import draft as drafts
from bodymap.views.coat_chart import CoatChart
from bodymap.views.coat_chart import coat_chart as ladder_chart
from bodymap.views.coat_order import CoatOrderView, coat_order_view
from bodymap.views.draft import Draft
from bodymap.views.film_witness import FilmWitness, film_witness
from bodymap.views.sheet import Bounds, SheetChoice, SheetLayout, SheetView, lay_out, sheet_view
from bodymap.views.sheet_extent import bounds_of, bounds_round
from bodymap.views.totals import Totals, next_step, totals_of
from bodymap.views.zone_card import ZoneCard, zone_card
from dashboard.figures.coat_chart import chart_figure
from dashboard.figures.fitted_table import fitted_figure
from dashboard.figures.framing import framed, mm_per_px
from dashboard.figures.ladder import ladder_figure
from dashboard.figures.sheet import sheet_said
from dashboard.state import CHOSEN_ZONES, DRAWN_SURFACE, AreaForm, Workspace

_REVISIONS = 4
_VIEWS = 32
_PICTURES = 256
_THUMBNAIL_PX = 360  # twice as large as it is shown
# Only these are opened: others (a page description, say) would run a program to be shown.
PICTURES = ("JPEG", "PNG", "TIFF", "WEBP", "GIF", "BMP")
_SHOWN_ONLY = "This is an open folder: it is shown and not changed. Take it in to a record file to work on it."
_F = TypeVar("_F", bound=Callable[..., object])


@dataclass(frozen=True)
class Opened:
    """A record as it stands at one revision.

    `stamp` tells this state of this record from every other; `revision` is what a writer has seen.
    `read_only`: why nothing can be saved to it; empty: it can.
    """

    path: Path
    stamp: str
    revision: int
    record: Record
    journal: tuple[JournalEntry, ...]
    head: Head
    settings: Settings
    notes: tuple[str, ...]
    read_only: str


def _told_apart(now: Opened) -> tuple[str, str]:
    return str(now.path), now.stamp


def once(max_entries: int, spinner: bool | str = False) -> Callable[[_F], _F]:  # noqa: FBT001, FBT002 - as Streamlit has it
    """Reckon once for each state of a record and each choice."""
    return st.cache_resource(max_entries=max_entries, show_spinner=spinner, hash_funcs={Opened: _told_apart})


def record_path() -> Path:
    """The record this server was started on: the last argument."""
    if len(sys.argv) < 2:
        raise BodymapError("no record was named; start with: bodymap open RECORD")
    return Path(sys.argv[-1])


def opened() -> Opened:
    """The record as it stands now."""
    path = record_path()
    if path.is_dir():
        return _folder(path, str(sorted((file.name, *file_apart(file)) for file in path.iterdir())))
    return _file(path, RecordFile(path).head().hash)


@once(_REVISIONS)
def _file(path: Path, stamp: str) -> Opened:
    file, last = RecordFile(path), _last(path)
    record, journal = (_brought_on(file, last[0]) if last else None) or file.whole()
    head = head_of(journal)
    now = Opened(path, stamp, head.count, record, journal, head, in_force(record.settings), (), "")
    last[:] = [now]
    return now


def _brought_on(file: RecordFile, last: Opened) -> tuple[Record, tuple[JournalEntry, ...]] | None:
    """The state read last with what has followed it; None: it has to be read whole."""
    since = file.since(last.head)
    return None if since is None else (record_after(last.record, last.journal, since), (*last.journal, *since))


@once(_REVISIONS)
def _last(path: Path) -> list[Opened]:  # noqa: ARG001 - one for each path
    """The state of a record that was read last; empty: none was."""
    return []


@once(_REVISIONS)
def _folder(path: Path, stamp: str) -> Opened:
    content = _folder_content(path, stamp)
    record, journal = content.record, content.journal
    head = head_of(journal)
    return Opened(path, stamp, head.count, record, journal, head, in_force(record.settings), content.notes, _SHOWN_ONLY)


@once(_REVISIONS)
def _folder_content(path: Path, stamp: str) -> FolderContent:  # noqa: ARG001 - the stamp is part of the cache's key
    return read_folder(path)


@once(_REVISIONS)
def faults_of(now: Opened) -> tuple[str, ...]:
    """What is wrong with an open folder and its journal; nothing: it is whole."""
    return tuple(out_of_step(now.journal, now.record))


def file_apart(path: Path) -> tuple[int, ...]:
    """What tells a file from the same one as it was, and from one put in its place."""
    told = path.stat()
    return told.st_ino, told.st_mtime_ns, told.st_size


def media_path(now: Opened, name: str) -> Path | None:
    """Where a media file of the record lies; None where it has none of that name."""
    if now.path.is_dir():
        return _folder_content(now.path, now.stamp).media.get(name)
    item = now.record.media_file.get(name)
    return None if item is None else RecordFile(now.path).place_of(item)


def media_bytes(now: Opened, names: Iterable[str]) -> dict[str, bytes]:
    """Media files of the record by name; those that are not there are left out."""
    places = {name: media_path(now, name) for name in names}
    return {name: place.read_bytes() for name, place in places.items() if place is not None and place.is_file()}


def thumbnail(now: Opened, name: str) -> bytes | None:
    """A small JPEG of a picture, upright; None where the file is no picture that can be read."""
    path, item = media_path(now, name), now.record.media_file.get(name)
    return None if path is None else _thumbnail(path, item.sha256 if item else now.stamp)


@st.cache_resource(max_entries=_PICTURES, show_spinner=False)
def _thumbnail(path: Path, content: str) -> bytes | None:  # noqa: ARG001 - what tells the same path with other content
    try:
        with Image.open(path, formats=PICTURES) as picture:
            picture.draft("RGB", (2 * _THUMBNAIL_PX, 2 * _THUMBNAIL_PX))  # a JPEG is read at a fraction of its size
            picture.thumbnail((_THUMBNAIL_PX, _THUMBNAIL_PX))
            small = ImageOps.exif_transpose(picture).convert("RGB")
    except Exception:  # the library raises whatever it stumbles on in a broken file, TypeError for one
        return None
    out = io.BytesIO()
    small.save(out, "JPEG", quality=88)
    return out.getvalue()


# --- what is reckoned from a record -------------------------------------------------------------------------------------


@once(_REVISIONS)
def _areas(now: Opened) -> AreasReport:
    return areas_of(now.record)


def totals(now: Opened, chosen: tuple[str, ...]) -> Totals:
    """Totals of the chosen zones; of the vehicle where none is chosen."""
    return totals_of(now.record, _areas(now), set(chosen) or None)


@once(_REVISIONS)
def what_next(now: Opened) -> str:
    """What to do next, in one line."""
    return next_step(now.record)


@once(_VIEWS)
def layout(now: Opened, kind: str) -> SheetLayout:
    """How the drawings of one sheet are laid out."""
    return lay_out(now.record, kind)


@once(_VIEWS)
def _sheet_view(now: Opened, choice: SheetChoice, bounds: Bounds) -> SheetView:
    return sheet_view(now.record, replace(choice, mm_per_px=mm_per_px(bounds), window=bounds), now.settings)


@once(_VIEWS)
def _sheet_figure(now: Opened, choice: SheetChoice, bounds: Bounds, theme: str, touch: str) -> go.Figure:
    return framed(sheet_said(_sheet_view(now, choice, bounds), theme), bounds, touch)


def sheet(now: Opened, workspace: Workspace, theme: str) -> tuple[go.Figure, tuple[str, ...]]:
    """The map as this window wants it, and what it alone does not say. Shared: take a copy of the figure to draw on."""
    choice = SheetChoice(
        kind=workspace.sheet,
        tint=workspace.tint,
        coat_id=workspace.coat_id if workspace.tint == "coat" else None,
        marks=frozenset(workspace.marks),
    )
    bounds = _bounds(now, workspace)
    return _sheet_figure(now, choice, bounds, theme, workspace.touch), _sheet_view(now, choice, bounds).notes


def _bounds(now: Opened, workspace: Workspace) -> Bounds:
    """What part of the sheet this window looks at."""
    if workspace.look_at == DRAWN_SURFACE and workspace.drawn:
        return bounds_round(workspace.drawn.ring)
    chosen = workspace.chosen if workspace.look_at == CHOSEN_ZONES else ()
    return bounds_of(now.record, layout(now, workspace.sheet), workspace.look_at, chosen)


@once(_PICTURES)
def ladder(now: Opened, zone_id: str, stack_id: str, theme: str) -> go.Figure:
    """One stack of a zone, drawn."""
    return ladder_figure(next(one for one in card(now, zone_id).ladders if one.stack_id == stack_id), theme)


@once(_PICTURES)
def card(now: Opened, zone_id: str) -> ZoneCard:
    """What the card of one zone says."""
    return zone_card(now.record, zone_id, now.settings, _areas(now))


@once(_REVISIONS)
def _films(now: Opened) -> tuple[ZoneFilm, ...]:
    record = now.record
    return tuple(zone_film(record, zone.zone_id) for zone in record.zones if record.readings_of.get(zone.zone_id))


def films(now: Opened, chosen: tuple[str, ...]) -> tuple[ZoneFilm, ...]:
    """Film of the zones that have readings; of the chosen ones only where some are."""
    return tuple(film for film in _films(now) if not chosen or film.zone_id in chosen)


@once(_PICTURES)
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


@once(_REVISIONS)
def drawn_sizes(now: Opened) -> Mapping[str, float]:
    """Drawn mm² of each kept or masked area, by id."""
    return drafts.area_sizes(now.record)


@once(_REVISIONS)
def coats_in_order(now: Opened) -> tuple[str, ...]:
    """Every coat: those that were seen as they are read, in the order of the record where there is none; then the others."""
    order = coat_order(now.record)
    return (*order.coats, *order.unseen)


@once(_REVISIONS)
def _read(now: Opened, aside: tuple[str, ...]) -> tuple[Record, History]:
    record = set_aside(now.record, aside)
    return record, read_history(record)


def circle_removals(now: Opened) -> tuple[tuple[str, ...], ...]:
    """The smallest sets of stacks without which nothing runs in a circle; empty where nothing does."""
    return _read(now, ())[1].circle_removals


@once(_VIEWS, "Reading the stacks …")
def history(now: Opened, aside: tuple[str, ...]) -> CoatOrderView:
    """The coat order as if some stacks were set aside."""
    return coat_order_view(now.record, aside)


@once(_VIEWS)
def film_as_witness(now: Opened, aside: tuple[str, ...]) -> FilmWitness:
    """What the film says of the stories the stacks leave open, as if some stacks were set aside."""
    record, history = _read(now, aside)
    return film_witness(record, film_stories(record, now.settings, history))


@once(_VIEWS)
def coat_chart(now: Opened, aside: tuple[str, ...], zones: tuple[str, ...] | None) -> CoatChart:
    """The ladder chart with these zones beside it; None: those that tell the most."""
    return ladder_chart(*_read(now, aside), zones)


@once(_VIEWS)
def coat_chart_figure(now: Opened, aside: tuple[str, ...], zones: tuple[str, ...] | None, theme: str) -> go.Figure:
    """The ladder chart, drawn."""
    return chart_figure(coat_chart(now, aside, zones), theme)


@once(_VIEWS)
def fitted(now: Opened, aside: tuple[str, ...], theme: str, *, quiet_too: bool) -> go.Figure | None:
    """The fitted-or-off table; None where there is no order to tell by."""
    table = history(now, aside).fitted
    return None if table is None else fitted_figure(table, theme, quiet_too=quiet_too)


def moment() -> str:
    """Now, in UTC, as the journal and the prints write it."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
