"""What a gauge can read on what substrate. A wrong pair is refused with the reason, never averaged or coloured in.

Magnetic induction reads non-magnetic coats on magnetic base metal (ISO 2178 scope); eddy current reads non-conducting
coats on non-magnetic metal (ISO 2360 and ASTM D7091 scope); neither reads on plastics. Ultrasonic gauges read on all of
them and may take a gelcoat for the boundary (ASTM D6132; from memory, not seen).
"""

from __future__ import annotations

from bodymap.model.part import Substrate
from bodymap.model.reading import Principle

_REFUSED: dict[tuple[Principle, Substrate], str] = {
    ("magnetic", "aluminium"): "a magnetic gauge needs steel under the paint; aluminium is not magnetic",
    ("magnetic", "grp"): "a magnetic gauge needs steel under the paint; GRP has none",
    ("magnetic", "other"): "a magnetic gauge needs steel under the paint; this substrate is not stated as steel",
    ("eddy", "steel"): "an eddy-current gauge is not meant for steel; use a magnetic one",
    ("eddy", "grp"): "an eddy-current gauge needs metal under the paint; GRP conducts nothing",
    (
        "eddy",
        "other",
    ): "an eddy-current gauge needs non-magnetic metal under the paint; this substrate is not stated as such",
}


def refusal(principle: Principle, substrate: Substrate) -> str | None:
    """Why a gauge of this principle cannot read on this substrate; None where it can.

    >>> refusal("magnetic", "grp")
    'a magnetic gauge needs steel under the paint; GRP has none'
    >>> refusal("eddy", "aluminium") is None
    True
    """
    return _REFUSED.get((principle, substrate))
