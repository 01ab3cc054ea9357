"""The little of style that changes where or whether a shape is drawn; all the rest (colours, fonts, links) is left out."""

from __future__ import annotations

import re

_KEPT = ("display", "transform", "fill-rule")
_COMMENT_OPEN, _COMMENT_CLOSE = "/*", "*/"
_SELECTOR = re.compile(r"[A-Za-z0-9_.#*-]{1,100}")
_RULES_MOST = 2_000


def kept_style(text: str) -> str:
    """The declarations of a style attribute that are kept."""
    kept = []
    for declaration in text.split(";"):
        name, colon, value = declaration.partition(":")
        if colon and name.strip().lower() in _KEPT and not set(value) & set("{}<>"):
            kept.append(f"{name.strip().lower()}:{value.replace('!important', '').strip()}")
    return ";".join(kept)


def style_rules(text: str) -> str:
    """The rules of a style sheet that are kept: plain selectors, kept declarations."""
    kept = []
    for block in _without_comments(text).split("}")[:_RULES_MOST]:
        selectors, brace, declarations = block.partition("{")
        style = kept_style(declarations) if brace else ""
        plain = [one.strip() for one in selectors.split(",") if _SELECTOR.fullmatch(one.strip())]
        if style and plain:
            kept.append(f"{','.join(plain)}{{{style}}}")
    return "\n".join(kept)


def _without_comments(text: str) -> str:
    parts = text.split(_COMMENT_OPEN)
    return parts[0] + "".join(part.partition(_COMMENT_CLOSE)[2] for part in parts[1:])
