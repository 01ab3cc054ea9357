"""A screen without a browser: opened with its state, touched, read."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from streamlit.testing.v1 import AppTest

import dashboard
from dashboard.state import Workspace

APP = Path(dashboard.__file__).with_name("app.py")
PANEL_SHEET = "screens/panel_sheet.py"
_WORDS = ("markdown", "caption", "text", "subheader", "info", "success", "warning", "error")


def key_of(kind: type) -> str:
    """Where `state.of` keeps the state of a screen."""
    return f"workspace_{kind.__module__}_{kind.__qualname__}"


def opened(screen: str = PANEL_SHEET, *kept: Any, **said) -> AppTest:
    """A screen run once, with a Workspace begun as `said` and states of screens as `kept`."""
    at = AppTest.from_file(str(APP), default_timeout=120)
    at.session_state["workspace"] = Workspace(**said)
    for one in kept:
        at.session_state[key_of(type(one))] = one
    at.run()
    if screen != PANEL_SHEET:
        at.switch_page(screen).run()
    whole(at)
    return at


def whole(at: AppTest) -> None:
    """No fault of ours stopped the page."""
    assert not at.exception
    assert not [error.value for error in at.error if "fault in the program" in error.value]


def words(at: AppTest) -> str:
    """Everything a screen says, as a reader sees it: what keeps users' text from being markup is left out."""
    return _as_read(element.value for kind in _WORDS for element in getattr(at, kind))


def tables(at: AppTest) -> str:
    """What stands in the tables of a screen, as a reader sees it."""
    return _as_read(table.value for table in at.table)


def _as_read(values: Iterable[Any]) -> str:
    return "\n".join(map(str, values)).replace("\\", "").replace("\u00a0", " ").replace("\u2060", "")


def by_label(elements, label: str):
    return next(element for element in elements if element.label == label)


def press(at: AppTest, key: str, *more: str) -> AppTest:
    """Presses one button after the other."""
    for one in (key, *more):
        at.button(key=one).click().run()
        whole(at)
    return at


def choose(at: AppTest, label: str, value) -> None:
    """Chooses one of a row of buttons."""
    by_label(at.button_group, label).set_value(value).run()
    whole(at)


def field(at: AppTest, label: str):
    return by_label([one for kind in (at.text_input, at.text_area, at.selectbox, at.checkbox) for one in kind], label)


def says(at: AppTest, label: str, value) -> None:
    """Types into a field, chooses in it or ticks it."""
    field(at, label).set_value(value).run()
    whole(at)
