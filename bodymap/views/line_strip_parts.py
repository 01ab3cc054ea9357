"""What the strip chart of a painted line holds, and what it comes to in words."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bodymap.geometry.painted_line import LineFigures
from bodymap.settings import Settings

Spot = tuple[float, float]


@dataclass(frozen=True)
class StripTrack:
    """One line on the chart.

    Attributes:
        line_id, title, drawing: which it is.
        hand: brush, tape or other; None: not stated.
        runs: (station, offset) [mm] of each unbroken run, in the order of the stations.
        figures: drift and wobble over all runs; None where no station was met.
        widths_mm: least and greatest width stated; None: not stated.
        past_mm: how much of the line lies past an end of the datum, where no offset can be told.
    """

    line_id: str
    title: str
    drawing: str
    hand: str | None
    runs: tuple[tuple[Spot, ...], ...]
    figures: LineFigures | None
    widths_mm: tuple[float, float] | None
    past_mm: float


@dataclass(frozen=True)
class StripMark:
    """From `from_mm` to `to_mm` along the datum: a `gap` in the line, a `shut line` (both ends alike), or a `zone`."""

    kind: str
    name: str
    from_mm: float
    to_mm: float


@dataclass(frozen=True)
class StripRow:
    """Offsets at one station; None where the line does not pass. `difference_mm`: the twin's less this one's."""

    station_mm: float
    offset_mm: float | None
    twin_mm: float | None

    @property
    def difference_mm(self) -> float | None:
        """How much farther from its datum the twin lies."""
        return None if self.offset_mm is None or self.twin_mm is None else self.twin_mm - self.offset_mm


@dataclass(frozen=True)
class LineStrip:
    """The strip chart of a painted line; `tracks`: itself first, then its twin; `said`: what it comes to, in words."""

    line_id: str
    title: str
    datum: str
    tracks: tuple[StripTrack, ...]
    marks: tuple[StripMark, ...]
    rows: tuple[StripRow, ...]
    said: tuple[str, ...]

    @property
    def spots(self) -> tuple[Spot, ...]:
        """Every (station, offset) on the chart."""
        return tuple(spot for track in self.tracks for run in track.runs for spot in run)


def strip_words(tracks: Sequence[StripTrack], rows: Sequence[StripRow], settings: Settings, *, twin: bool) -> Iterator[str]:
    """What a chart comes to, in sentences. `twin`: whether a line answers to it on the other side."""
    yield from (_words(track) for track in tracks)
    if len(tracks) == 1:
        yield "No line on the twin drawing answers to it." if not twin else "Its twin has no datum line to measure from."
    else:
        yield from _against(tracks, rows, settings.value("line_differs_mm"))
    for track in tracks:
        if track.past_mm:
            yield f"{track.line_id}: {track.past_mm:.0f} mm of it lie past an end of the datum, where no offset is told."
    yield "Drift, wobble and width are what the hand left. They stay as found unless the owner decides otherwise, by name."


def _words(track: StripTrack) -> str:
    hand = track.hand or "hand not stated"
    if track.widths_mm is None:
        width = "width not stated"
    else:
        low, high = track.widths_mm
        width = f"{low:g} mm wide" if low == high else f"{low:g} to {high:g} mm wide"
    one = track.figures
    if one is None:
        return f"{track.line_id} ({track.drawing}): {hand}, {width}; no part of it lies beside the datum."
    drift = "not told" if one.drift_mm_per_m is None else f"{one.drift_mm_per_m:+.1f} mm/m".replace("-", "−")
    wobble = "not told" if one.wobble_mm is None else f"{one.wobble_mm:.1f} mm"
    return (
        f"{track.line_id} ({track.drawing}): {hand}, {width}; offset {one.least_mm:.1f} to {one.most_mm:.1f} mm, "
        f"mean {one.mean_mm:.1f} mm; drift {drift}, wobble {wobble} (standard deviation) over {one.n} stations."
    )


def _against(tracks: Sequence[StripTrack], rows: Sequence[StripRow], differs_mm: float) -> Iterator[str]:
    own, twin = tracks[0], tracks[1]
    if own.hand and twin.hand and own.hand != twin.hand:
        yield f"Another hand: {own.line_id} by {own.hand}, {twin.line_id} by {twin.hand}."
    if own.widths_mm and twin.widths_mm and own.widths_mm != twin.widths_mm:
        yield f"Widths differ: {_range(own.widths_mm)} against {_range(twin.widths_mm)}."
    both = [row for row in rows if row.difference_mm is not None]
    if not both:
        yield "The two lines have no station in common."
        return
    spans = 0
    for apart, group in itertools.groupby(both, key=lambda row: abs(row.difference_mm or 0.0) > differs_mm):
        if not apart:
            continue
        span, spans = list(group), spans + 1
        worst = max(span, key=lambda row: abs(row.difference_mm or 0.0))
        way = "farther from" if (worst.difference_mm or 0.0) > 0 else "nearer to"
        first, last = (f"{span[at].station_mm:.0f}" for at in (0, -1))
        where = f"{first} mm" if first == last else f"{first} to {last} mm"
        yield (
            f"At {where} along the datum {twin.line_id} lies {way} its datum than {own.line_id}, "
            f"by up to {abs(worst.difference_mm or 0.0):.1f} mm."
        )
    if not spans:
        yield f"Left and right agree within {differs_mm:g} mm at all {len(both)} common stations."


def _range(widths: tuple[float, float]) -> str:
    return f"{widths[0]:g} mm" if widths[0] == widths[1] else f"{widths[0]:g} to {widths[1]:g} mm"
