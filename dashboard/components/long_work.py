"""Work that may take long: a bar that says how far it is and with what, and a way to stop it."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import TypeVar

import streamlit as st

from dashboard import jobs, state
from dashboard.loaders import Opened
from dashboard.words import plain

_AT_ONCE_S, _AGAIN_S = 0.3, 0.2
_T = TypeVar("_T")


@dataclass
class _Stopped:
    """What was stopped in this window, by its key. There is one for each window, and it tells the window from others."""

    keys: set[Hashable] = field(default_factory=set)


def result(loader: Callable[..., _T], now: Opened, *asked: Hashable) -> _T | None:
    """What the loader gives for these arguments; None, and told, where it was stopped. Raises what the loader raises.

    The loader is cached, and has a last argument `_step` (`bodymap.progress.Step`) which is no part of its key. It runs
    beside this page, so it may not draw anything.
    """
    name = loader.__name__
    key = (loader.__module__, name, str(now.path), now.stamp, asked)
    held = state.of(_Stopped)
    if key not in held.keys:
        job = jobs.begin(key, lambda step: loader(now, *asked, _step=step))
        if not job.wait(_AT_ONCE_S):
            _look_on(job, name, key, held)
        if not job.stopped:
            if job.error:
                raise job.error
            return job.result  # type: ignore[no-any-return]
        held.keys.add(key)
    with st.container(horizontal=True, vertical_alignment="center", key=f"stopped_{name}"):
        st.info("Stopped; nothing was written.")
        st.button("Begin again", key=f"again_{name}", on_click=held.keys.discard, args=(key,), icon=":material/replay:")
    return None


def _look_on(job: jobs.Job, name: str, key: Hashable, held: _Stopped) -> None:
    place = st.empty()
    with place.container(horizontal=True, vertical_alignment="center", key=f"long_work_{name}"):
        bar = st.progress(job.share, text=_words(job))
        st.button("Stop", key=f"stop_{name}", on_click=_stop, args=(key,), icon=":material/stop_circle:")
    with jobs.waiting(job, id(held)):
        while not job.wait(_AGAIN_S):
            bar.progress(job.share, text=_words(job))
    place.empty()


def _words(job: jobs.Job) -> str:
    return f"{plain(job.words or 'Beginning')} … {100 * job.share:.0f}\u00a0%"


def _stop(key: Hashable) -> None:
    """Runs when the button is pressed, before the page is drawn anew."""
    held = state.of(_Stopped)
    held.keys.add(key)
    jobs.stop(key, id(held))
