"""For all tests: examples are the same on every run of CI, no test fails for being slow, and all share one Chromium."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator

import pytest
from hypothesis import settings

settings.register_profile("anywhere", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "anywhere")

# The list of suggestions under the address bar is a page of its own, twice for each window, which no test looks at: 0.7 s of
# the processor for every window. A list of features replaces the driver's own, so those that matter here stand again.
_NOT_WANTED = (
    "WebUIOmniboxPopup",
    "WebUIOmniboxAimPopup",
    "WebUIOmniboxFullPopup",
    "AimEnabled",
    "AvoidUnnecessaryBeforeUnloadCheckSync",
    "DestroyProfileOnBrowserClose",
    "HttpsFirstBalancedModeAutoEnable",
    "HttpsUpgrades",
    "LensOverlay",
    "MediaRouter",
    "NetworkTimeServiceQuerying",
    "OptimizationHints",
    "PaintHolding",
    "PreconnectToSearch",
    "ThirdPartyStoragePartitioning",
)
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    f"--disable-features={','.join(_NOT_WANTED)}",
]


def pytest_xdist_auto_num_workers() -> int:
    """Two for each processor: the tests in a browser wait more than they reckon."""
    return min(2 * (os.cpu_count() or 1), 8)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests in a browser first: they take longest, and none of them may be what all others wait for in the end."""
    items.sort(key=lambda item: item.get_closest_marker("browser") is None)


def missing(what: str) -> None:
    """Skips where a tool is absent; where everything has to be tested, fails."""
    if os.environ.get("CI"):
        pytest.fail(f"{what}: the browser tests have to run here")
    pytest.skip(f"{what}: no browser test was run")


@pytest.fixture(scope="session")
def chromium() -> Iterator[object]:
    """One Chromium for all tests."""
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        missing("playwright is not installed")
    found = os.environ.get("BODYMAP_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if not found:
        missing("no chromium on the PATH nor in BODYMAP_CHROMIUM")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=found, args=FLAGS)
        yield browser
        browser.close()
