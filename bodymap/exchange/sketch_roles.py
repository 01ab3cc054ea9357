"""What a path in a file may be, by the words it and its groups are called: a suggestion, shown to be changed.

In English the last word tells the thing ("rear door glass" is glass), and the nearest name counts before that of a group.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Literal, get_args

Role = Literal["body", "glass", "wheel", "lamp", "trim", "shut_line", "body_line", "zone"]
ROLES: tuple[Role, ...] = get_args(Role)

_WORDS: dict[Role, str] = {
    "body": "body silhouette outline shell profile",
    "glass": "glass window windows windscreen windshield screen pane backlight quarterlight",
    "wheel": "wheel wheels tyre tyres tire tires rim rims hub hubcap spokes",
    "lamp": "lamp lamps headlamp headlamps light lights headlight headlights indicator indicators reflector reflectors",
    "trim": "trim bumper bumpers handle handles badge moulding molding grille hinge hinges mirror mirrors overrider wiper",
    "shut_line": "shutline shutlines gap gaps seam seams joint joints",
    "body_line": "bodyline bodylines swage swages crease creases waistline feature arch arches lip",
    "zone": "zone zones panel panels field wing wings fender fenders door doors bonnet hood boot trunk roof sill sills "
    "rocker quarter scuttle cowl tailgate tank mudguard mudguards apron valance nose pillar skin",
}  # fmt: skip
_PAIRS: dict[tuple[str, str], Role] = {
    ("shut", "line"): "shut_line",
    ("shut", "lines"): "shut_line",
    ("panel", "line"): "shut_line",
    ("panel", "lines"): "shut_line",
    ("panel", "gap"): "shut_line",
    ("panel", "gaps"): "shut_line",
    ("body", "line"): "body_line",
    ("body", "lines"): "body_line",
    ("waist", "line"): "body_line",
    ("swage", "line"): "body_line",
    ("wheel", "arch"): "body_line",
    ("hub", "cap"): "wheel",
}
_ROLE_OF: dict[str, Role] = {word: role for role, words in _WORDS.items() for word in words.split()}
# how one drawing program writes a character that no id may have
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{2,4})_")
_TOKEN = re.compile(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+")


def suggested_role(chain: Iterable[tuple[str, ...]]) -> tuple[Role | None, str]:
    """The role suggested by names, and the name that says so; (None, "") where none does.

    Args:
        chain: the names of a path, then of each group that holds it, from the inside out.

    >>> suggested_role([("path1",), ("Rear door glass",), ("body",)])
    ('glass', 'Rear door glass')
    """
    for names in chain:
        for name in names:
            role = _role_of(name)
            if role:
                return role, name
    return None, ""


def _role_of(name: str) -> Role | None:
    plain = _ESCAPED.sub(lambda found: chr(int(found[1], 16)), name)
    tokens = [token.lower() for token in _TOKEN.findall(plain)]
    for number in range(len(tokens) - 1, -1, -1):
        pair = _PAIRS.get((tokens[number - 1], tokens[number])) if number else None
        found = pair or _ROLE_OF.get(tokens[number])
        if found:
            return found
    return None
