"""How large an SVG file may be in every way, and the words that refuse one which is not.

Own figures, no source: an outline of a whole vehicle stays far below each of them, and at all of them together reading
still takes seconds.
"""

from __future__ import annotations

from bodymap.errors import BodymapError

BYTES_MOST = 8_000_000
ELEMENTS_MOST = 20_000
DEPTH_MOST = 80
PATH_CHARS_MOST = 250_000
PATHS_CHARS_MOST = 1_500_000
ARC_CHARS_MOST = 90_000
USED_MOST = 5_000
ATTRIBUTE_CHARS_MOST = 2_000
TRANSFORM_CHARS_MOST = 4_000_000
STYLE_CHARS_MOST = 200_000


def refused(found: str, allowed: str) -> BodymapError:
    """The error that refuses a file."""
    return BodymapError(f"SVG file refused: found {found}; allowed: {allowed}")
