"""Entries that are begun and not saved, kept by the server so that a reload of the page loses nothing of them.

Each browser window has a token in its address; what it has begun is held in memory under the record and that token, one
draft of each kind. A window that is opened with the token of another one which is still there begins its own.
"""

from __future__ import annotations

import secrets
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Generic, NamedTuple, Protocol, TypeVar

import streamlit as st
from streamlit import runtime
from streamlit.runtime.scriptrunner import get_script_run_ctx


class Draft(Protocol):
    """What a window may have begun."""

    @property
    def begun(self) -> bool:
        """Whether anything is entered that would be missed."""


_T = TypeVar("_T", bound=Draft)
_ADDRESS = "tablet"
_MOST = 200
_PATIENCE_S, _STEP_S = 1.0, 0.1


class Found(NamedTuple, Generic[_T]):
    """What a window has begun of one kind.

    `again`: it is found again after a reload, told once. `first`: it is the first that is found again, so that what all
    screens share is to be as it was with it.
    """

    draft: _T
    again: bool
    first: bool


@dataclass
class _Window:
    """What one window has begun, by kind, and the session it was shown in last."""

    session: str
    drafts: dict[type, Any] = field(default_factory=dict)


@dataclass
class _Own:
    """The token of this window; empty: it has none yet. `address`: the one it came with.

    `reloaded`: it had its token before; `asked`: kinds asked for since.
    """

    token: str = ""
    address: str = ""
    reloaded: bool = False
    asked: set[type] = field(default_factory=set)


@st.cache_resource(show_spinner=False)
def _store() -> dict[tuple[str, str], _Window]:
    return {}


def _own() -> _Own:
    key = f"{__name__}_token"
    if key not in st.session_state:
        st.session_state[key] = _Own()
    return st.session_state[key]


def current(path: Path, kind: type[_T]) -> Found[_T]:
    """What this window has begun of one kind in the record at `path`; begun here where there is none."""
    own = _own()
    if not own.token:
        _settle_token(path, own)
    if st.query_params.get(_ADDRESS) != own.token:
        st.query_params[_ADDRESS] = own.token
    key = (str(path), own.token)
    if key not in _store():
        _make_room()
        _store()[key] = _Window(_session())
    window = _store()[key]
    window.session = _session()
    again = own.reloaded and kind in window.drafts and kind not in own.asked
    first = again and not own.asked
    own.asked.add(kind)
    return Found(window.drafts.setdefault(kind, kind()), again, first)


def _settle_token(path: Path, own: _Own) -> None:
    """The token of the address, or a new one. A run that gives way to another may still be at this: one of them wins."""
    own.address = own.address or st.query_params.get(_ADDRESS, "")
    known = _store().get((str(path), own.address))
    reloaded = known is not None and not _still_open(known.session)
    if not own.token:
        own.reloaded, own.token = reloaded, own.address if reloaded else secrets.token_urlsafe(6)


def others(path: Path, kind: type[_T]) -> Iterator[tuple[str, _T, bool]]:
    """Token and draft of one kind of every other window of this record, and whether that window is still open."""
    for (where, token), window in list(_store().items()):
        if where == str(path) and token != _own().token and kind in window.drafts:
            yield token, window.drafts[kind], _open(window.session)


def take_up(path: Path, kind: type[Draft], token: str) -> None:
    """Go on with what another window, which is closed, has begun; what this one held goes to that token instead."""
    theirs, mine = _store().get((str(path), token)), _store().get((str(path), _own().token))
    if theirs and mine and kind in theirs.drafts and kind in mine.drafts:
        mine.drafts[kind], theirs.drafts[kind] = theirs.drafts[kind], mine.drafts[kind]


def leave(path: Path, kind: type[_T]) -> _T:
    """What this window has begun is left as if on a page that was closed; a new one is begun, and returned."""
    mine = _store()[str(path), _own().token]
    _store()[str(path), secrets.token_urlsafe(6)] = _Window("", {kind: mine.drafts[kind]})
    mine.drafts[kind] = kind()
    return mine.drafts[kind]


def _make_room() -> None:
    """Beyond a great many windows those go that are closed and have begun nothing."""
    store = _store()
    idle = [key for key, window in store.items() if not _begun(window) and not _open(window.session)]
    for key in idle[: max(0, len(store) - _MOST)]:
        del store[key]


def _begun(window: _Window) -> bool:
    return any(draft.begun for draft in window.drafts.values())


def _session() -> str:
    context = get_script_run_ctx()
    return context.session_id if context else ""


def _open(session: str) -> bool:
    return session not in ("", _session()) and runtime.exists() and runtime.get_instance().is_active_session(session)


def _still_open(session: str) -> bool:
    """Whether a window is there still; one that is just being reloaded gets a moment to be gone."""
    until = time.monotonic() + _PATIENCE_S
    while _open(session):
        if time.monotonic() > until:
            return True
        time.sleep(_STEP_S)
    return False
