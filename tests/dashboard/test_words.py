"""Text from a record is shown as it stands: nothing in it is read as markup."""

from __future__ import annotations

import re
import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dashboard import words

# CommonMark 0.31.2, section 2.4: "Any ASCII punctuation character may be backslash-escaped."
_ESCAPE = re.compile("\\\\([" + re.escape(string.punctuation) + "])")


def shown(markdown: str) -> str:
    """What a reader of CommonMark sees of escaped text, the invisible joiner left out."""
    return _ESCAPE.sub(r"\1", markdown).replace("\u2060", "")


@given(st.text(min_size=1))
def test_escaped_text_reads_as_it_stands(text):
    if text.split():
        assert shown(words.plain(text)) == " ".join(text.split())


@pytest.mark.parametrize(
    "text", ["# Title", "1. one", "*a*", "<b>x</b>", "[a](http://b.example)", ":red[x]", "$x$", "~x~", "|a|"]
)
def test_no_sign_that_means_something_stands_bare(text):
    bare = re.sub(r"\\.", "", words.plain(text))
    assert not set(bare) & set("\\`*_{}[]()<>#+-.!|~$&^=:\"'/@")


@pytest.mark.parametrize("text", ["www.example.org", "me@example.org", "a -> b", ":smile:", "a -- b"])
def test_what_is_made_of_plain_text_later_is_parted(text):
    assert "\u2060" in words.plain(text)


def test_a_blank_is_not_stated():
    assert words.plain(None) == words.plain("") == "not stated"


@pytest.mark.parametrize(
    ("area_mm2", "said"),
    [(0, "0.000 m²"), (1_200, "12.0 cm²"), (9_999, "100.0 cm²"), (12_000, "0.012 m²"), (2_645_000, "2.65 m²")],
)
def test_areas_are_said_in_the_unit_that_fits(area_mm2, said):
    assert words.square_metres(area_mm2).replace("\u00a0", " ") == said


def test_a_share_of_nothing_is_no_number():
    assert words.share(0, 0) == "–"
    assert words.share(1, 8) == "12.5\u00a0%"
