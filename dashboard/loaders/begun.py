"""Entries that are begun and not saved, kept by the server so that a reload of the page loses nothing of them.

Each browser window has a token in its address; what it has begun is held in memory under the record and that token.
A window that is opened with the token of another one which is still there begins its own.
"""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol, TypeVar

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


@dataclass
class _Kept:
    """What one window has begun, and the session it was shown in last."""

    draft: Any
    session: str


@dataclass
class _Token:
    """The token of this window; empty: it has none yet."""

    token: str = ""


@st.cache_resource(show_spinner=False)
def _store() -> dict[tuple[str, str], _Kept]:
    return {}


def _own() -> _Token:
    key = f"{__name__}_token"
    if key not in st.session_state:
        st.session_state[key] = _Token()
    return st.session_state[key]


def current(path: Path, begin: Callable[[], _T]) -> tuple[_T, bool]:
    """What this window has begun in the record at `path`, and whether it is found again after a reload."""
    own, found_again = _own(), False
    if not own.token:
        asked = st.query_params.get(_ADDRESS, "")
        kept = _store().get((str(path), asked))
        found_again = kept is not None and not _still_open(kept.session)
        own.token = asked if found_again else secrets.token_urlsafe(6)
    if st.query_params.get(_ADDRESS) != own.token:
        st.query_params[_ADDRESS] = own.token
    key = (str(path), own.token)
    if key not in _store():
        _make_room()
        _store()[key] = _Kept(begin(), _session())
    _store()[key].session = _session()
    return _store()[key].draft, found_again


def others(path: Path) -> Iterator[tuple[str, Any, bool]]:
    """Token and draft of every other window of this record, and whether that window is still open."""
    for (where, token), kept in list(_store().items()):
        if where == str(path) and token != _own().token:
            yield token, kept.draft, _open(kept.session)


def take_up(path: Path, token: str) -> None:
    """Go on with what another window, which is closed, has begun; what this one held goes to that token instead."""
    theirs, mine = (str(path), token), (str(path), _own().token)
    store = _store()
    if theirs in store and mine in store:
        store[mine].draft, store[theirs].draft = store[theirs].draft, store[mine].draft


def _make_room() -> None:
    """Beyond a great many windows those go that are closed and have begun nothing."""
    store = _store()
    idle = [key for key, kept in store.items() if not kept.draft.begun and not _open(kept.session)]
    for key in idle[: max(0, len(store) - _MOST)]:
        del store[key]


def _session() -> str:
    context = get_script_run_ctx()
    return context.session_id if context else ""


def _open(session: str) -> bool:
    return session != _session() and runtime.exists() and runtime.get_instance().is_active_session(session)


def _still_open(session: str) -> bool:
    """Whether a window is there still; one that is just being reloaded gets a moment to be gone."""
    until = time.monotonic() + _PATIENCE_S
    while _open(session):
        if time.monotonic() > until:
            return True
        time.sleep(_STEP_S)
    return False
