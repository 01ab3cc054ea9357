"""The dashboard starts with its own options: nothing is asked of the user's folder, nothing leaves the machine."""

from __future__ import annotations

import socket
import subprocess
import sys
from pathlib import Path

import pytest
from streamlit import config

from dashboard import serve
from dashboard.theme import DARK, LIGHT, Palette


def flags(argv: list[str]) -> dict[str, list[str]]:
    held: dict[str, list[str]] = {}
    for word in argv:
        if word.startswith("--") and "=" in word:
            name, value = word[2:].split("=", 1)
            held.setdefault(name, []).append(value)
    return held


def test_every_option_is_one_that_streamlit_knows():
    known = config.get_config_options(force_reparse=True)
    assert set(flags(serve.command(Path("van.gpkg"), 8501))) <= set(known)


def test_it_listens_here_only_unless_the_network_is_asked_for():
    assert flags(serve.command(Path("a"), 1))["server.address"] == ["127.0.0.1"]
    assert set(flags(serve.command(Path("a"), 1))["server.allowedHosts"]) == {"localhost", "127.0.0.1"}
    assert flags(serve.command(Path("a"), 1, lan=True))["server.address"] == ["0.0.0.0"]


def test_nothing_is_sent_anywhere():
    assert flags(serve.command(Path("a"), 1))["browser.gatherUsageStats"] == ["false"]


def test_the_record_is_the_last_word_after_the_options():
    argv = serve.command(Path("my van.gpkg"), 8501)
    assert argv[-2:] == ["--", "my van.gpkg"]
    assert argv[0] == sys.executable


def test_a_taken_port_is_passed_over():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert serve.free_port(port) != port


def test_a_server_that_ends_at_once_is_not_waited_for():
    server = subprocess.Popen([sys.executable, "-c", "pass"])
    server.wait()
    assert serve.wait_until_ready(server, 1) is False


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, definition)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2, definition)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_contrast_formula_gives_the_published_ends():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)  # WCAG 2.2: contrast ranges from 1 to 21


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_text_is_legible_on_its_ground(palette: Palette):
    for ground in (palette.paper, palette.panel):
        assert contrast(palette.ink, ground) >= 4.5
        # As text on the ground, and the other way round on filled buttons and tags.
        assert contrast(palette.accent, ground) >= 4.5
