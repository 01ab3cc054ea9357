"""Every colour that screens and prints use, by meaning, for a light and a dark ground, and the one ramp for film.

A paint is told either by a role (a word of `LIGHT` and `DARK`) or by a colour `#rrggbb` that the record itself gives,
such as that of a coat; `paint_of` turns both into a colour. Nothing is told by colour alone: whatever has a role here has
a texture, a line style, a sign or words as well.

How a coat hides what is under it is told here too. A clear coat and a hand-painted line leave the colour of a surface as it
is; a translucent coat lets the ground through. How much is a convention for the drawing, not a measurement: each
`TINT_HALVES_UM` of film halves what still shows of the ground.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Literal

import numpy as np

from bodymap.model import Coat
from bodymap.model.part import Substrate

Theme = Literal["light", "dark"]

LIGHT: Mapping[str, str] = MappingProxyType(
    {
        "paper": "#fbf9f4",
        "panel": "#f1ede4",
        "ink": "#23272b",
        "ink_soft": "#565c62",
        "rule": "#cfc8b8",
        "accent": "#1c5d6b",
        "draft": "#9a3412",
        "outline": "#4d5359",
        "shut_line": "#6b7177",
        "body_line": "#8d9297",
        "texture": "#868b90",
        "body": "#ebe6da",
        "wheel_0": "#d5d1c7",
        "wheel_1": "#e7e3d9",
        "wheel_2": "#dad6cb",
        "glass": "#dfe8ea",
        "lamp": "#f3ecd2",
        "trim": "#dcd8ce",
        "zone": "#fdfcf9",
        "seen": "#c8d9c4",
        "partly": "#f4f1e9",
        "unseen": "#ffffff",
        "not_made": "#e0dcd3",
        "excess": "#f3d9bd",
        "deficit": "#cfdded",
        "no_colour": "#e2ddd0",
        "kept": "#00684a",
        "mask": "#6a3d9a",
        "finding": "#9c3a12",
        "relief_light": "#ffffff",
        "relief_dark": "#54473a",
        "datum": "#1f4f94",
        "reading": "#23272b",
        "refused": "#8b1a3a",
        "harm": "#b3121d",
        "stack": "#23272b",
    }
)
DARK: Mapping[str, str] = MappingProxyType(
    {
        "paper": "#1a1c1f",
        "panel": "#272a2e",
        "ink": "#ece8df",
        "ink_soft": "#b9b6ae",
        "rule": "#565b61",
        "accent": "#7cc7d6",
        "draft": "#fdba74",
        "outline": "#b4b7ba",
        "shut_line": "#8f9499",
        "body_line": "#737a80",
        "texture": "#858b92",
        "body": "#2e3236",
        "wheel_0": "#43474c",
        "wheel_1": "#33373b",
        "wheel_2": "#3d4146",
        "glass": "#35434a",
        "lamp": "#4b472f",
        "trim": "#3b3f43",
        "zone": "#23262a",
        "seen": "#2f4236",
        "partly": "#2b2e31",
        "unseen": "#1f2124",
        "not_made": "#3d3f42",
        "excess": "#5b3f23",
        "deficit": "#274360",
        "no_colour": "#44474a",
        "kept": "#62d3a8",
        "mask": "#c3a3f0",
        "finding": "#ff9e73",
        "relief_light": "#f2ece0",
        "relief_dark": "#0b0c0d",
        "datum": "#8fb8ff",
        "reading": "#ece8df",
        "refused": "#ff8fab",
        "harm": "#ff7a75",
        "stack": "#ece8df",
    }
)
_THEMES: Mapping[str, Mapping[str, str]] = {"light": LIGHT, "dark": DARK}

# Bare substrates, as a drawing shows them.
SUBSTRATES: Mapping[Substrate, str] = {"steel": "#a7acb0", "aluminium": "#c9cdd0", "grp": "#d9cfa8", "other": "#b5b0a6"}

LEAVES_COLOUR = frozenset({"clear", "line"})
TINT_HALVES_UM = 20.0
_TINT_UNKNOWN_UM = 40.0

# Ten even steps of the colour map cividis (Nuñez, Anderton and Renslow 2018, doi 10.1371/journal.pone.0199239), made to
# look alike to readers with and without colour-vision deficiency.
CIVIDIS = (
    "#00224e", "#123570", "#3b496c", "#575d6d", "#707173", "#8a8678", "#a59c74", "#c3b369", "#e1cc55", "#fee838",
)  # fmt: skip
# One ramp for film, the same on every sheet: its colours stand at these films [µm], evenly between.
FILM_KNOTS_UM = (0.0, 50.0, 100.0, 150.0, 200.0, 250.0, 300.0, 400.0, 800.0, 1600.0)
_STEPS = tuple(map(float, range(len(FILM_KNOTS_UM))))
# And one for the standard error of a film surface: the paler, the surer.
ERROR_KNOTS_UM = (0.0, 5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0, 80.0, 120.0)
ERROR_COLOURS = (
    "#f6f3fa", "#e6e0ef", "#d6cde4", "#c5bad9", "#b4a7cd", "#a294c0", "#9081b2", "#7d6ea2", "#695b8f", "#54477a",
)  # fmt: skip


def colours(theme: Theme) -> Mapping[str, str]:
    """Colours by role of one theme."""
    return _THEMES[theme]


def paint_of(paint: str, theme: Theme) -> str:
    """The colour `#rrggbb` of a paint, which is a role or already a colour. Raises KeyError on an unknown role."""
    return paint if paint.startswith("#") else _THEMES[theme][paint]


def film_colour(film_um: float) -> str:
    """Colour of a film [µm] on the one film ramp, in quarters of its steps; beyond its ends the colour of the end.

    A quarter of a step is finer than the eye tells apart, and keeps the number of colours on a sheet small.

    >>> film_colour(0), film_colour(2500)
    ('#00224e', '#fee838')
    """
    return _film_step(round(4 * float(np.interp(film_um, FILM_KNOTS_UM, _STEPS))))


@lru_cache(maxsize=256)
def _film_step(quarters: int) -> str:
    low = min(quarters // 4, len(CIVIDIS) - 2)
    return blend(CIVIDIS[low + 1], CIVIDIS[low], quarters / 4 - low)


def error_colour(error_um: float) -> str:
    """Colour of a standard error [µm] on its own ramp; beyond its ends the colour of the end.

    >>> error_colour(0), error_colour(500)
    ('#f6f3fa', '#54477a')
    """
    place = round(4 * float(np.interp(error_um, ERROR_KNOTS_UM, range(len(ERROR_COLOURS))))) / 4
    low = min(int(place), len(ERROR_COLOURS) - 2)
    return blend(ERROR_COLOURS[low + 1], ERROR_COLOURS[low], place - low)


def blend(upper: str, lower: str, share: float) -> str:
    """`share` (0 to 1) of the upper colour over the lower one, channel by channel.

    >>> blend("#ffffff", "#000000", 0.5)
    '#808080'
    """
    mixed = (share * a + (1 - share) * b for a, b in zip(_channels(upper), _channels(lower), strict=True))
    return "#" + "".join(f"{round(channel):02x}" for channel in mixed)


def tint_share(film_um: float | None) -> float:
    """How much of a translucent coat's own colour shows at a film [µm]; the rest is the ground. See the module's word on it.

    >>> tint_share(20)
    0.5
    """
    film = _TINT_UNKNOWN_UM if film_um is None else max(film_um, 0.0)
    return float(1 - 0.5 ** (film / TINT_HALVES_UM))


def coat_film_um(coat: Coat, seen_um: float | None = None) -> float | None:
    """Film of a coat [µm]: as seen, else the middle of its usual range, else None."""
    if seen_um is not None:
        return seen_um
    told = [value for value in (coat.um_low, coat.um_high) if value is not None]
    return sum(told) / len(told) if told else None


def colour_over(under: str | None, layers: Iterable[tuple[Coat, float | None]]) -> str | None:
    """Colour of a surface after full layers, each with its film [µm] where that was measured, from the metal outward.

    `under` is the colour of the substrate, None where it was not reached. None: nothing that gives a colour was seen.
    """
    colour = under
    for coat, film_um in layers:
        if coat.kind in LEAVES_COLOUR:
            continue
        own = coat.colour or LIGHT["no_colour"]
        if coat.kind == "tinted" and colour is not None:
            colour = blend(own, colour, tint_share(coat_film_um(coat, film_um)))
        else:
            colour = own
    return colour


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio).

    >>> round(contrast("#000000", "#ffffff"), 6)
    21.0
    """
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def text_on(ground: str) -> str:
    """The ink, dark or light, that reads best on a ground."""
    return max((LIGHT["ink"], LIGHT["paper"]), key=lambda ink: contrast(ink, ground))


def _luminance(colour: str) -> float:
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (v / 255 for v in _channels(colour))]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _channels(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)
