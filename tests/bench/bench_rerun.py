"""A rerun of the map against a bare page that shows the same figure: `python -m tests.bench rerun`.

Wanted: at most 1.5 times. Both are run by Streamlit's own AppTest on the demo: the script from its first line to its last,
what it sends put into messages and read again; what a browser then draws is the same figure for both.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from functools import lru_cache
from itertools import count
from pathlib import Path
from unittest.mock import patch

import plotly.graph_objects as go
from streamlit import config
from streamlit.testing.v1 import AppTest

import dashboard
from bodymap.exchange.open_folder import read_folder
from bodymap.store.record_file import create
from dashboard import loaders
from dashboard.state import Workspace
from tests.bench.measure import Row, least

ROOT = Path(__file__).parents[2]
AT = "2026-03-01T10:15:00.000Z"
BARE = """
import streamlit as st
from tests.bench.bench_rerun import figure
st.plotly_chart(figure(), key="map", on_select="rerun", selection_mode=("points", "box", "lasso"), theme=None)
"""


@lru_cache(maxsize=1)
def figure() -> go.Figure:
    """The map as the panel sheet shows it first."""
    return loaders.sheet(loaders.opened(), Workspace(), "light")[0]


def rows(rounds: int = 8) -> Iterator[Row]:
    """What is measured."""
    config.set_option("logger.level", "error")
    config.set_option("server.address", "127.0.0.1")
    with tempfile.TemporaryDirectory() as where:
        path, content = Path(where) / "van.gpkg", read_folder(ROOT / "demo" / "vehicle")
        create(path, content.record, by="Ann", why="demo", at=AT, media=content.media, journal=content.journal)
        with patch.object(sys, "argv", ["app.py", str(path)]):
            ours = AppTest.from_file(str(Path(dashboard.__file__).with_name("app.py")), default_timeout=300)
            ours.session_state["workspace"] = Workspace()
            bare = AppTest.from_string(BARE, default_timeout=300)
            found = least({"ours": ours.run, "bare": bare.run}, rounds)
            zones, number = [zone.zone_id for zone in content.record.zones], count()

            def choose() -> None:
                ours.multiselect(key="chosen_0").set_value([zones[next(number)]]).run()

            choose()
            assert ours.session_state["workspace"].chosen == zones[:1]
            chosen = least({"ours": choose, "bare": bare.run}, rounds)
            assert not ours.exception
            assert not bare.exception
    yield Row("rerun of the panel sheet", found["ours"], found["bare"], "bare page with the same figure", 1.5)
    yield Row(
        "another zone touched: map and card made anew", chosen["ours"], chosen["bare"], "bare page, nothing changed", None
    )
