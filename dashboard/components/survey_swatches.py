"""The coats of the record as big swatches: colour, a texture by kind, and name, so that none is told by colour alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

import streamlit as st

from bodymap.model import Coat
from bodymap.model.coat import CoatKind
from bodymap.views.palette import LIGHT
from dashboard.theme import palette
from dashboard.words import plain

KINDS: Mapping[CoatKind, str] = {
    "etch": "etch primer",
    "primer": "primer",
    "surfacer": "surfacer",
    "filler": "filler",
    "colour": "colour",
    "tinted": "translucent colour",
    "clear": "clear",
    "line": "painted line",
    "underbody": "underbody",
    "other": "other",
}
_DARK, _PALE = "rgba(20,18,15,.42)", "rgba(255,255,255,.55)"
_NO_COLOUR = LIGHT["no_colour"]
# How a kind is hatched: a paler and a darker mark side by side, so that it shows on any colour.
_TEXTURES: Mapping[CoatKind, str] = {
    "etch": f"radial-gradient({_DARK} 1px, transparent 1.4px) 0 0/9px 9px",
    "primer": f"radial-gradient({_DARK} 1.6px, transparent 2px) 0 0/8px 8px, "
    f"radial-gradient({_PALE} 1.6px, transparent 2px) 4px 4px/8px 8px",
    "surfacer": f"repeating-linear-gradient(0deg, {_DARK} 0 1px, transparent 1px 4px, {_PALE} 4px 5px, transparent 5px 8px)",
    "filler": f"repeating-linear-gradient(45deg, {_DARK} 0 1px, transparent 1px 9px), "
    f"repeating-linear-gradient(135deg, {_DARK} 0 1px, transparent 1px 9px)",
    "tinted": f"repeating-linear-gradient(90deg, {_PALE} 0 3px, transparent 3px 12px)",
    "clear": f"linear-gradient(115deg, transparent 30%, {_PALE} 30% 44%, transparent 44% 52%, {_PALE} 52% 56%, "
    "transparent 56%)",
    "line": f"linear-gradient(0deg, transparent 40%, {_DARK} 40% 43%, {_PALE} 43% 57%, {_DARK} 57% 60%, transparent 60%)",
    "underbody": f"radial-gradient({_DARK} 2.6px, transparent 3px) 0 0/11px 11px",
    "other": f"repeating-linear-gradient(135deg, {_DARK} 0 1px, transparent 1px 11px)",
}
_CSS = """
[class*="st-key-swatches"] { gap: 0.5rem; align-items: stretch; }
[class*="st-key-swatches"] [data-testid="stElementContainer"] { flex: 1 1 138px; max-width: 190px; }
[class*="st-key-swatches"] [data-testid="stButton"], [class*="st-key-swatches"] button { height: 100%; width: 100%; }
[class*="st-key-swatches"] button { position: relative; overflow: hidden; min-height: 96px; padding: 50px 8px 6px;
  border-width: 2px; align-items: flex-start; background: PANEL; touch-action: manipulation; }
[class*="st-key-swatches"] button > div { width: 100%; justify-content: flex-start; }
[class*="st-key-swatches"] button p { font-size: 15px; line-height: 1.2; text-align: left; white-space: normal; }
[class*="st-key-swatches"] button::before { content: ""; position: absolute; inset: 0 0 auto 0; height: 44px;
  border-bottom: 1px solid rgba(20,18,15,.45); }
[class*="st-key-swatches"] button:disabled { border-style: dashed; border-color: ACCENT; background: transparent; }
[class*="st-key-swatches"] button:disabled, [class*="st-key-swatches"] button:disabled * { color: INK; opacity: 1; }
[class*="st-key-swatches"] button:disabled::before { height: 22px; top: 11px; left: 8px; right: 8px; bottom: auto; }
"""


def show(coats: Sequence[Coat], laid: Sequence[str], touched: Callable[[str], None], name: str) -> None:
    """The swatches; those in the ladder already are ticked and cannot be touched again: a coat is one event.

    `laid`: coats that are in the ladder, from the metal out. `touched` is called with the coat_id.
    `name`: key of the row; it begins with `swatches`.
    """
    st.html(_style(coats))
    with st.container(horizontal=True, key=name):
        for coat in coats:
            place = f"✓ {laid.index(coat.coat_id) + 1} · " if coat.coat_id in laid else ""
            label = f"**{place}{plain(coat.name)}**  \n:small[{plain(coat.coat_id)} · {KINDS[coat.kind]}]"
            st.button(
                label,
                key=f"swatch_{coat.coat_id}",
                on_click=partial(touched, coat.coat_id),
                disabled=coat.coat_id in laid,
                width="stretch",
                wrap=True,
            )


def _style(coats: Sequence[Coat]) -> str:
    """Ids and colours are letters, digits and # alone, by the model; nothing else of a record is put in here."""
    paints = palette(st.context.theme.type or "light")
    rules = [_CSS.replace("PANEL", paints.panel).replace("ACCENT", paints.accent).replace("INK", paints.ink)]
    for coat in coats:
        ground = coat.colour or _NO_COLOUR
        texture = f"{_TEXTURES[coat.kind]}, " if coat.kind in _TEXTURES else ""
        rules.append(f".st-key-swatch_{coat.coat_id} button::before {{ background: {texture}{ground}; }}")
    return f"<style>{''.join(rules)}</style>"
