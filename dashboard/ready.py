"""The server, with everything the first screen needs loaded and reckoned before it says that it is up.

Started in place of `python -m streamlit`, with the same arguments. Otherwise the first window waits for all the libraries,
for the record to be read and for its map to be drawn.
"""

from __future__ import annotations

import gc
import logging
import sys
from importlib import import_module

from streamlit.web import cli

_PAGES = ("dashboard.app", "dashboard.components.sheet_page", "dashboard.components.zone_card")
_TURN_S = 0.0005
_LOG = logging.getLogger("bodymap.dashboard")


def warm() -> bool:
    """Loads the libraries, and draws the map of the record that the arguments name; whether that could be done.

    What is wrong with a record is told by the page: it reads it again.
    """
    for page in _PAGES:
        import_module(page)
    from dashboard import loaders
    from dashboard.state import Workspace

    if not loaders.record_path().exists():
        return False
    try:
        loaders.sheet(loaders.opened(), Workspace(), "light")
        gc.collect()
        gc.freeze()  # the collector need not walk through libraries and record, which stay
    except Exception:
        _LOG.info("the map could not be drawn beforehand", exc_info=True)
        return False
    return True


def main() -> None:
    """Runs until it is stopped."""
    # While one window's record is looked through, what another is sent waits no longer than this for its turn.
    sys.setswitchinterval(_TURN_S)
    warm()
    cli.main(sys.argv[1:], prog_name="streamlit")


if __name__ == "__main__":
    main()
