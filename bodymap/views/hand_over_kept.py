"""Retained original finish in m² and per cent, by part, face, side and coat.

Kept is what lies in kept areas: the figures of `bodymap areas`, so that all of them add up. What the plan leaves alone
besides is told apart from it: nobody has promised to keep that. Drawn and true area are never mixed; where a drawing is
not to scale, its areas are estimates and marked ≈.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from bodymap.geometry.areas import AreasReport, Totals, areas_of, totals_by
from bodymap.geometry.convert import to_shapely
from bodymap.history.as_found import as_found_stack, layers_seen
from bodymap.model import Record, Zone
from bodymap.units import mm2_to_m2
from bodymap.views.as_left import OLD, LeftPiece
from bodymap.views.hand_over_parts import NONE, NOT_STATED, ROUNDED, Banner, Block, Column, Row, Words, table
from bodymap.views.zone_card import FACE_WORDS

ESTIMATE = "≈ "
_AREA_COLUMNS = (
    Column("Drawn m²", 1.1, right=True),
    Column("True m²", 1.1, right=True),
    Column("Kept, drawn m²", 1.1, right=True),
    Column("Kept, true m²", 1.1, right=True),
    Column("Kept, % of true", 1.0, right=True),
    Column("Left alone besides, true m²", 1.4, right=True),
)


@dataclass(frozen=True)
class Retained:
    """What one group of zones retains [mm²]; `left_mm2`: true surface outside kept areas that no step touches."""

    name: str
    totals: Totals
    left_mm2: float
    estimate: bool


@dataclass(frozen=True)
class CoatRetained:
    """An old coat [mm²]: surface of the zones on which it was seen, and how much of that lies in kept areas."""

    coat_id: str
    zones: int
    totals: Totals
    estimate: bool


def retained_by(
    record: Record, areas: AreasReport, pieces: Sequence[LeftPiece], key: Callable[[Zone], str]
) -> tuple[Retained, ...]:
    """Retained finish of zones that are alike, in the order of the zones."""
    left: dict[str, float] = defaultdict(float)
    for piece in pieces:
        if piece.state in OLD and piece.state != "kept":
            left[key(record.zone[piece.zone_id])] += piece.surface_mm2
    rough = {key(zone) for zone in record.zones if areas.zones[zone.zone_id].estimate}
    return tuple(Retained(name, totals, left[name], name in rough) for name, totals in totals_by(record, areas, key).items())


def retained_by_coat(record: Record, areas: AreasReport) -> tuple[tuple[CoatRetained, ...], Totals]:
    """Retained surface of each coat that an as-found stack shows, and the totals of the zones without such a stack."""
    seen: dict[str, list[str]] = {coat.coat_id: [] for coat in record.coats}
    silent = []
    for zone in record.zones:
        stack = as_found_stack(record, zone.zone_id)
        if stack is None:
            silent.append(zone.zone_id)
            continue
        for coat in dict.fromkeys(coat for coat, _ in layers_seen(record, stack)):
            seen[coat].append(zone.zone_id)
    rows = tuple(
        CoatRetained(coat, len(zones), _sum(areas, zones), any(areas.zones[zone].estimate for zone in zones))
        for coat, zones in seen.items()
        if zones
    )
    return rows, _sum(areas, silent)


def _sum(areas: AreasReport, zones: Sequence[str]) -> Totals:
    return Totals(**{name: sum(getattr(areas.zones[zone], name) for zone in zones) for name in vars(Totals())})


# --- retained, in words ----------------------------------------------------------------------------------------------


def kept_blocks(record: Record, pieces: Sequence[LeftPiece]) -> Iterator[Block]:
    """The chapter on what was retained; `pieces`: the vehicle as the plan leaves it."""
    areas = areas_of(record)
    whole = retained_by(record, areas, pieces, lambda _: "")
    if not whole:
        yield Banner("No zone is drawn: nothing can be measured.")
        return
    yield Words(_said(record, whole[0]))
    for word, key in (
        ("part", lambda zone: record.part[zone.part_id].name),
        ("face", lambda zone: FACE_WORDS[zone.face]),
        ("side", lambda zone: record.drawing[zone.drawing_id].name),
    ):
        rows = retained_by(record, areas, pieces, key)
        yield table(
            f"Retained finish by {word}",
            (Column(word.capitalize(), 2.6), *_AREA_COLUMNS),
            [*map(_row, rows), _row(Retained("Whole vehicle", *_rest(whole[0])), "total")],
            "No zone is drawn.",
            _note(rows),
        )
    yield _by_coat(record, areas)
    yield _kept_areas(record)


def _said(record: Record, whole: Retained) -> tuple[str, ...]:
    share, about = whole.totals.kept_pct, ESTIMATE if whole.estimate else ""
    said = [
        (
            f"{about}{_m2(whole.totals.kept_surface_mm2)} m² of {_m2(whole.totals.surface_mm2)} m² "
            "true surface lies in kept "
            f"areas: {NONE if share is None else f'{share:.2f} %'}. Kept means that it was never to "
            "be stripped or painted over."
        ),
        (
            "“Original” says as found: it need not be the works', it may be of any age. Which coats it is stands in the "
            f"table by coat, who decided to keep it in the table of kept areas. {ROUNDED}"
        ),
        (
            "Drawn area is the area on the flat drawing; true area is drawn area times the measured "
            "surface ratio of the zone "
            "(a ratio that was not measured counts as 1, which is rather too little)."
        ),
    ]
    flat = sum(zone.surface_ratio is None for zone in record.zones)
    if flat:
        said.append(f"{flat} of {len(record.zones)} zones have no measured surface ratio.")
    if not record.steps:
        said.append("No step is planned in this record: nothing tells what besides the kept areas was touched.")
    return tuple(said)


def _rest(whole: Retained) -> tuple[Totals, float, bool]:
    return whole.totals, whole.left_mm2, whole.estimate


def _row(one: Retained, kind: str = "") -> Row:
    about, totals = ESTIMATE if one.estimate else "", one.totals
    cells = [about + _m2(mm2) for mm2 in vars(totals).values()]
    share = NONE if totals.kept_pct is None else f"{totals.kept_pct:.2f}"
    return Row((one.name, *cells, about + share, about + _m2(one.left_mm2)), "total" if kind else "")


def _note(rows: Sequence[Retained]) -> str:
    return "≈ on a drawing that is not to scale: an estimate." if any(row.estimate for row in rows) else ""


def _by_coat(record: Record, areas: AreasReport) -> Block:
    rows, silent = retained_by_coat(record, areas)
    made = [
        Row(
            (
                f"{record.coat[one.coat_id].name} ({one.coat_id})",
                str(one.zones),
                *(_about(one) + _m2(mm2) for mm2 in vars(one.totals).values()),
                NONE if one.totals.kept_pct is None else f"{_about(one)}{one.totals.kept_pct:.2f}",
            ),
            colour=record.coat[one.coat_id].colour,
        )
        for one in rows
    ]
    if silent.drawn_mm2:
        share = NONE if silent.kept_pct is None else f"{silent.kept_pct:.2f}"
        cells = (_m2(mm2) for mm2 in vars(silent).values())
        made.append(Row(("which coats: not seen (no stack to the substrate)", NONE, *cells, share)))
    return table(
        "Retained finish by coat, as the as-found stack of each zone shows it",
        (Column("Coat", 3.0), Column("Zones", 0.7, right=True), *_AREA_COLUMNS[:5]),
        made,
        "No stack shows a coat.",
        "Coats lie over one another, so these rows do not add up to the vehicle. Mist counts as seen.",
    )


def _kept_areas(record: Record) -> Block:
    rows = []
    for area in record.areas:
        if area.purpose != "keep":
            continue
        about = ESTIMATE if record.drawing[area.drawing_id].schematic else ""
        origin = {"original": "original", "recreated": "made again", None: NOT_STATED}[area.origin]
        rows.append(
            Row(
                (
                    f"{area.title} ({area.area_id})",
                    record.drawing[area.drawing_id].name,
                    f"{about}{mm2_to_m2(to_shapely(area.shape).area):.4f}",
                    area.reason or NOT_STATED,
                    origin,
                    _decided(record, area.area_id),
                ),
                "again" if area.origin == "recreated" else "",
            )
        )
    return table(
        "Kept areas",
        (
            Column("Area", 2),
            Column("Drawing", 1.4),
            Column("Drawn m²", 0.9, right=True),
            Column("Why", 3),
            Column("Edge", 1),
            Column("Keep signed by, on", 1.5),
        ),
        rows,
        "No area is marked to be kept.",
    )


def _decided(record: Record, area_id: str) -> str:
    signed = [f"{one.by}, {one.on}" for one in record.signoffs if one.subject == area_id and one.what == "keep"]
    return "; ".join(signed) or "not signed"


def _about(one: CoatRetained) -> str:
    return ESTIMATE if one.estimate else ""


def _m2(mm2: float) -> str:
    return f"{mm2_to_m2(mm2):.3f}"
