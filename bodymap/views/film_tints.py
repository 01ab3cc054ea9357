"""Tints of the zones by what their film says: left against right, judged, unexplained, lost by polishing.

The ramp of colours is for film alone. What is said of film here has a paint by its meaning, and a texture and a sign that
say the same without colour.
"""

from __future__ import annotations

from collections.abc import Mapping

from bodymap.film.acceptance import Judgement, Verdict
from bodymap.film.before_after import Loss, LossVerdict
from bodymap.film.known import Unexplained, UnexplainedVerdict
from bodymap.film.report import FilmReport, ZoneReport
from bodymap.film.sides import SideDifference, SideVerdict
from bodymap.model import Zone
from bodymap.views.sheet_parts import Texture
from bodymap.views.tints import Tinter, ZoneTint, film_tint

NO_READING = ZoneTint("zone", "solid", "no reading", ("Film: no reading",))
Kind = tuple[str, Texture]
_UNSURE: Kind = ("partly", "unseen")
_GOOD: Kind = ("seen", "solid")
_MORE: Kind = ("excess", "open")
_LESS: Kind = ("deficit", "mist")
_OUTSIDE: Kind = ("not_made", "not_made")

_JUDGED: Mapping[Judgement, tuple[Kind, str, str]] = {
    "accept": (_GOOD, "accepted", "✓"),
    "reject": (_MORE, "rejected", "✗"),
    "cannot tell": (_UNSURE, "cannot tell", "?"),
    "out of scope": (_OUTSIDE, "outside the scope of the standard", "–"),
}
_UNEXPLAINED: Mapping[UnexplainedVerdict, tuple[Kind, str]] = {
    "none": (_GOOD, "explained by the stack"),
    "excess": (_MORE, "+ film beyond the stack, at least so much"),
    "deficit": (_LESS, "− film missing, at least so much"),
    "cannot tell": (_UNSURE, "cannot tell"),
}
_SIDES: Mapping[SideVerdict, tuple[Kind, Kind]] = {
    "alike": (_GOOD, _GOOD),
    "left thicker": (_MORE, _LESS),
    "left thinner": (_LESS, _MORE),
    "cannot tell": (_UNSURE, _UNSURE),
}
_SIDE_WORDS = {_GOOD: "alike", _MORE: "+ thicker than the other side", _LESS: "− thinner than the other side",
               _UNSURE: "cannot tell"}  # fmt: skip
_LOST: Mapping[LossVerdict, tuple[Kind, str]] = {
    "loss": (_LESS, "− film lost"),
    "gain": (_MORE, "+ film gained"),
    "no change shown": (_GOOD, "no change shown"),
    "cannot tell": (_UNSURE, "cannot tell"),
}


def by_film(report: FilmReport) -> Tinter:
    """The median film of each zone on the ramp."""
    return lambda zone: film_tint(report.zones[zone.zone_id].film)


def by_sides(report: FilmReport) -> Tinter:
    """Mirrored zones, each against the other."""
    found: dict[str, ZoneTint] = {}
    for side in report.sides.compared:
        found |= {side.left: _side(side, left=True), side.right: _side(side, left=False)}
    for pair in report.sides.left_out:
        words = (f"Not compared: {pair.why}",)
        found |= {zone: _tint(_OUTSIDE, "not compared", words) for zone in (pair.left, pair.right)}
    return _of(report, found, "no mirrored zone")


def by_judge(report: FilmReport, judge: str) -> Tinter:
    """What one judge says: `iso19840` or `sspc_pa2`."""
    found = {}
    for zone_id, zone in report.zones.items():
        verdict: Verdict | None = getattr(zone, judge)
        if verdict is not None and _read(zone):
            kind, state, sign = _JUDGED[verdict.verdict]
            found[zone_id] = _tint(kind, state, (f"{state}: {verdict.why}",), sign)
    return _of(report, found, "not judged")


def by_unexplained(report: FilmReport) -> Tinter:
    """Film that the known stack does not explain, with its sign."""
    found = {zone_id: _unexplained(zone.unexplained) for zone_id, zone in report.zones.items() if _read(zone)}
    return _of(report, found, NO_READING.state)


def by_loss(report: FilmReport, losses: Mapping[str, Loss]) -> Tinter:
    """Film lost between two rounds."""
    found = {}
    for zone_id, loss in losses.items():
        kind, state = _LOST[loss.verdict]
        sign = {"loss": f"−{abs(loss.loss_um or 0):.0f}", "gain": f"+{abs(loss.loss_um or 0):.0f}", "cannot tell": "?"}
        found[zone_id] = _tint(kind, state, (f"{state.lstrip('+− ')}: {loss.why}",), sign.get(loss.verdict, "0"))
    return _of(report, found, NO_READING.state)


def _read(zone: ZoneReport) -> bool:
    return bool(zone.film.n or zone.film.refused)


def _tint(kind: Kind, state: str, words: tuple[str, ...], figure: str = "") -> ZoneTint:
    paint, texture = kind
    return ZoneTint(paint, texture, state, words, figure)


def _side(side: SideDifference, *, left: bool) -> ZoneTint:
    kind = _SIDES[side.verdict][0 if left else 1]
    figure = "?"
    if side.difference_um is not None:
        figure = "=" if side.verdict == "alike" else _signed(side.difference_um if left else -side.difference_um)
    return _tint(kind, _SIDE_WORDS[kind], (f"Left against right: {side.why}",), figure)


def _unexplained(told: Unexplained) -> ZoneTint:
    kind, state = _UNEXPLAINED[told.verdict]
    figure = {"none": "0", "cannot tell": "?"}.get(told.verdict, "")
    if told.verdict == "excess" and told.low_um is not None:
        figure = _signed(told.low_um)
    if told.verdict == "deficit" and told.high_um is not None:
        figure = _signed(told.high_um)
    return _tint(kind, state, (f"{state.lstrip('+− ')}: {told.why}",), figure)


def _of(report: FilmReport, found: Mapping[str, ZoneTint], otherwise: str) -> Tinter:
    def tint(zone: Zone) -> ZoneTint:
        if zone.zone_id in found:
            return found[zone.zone_id]
        film = report.zones[zone.zone_id].film
        return NO_READING if not film.n else ZoneTint("zone", "solid", otherwise, (f"Film: median {film.median_um:.0f} µm",))

    return tint


def _signed(um: float) -> str:
    return f"{'+' if um >= 0 else '−'}{abs(um):.0f}"
