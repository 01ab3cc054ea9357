"""Film readings as a person takes them: three at a spot, spots clear of edges, both sides alike."""

from __future__ import annotations

import math
import random
import statistics
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from demo.drawing import dims as d

SEED = 1962
EDGE_MM = 36.0  # spot centres from edges: all three of a spot stay 25 mm clear
REACH_MM = 6.0  # repeats round the middle of a spot


@dataclass(frozen=True)
class Round:
    """One round with the gauge over a group of zones whose median is known."""

    zones: tuple[str, ...]
    spots: tuple[int, ...]
    median: float
    principle: str
    instrument: str
    start: str
    by: str = "restorer"
    spread: float = 4.5
    letters: bool = False


A, A_NF, B = "gauge A", "gauge A, non-ferrous probe", "gauge B, ultrasonic"
LEFT_SIDE, RIGHT_SIDE = ("sideL_low", "sideL_high"), ("sideR_low", "sideR_high")
ROUNDS = (
    Round(LEFT_SIDE, (13, 5), 255, "magnetic", A, "2025-10-07T09:12:00"),
    Round(("sideL_let_high", "sideL_let_low"), (9, 5), 285, "magnetic", A, "2025-10-07T09:48:00", letters=True),
    Round(("wingL_side",), (9,), 214, "magnetic", A, "2025-10-07T10:31:00", spread=3.4),
    Round(("doorL_skin",), (9,), 256, "magnetic", A, "2025-10-07T10:58:00"),
    Round(RIGHT_SIDE, (11, 5), 255, "magnetic", A, "2025-10-07T13:20:00", "assistant"),
    Round(("sideR_let_high", "sideR_let_low"), (9, 4), 285, "magnetic", A, "2025-10-07T14:02:00", "assistant", letters=True),
    Round(("wingR_side",), (9,), 254, "magnetic", A, "2025-10-07T14:40:00", "assistant", spread=3.4),
    Round(("doorR_skin",), (9,), 255, "magnetic", A, "2025-10-07T15:06:00", "assistant"),
    Round(("nose_front",), (7,), 257, "magnetic", A, "2025-10-08T09:05:00"),
    Round(("bonnet_top",), (8,), 252, "magnetic", A, "2025-10-08T09:34:00"),
    Round(("scuttle_front",), (4,), 254, "magnetic", A, "2025-10-08T09:58:00"),
    Round(("frame_L", "frame_R"), (3, 3), 253, "magnetic", A, "2025-10-08T10:20:00", spread=5.5),
    Round(("rdoorL_skin", "rdoorR_skin"), (7, 7), 178, "eddy", A_NF, "2025-10-08T11:02:00"),
    Round(("cap_top",), (10,), 126, "ultrasonic", B, "2025-10-08T14:10:00", spread=7.5),
    Round(("sideR_blend",), (4,), 331, "magnetic", A, "2025-10-08T15:24:00", spread=14),
    Round(("sideR_skin",), (14,), 0, "magnetic", A, "2025-10-08T15:44:00"),
)


def _spots(room: BaseGeometry, count: int) -> list[tuple[float, float]]:
    """Well spread points of a 20 mm grid inside `room`: each as far as may be from those before it."""
    x0, y0, x1, y1 = room.bounds
    grid = [
        (x, y)
        for x in range(math.ceil(x0 / 10) * 10, int(x1) + 1, 20)
        for y in range(math.ceil(y0 / 10) * 10, int(y1) + 1, 20)
    ]
    grid = grid or [tuple(np.round(room.representative_point().coords[0], 1))]
    inside = np.array([p for p in grid if shapely.contains_xy(room, *p)], float)
    if len(inside) < count:
        raise ValueError("too little room for the spots")
    centre = np.array(room.centroid.coords[0])
    chosen = [int(np.argmin(np.hypot(*(inside - centre).T)))]
    far = np.hypot(*(inside - inside[chosen[0]]).T)
    while len(chosen) < count:
        chosen.append(int(np.argmax(far)))
        far = np.minimum(far, np.hypot(*(inside - inside[chosen[-1]]).T))
    chosen = _settled(inside, chosen)
    order = sorted(chosen, key=lambda i: (round(inside[i][1] / 250), inside[i][0]))
    return [(float(inside[i][0]), float(inside[i][1])) for i in order]


def _settled(inside: np.ndarray, chosen: list[int]) -> list[int]:
    """Spots moved to the middle of what lies nearest to each: spread over the face, not pushed into its corners."""
    for _ in range(8):
        spots = inside[chosen]
        nearest = np.argmin(np.hypot(*(inside[:, None, :] - spots[None, :, :]).transpose(2, 0, 1)), axis=1)
        middles = [inside[nearest == k].mean(axis=0) for k in range(len(chosen))]
        chosen = [int(np.argmin(np.round(np.hypot(*(inside - middle).T), 6))) for middle in middles]
    return chosen


def places(
    zones: Mapping[str, BaseGeometry], trim: Mapping[str, BaseGeometry], ghosts: Mapping[str, BaseGeometry]
) -> dict[str, list[tuple[float, float]]]:
    """The spots of every zone. `trim`: by zone, what is in the way; `ghosts`: the letters, by side."""
    found: dict[str, list[tuple[float, float]]] = {}
    for round_ in ROUNDS:
        for zone_id, count in zip(round_.zones, round_.spots, strict=True):
            room = zones[zone_id].buffer(-EDGE_MM).difference(trim[zone_id].buffer(28))
            if round_.letters:
                room = room.intersection(ghosts[zone_id[4]].buffer(-8))
                found[zone_id] = _on_letters(room, count)
                continue
            twin = zone_id.replace("R_", "L_", 1)
            if twin != zone_id and twin in found and zone_id.startswith(("sideR", "wingR", "doorR", "rdoorR")):
                width = d.WIDTH if zone_id.startswith("rdoor") else d.LENGTH
                room = room.buffer(0.01)
                found[zone_id] = [(width - x, y) for x, y in found[twin] if room.contains(Point(width - x, y))]
            else:
                found[zone_id] = _spots(room, count)
    return found


def _on_letters(room: BaseGeometry, count: int) -> list[tuple[float, float]]:
    """One spot in each of `count` letter strokes, spread along the lines."""
    points = sorted(
        (p.representative_point() for p in shapely.get_parts(room) if p.area > 40), key=lambda p: (round(p.y / 150), p.x)
    )
    step = len(points) / count
    return [(round(points[int(k * step)].x, 1), round(points[int(k * step)].y, 1)) for k in range(count)]


def _hump(x: float, y: float, zone: BaseGeometry) -> float:
    """Film over the let-in skin: a smooth hump of filler, highest low down toward the rear."""
    x0, y0, x1, y1 = zone.bounds
    u, v = (x - x0) / (x1 - x0), (y - y0) / (y1 - y0)
    return 800 + 1090 * math.exp(-(((u - 0.42) / 0.6) ** 2) - ((v - 0.40) / 0.6) ** 2)


def readings(
    zones: Mapping[str, BaseGeometry], trim: Mapping[str, BaseGeometry], ghosts: Mapping[str, BaseGeometry]
) -> list[dict[str, object]]:
    """All readings of the survey, in the order they were taken."""
    chance = random.Random(SEED)
    spots = places(zones, trim, ghosts)
    rows: list[dict[str, object]] = []
    for round_ in ROUNDS:
        taken = datetime.fromisoformat(round_.start)
        batch = []
        for zone_id in round_.zones:
            for x, y in spots[zone_id]:
                spot = f"P{len(rows) // 3 + len(batch) // 3 + 1:03d}"
                level = _hump(x, y, zones[zone_id]) if zone_id == "sideR_skin" else round_.median
                level += chance.gauss(0, round_.spread)
                turn = chance.uniform(0, 360)
                for k in range(3):
                    a = math.radians(turn + 120 * k)
                    um = level + chance.gauss(0, 0.006 * level + 0.8)
                    batch.append(
                        _row(zone_id, x + REACH_MM * math.cos(a), y + REACH_MM * math.sin(a), um, spot, taken, round_)
                    )
                    taken += timedelta(seconds=chance.randint(11, 17))
                taken += timedelta(seconds=chance.randint(35, 80))
        for zone_id in round_.zones if round_.median else ():
            _to_median([row for row in batch if row["zone_id"] == zone_id], round_.median)
        rows += batch
    rows += _mistakes(spots)
    for i, row in enumerate(rows, start=1):
        row["reading_id"] = f"R{i:04d}"
    return rows


def _row(zone_id: str, x: float, y: float, um: float, spot: str, taken: datetime, round_: Round) -> dict[str, object]:
    return {
        "zone_id": zone_id, "x": round(x, 1), "y": round(y, 1), "um": round(um), "principle": round_.principle, "spot": spot,
        "taken": taken.isoformat(timespec="seconds"), "phase": "as found", "instrument": round_.instrument, "by": round_.by,
        "invalid": "",
    }  # fmt: skip


def _to_median(batch: Sequence[dict[str, object]], median: float) -> None:
    """Move the readings of a zone as a whole so that their median is the one told."""
    off = round(median - statistics.median(int(str(row["um"])) for row in batch))
    for row in batch:
        row["um"] = int(str(row["um"])) + off


def _mistakes(spots: Mapping[str, Iterable[tuple[float, float]]]) -> list[dict[str, object]]:
    """The honest mistakes: kept, so that they can be seen and refused."""

    def at(zone_id: str, index: int) -> tuple[float, float]:
        x, y = list(spots[zone_id])[index]
        return x - 9, y + 3

    cap, door, side = at("cap_top", 3), at("rdoorL_skin", 2), at("sideL_low", 4)
    mistake = Round((), (), 0, "magnetic", A, "2025-10-08T16:41:00", "assistant")
    when = datetime.fromisoformat(mistake.start)
    rows = [
        _row("cap_top", *cap, 1480, "", when, mistake),
        _row("rdoorL_skin", *door, 3, "", when + timedelta(minutes=4), mistake),
        _row(
            "sideL_low",
            *side,
            318,
            "",
            datetime.fromisoformat("2025-10-07T09:31:20"),
            Round((), (), 0, "magnetic", A, "", "restorer"),
        ),
    ]
    rows[1]["invalid"] = "wrong probe: aluminium, taken again with the non-ferrous probe"
    rows[2]["invalid"] = "probe rocked on a run in the clear"
    return rows
