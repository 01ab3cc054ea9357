"""The panel sheet as the plan leaves it after a step: predicted finish, what is off the vehicle, masks, and what went wrong.

It is the sheet of `views.sheet` with pieces of the replay in place of its zones, and three things on top: a veil over what
is off the vehicle, what the step itself touches, and red faces. Red, hatch and words say the same; the hatch differs by
what is wrong.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.finish.plan_edit import Plan
from bodymap.finish.replay import Piece, Replay, Violation
from bodymap.finish.verdict import Verdict, lacks
from bodymap.geometry.convert import to_shapely
from bodymap.history.as_found import LayersSeen
from bodymap.model import Record, Step, Zone
from bodymap.model.drawing import DrawingKind
from bodymap.settings import Settings
from bodymap.views.labels import SIZES_PX, LabelDesk, around
from bodymap.views.layout import Placed, SheetLayout, lay_out
from bodymap.views.marks import area_marks
from bodymap.views.palette import SUBSTRATES, colour_over
from bodymap.views.picks import picks_in
from bodymap.views.plan_words import VERDICTS, stack_said, steps_said
from bodymap.views.sheet import SheetChoice, SheetView, sheet_view
from bodymap.views.sheet_parts import AreaMark, Label, LegendItem, Path, Stroke, Texture, ZoneView
from bodymap.views.sheet_zones import Scale
from bodymap.views.silhouette import rings_of, shifted
from bodymap.views.textures import texture_paths

# What is wrong is told by the hatch too.
HARM_TEXTURES: dict[Verdict, Texture] = {
    "missing": "absent",
    "extra": "partly",
    "order": "open",
    "kept harmed": "not_made",
}
# The sheet is looked at whole, so few places are enough to find a face.
_PICKS_MOST = 40
_LETTER_EM = 0.56
_OFF = "off the vehicle: pale, dashed"


@dataclass(frozen=True)
class PlanState:
    """Where the plan stands after a step: parts off the vehicle, masks that are on, and the step itself (None: before)."""

    step: Step | None
    removed: frozenset[str]
    masked: frozenset[str]


@dataclass(frozen=True)
class RedFace:
    """A face that ends other than wanted: its surface in sheet mm, hatch, what is wrong, the guilty steps in words."""

    zone_id: str
    verdict: Verdict
    rings: tuple[Path, ...]
    hatch: tuple[Path, ...]
    words: str


@dataclass(frozen=True)
class PlanSheet:
    """What is drawn.

    Attributes:
        sheet: ground, pieces in their predicted finish, masks, legend.
        away: rings of zones whose part is off the vehicle.
        worked: rings of what the step works on.
        red: faces that end other than wanted by a step done so far.
        labels: words on the red faces.
    """

    sheet: SheetView
    away: tuple[Path, ...]
    worked: tuple[Path, ...]
    red: tuple[RedFace, ...]
    labels: tuple[Label, ...]


def plan_state(steps: Iterable[Step], upto: int) -> PlanState:
    """Parts and masks after step `upto`; 0: before the first one."""
    removed: set[str] = set()
    masked: set[str] = set()
    last = None
    for step in sorted(steps, key=lambda one: one.step):
        if step.step > upto:
            break
        last = step
        held = {"remove": removed, "fit": removed, "mask": masked, "unmask": masked}.get(step.action)
        if held is not None:
            (held.update if step.action in ("remove", "mask") else held.difference_update)(step.target)
    return PlanState(last, frozenset(removed), frozenset(masked))


def red_faces(final: Replay, upto: int) -> tuple[Piece, ...]:
    """Pieces that end other than wanted, once the last step that is to blame has been done. As found: from the beginning."""
    wrong = (piece for piece in final.pieces if piece.verdict != "match")
    return tuple(piece for piece in wrong if max(piece.steps, default=0) <= upto)


def plan_ground(record: Record, kind: DrawingKind, settings: Settings, mm_per_px: float) -> SheetView:
    """What lies under the plan and is the same at every step."""
    view, layout = sheet_view(record, SheetChoice(kind, mm_per_px=mm_per_px), settings), lay_out(record, kind)
    names = _short_names([place.caption or place.drawing_id for place in layout.placed])
    labels, bars = [], []
    for place, name in zip(layout.placed, names, strict=True):
        x0, ground, x1, _ = place.extent
        em = SIZES_PX["small"] * mm_per_px
        y, text = max(ground - 1.2 * em, place.bounds[1]), f"{name} (schematic)" if place.schematic else name
        labels.append(Label(text, x0, y, "ink", anchor="left", size="small"))
        free = x0 + (len(text) * _LETTER_EM + 1) * em
        bars += [bar for bar in view.bars if x0 <= bar.x <= x1 and place.bounds[1] <= bar.y <= ground and bar.x > free]
    return replace(view, labels=tuple(labels), bars=tuple(bars))


def _short_names(names: Sequence[str]) -> list[str]:
    """Names without what all of them begin with up to a colon: the sheet is called so already.

    >>> _short_names(["Hidden faces: doors", "Hidden faces: cab"])
    ['Doors', 'Cab']
    """
    heads = {name.partition(": ")[0] for name in names}
    if len(names) < 2 or len(heads) > 1 or not all(": " in name for name in names):
        return list(names)
    return [tail[:1].upper() + tail[1:] for _, _, tail in (name.partition(": ") for name in names)]


def plan_sheet(record: Record, plan: Plan, ground: SheetView, at_step: Replay, final: Replay, upto: int) -> PlanSheet:
    """The sheet after step `upto` of a plan.

    Args:
        record: the record.
        plan: the plan; its own masks are drawn too.
        ground: of `plan_ground`, for the same record.
        at_step: the plan run as far as the step.
        final: the plan run to its end.
        upto: number of the step; 0: before the first one.
    """
    whole, layout = plan.within(record), lay_out(record, ground.choice.kind)
    state, scale = plan_state(plan.steps, upto), Scale(ground.mm_per_px, ground.mm_per_px)
    pieces = [
        (place, piece)
        for place in layout.placed
        for piece in (*at_step.pieces, *at_step.others)
        if record.zone[piece.zone_id].drawing_id == place.drawing_id
    ]
    drawn = [_drawn(whole, state, place, piece, scale) for place, piece in pieces]
    masks = _masks(whole, layout, state, ground.mm_per_px)
    red = tuple(_red(record, layout, piece, ground.mm_per_px) for piece in red_faces(final, upto)
                if layout.has(record.zone[piece.zone_id].drawing_id))  # fmt: skip
    away = _rings_of_zones(record, layout, lambda zone: zone.part_id in state.removed)
    worked = _worked(whole, layout, state)
    sheet = replace(
        ground,
        zones=tuple(view for view, _ in drawn),
        textures=tuple(stroke for _, stroke in drawn if stroke),
        areas=masks,
        legend=_legend(drawn, masks, away, red),
        ramp=None,
        notes=(),
    )
    return PlanSheet(sheet, away, worked, red, _labels(red, ground, layout))


def _drawn(
    record: Record,
    state: PlanState,
    place: Placed,
    piece: Piece,
    scale: Scale,
) -> tuple[ZoneView, Stroke | None]:
    zone = record.zone[piece.zone_id]
    paint, texture, texture_paint, told = _finish(record, piece)
    lines = shifted(texture_paths(piece.surface, texture, scale.of_texture(place, piece.surface)), place.dx, place.dy)
    found = picks_in(piece.surface, scale.mm_per_px)
    picks = tuple((x + place.dx, y + place.dy) for x, y in found[:: 1 + len(found) // _PICKS_MOST])
    off = ("its part is off the vehicle",) if zone.part_id in state.removed else ()
    kept = ("kept area",) if piece.kept else ()
    said = (zone.title, *kept, *off, f"Layers: {stack_said(record, piece.stack)}", *_wanted(record, piece))
    view = ZoneView(zone.zone_id, zone.title, zone.drawing_id, rings_of(place, piece.surface), paint, texture, told, said,
                    picks, ((),) * len(picks))  # fmt: skip
    style = "texture_fine" if texture in ("partly", "not_made", "open") else "texture"
    return view, Stroke(style, lines, texture_paint) if lines else None


def _wanted(record: Record, piece: Piece) -> tuple[str, ...]:
    if piece.goal is None:
        return ("No goal stated: not compared",)
    return (f"Wanted at the end: {stack_said(record, piece.goal)}",)


def _finish(record: Record, piece: Piece) -> tuple[str, Texture, str, str]:
    """Fill, texture, paint of the texture, and the finish in words."""
    zone = record.zone[piece.zone_id]
    full = [record.coat[coat] for coat, extent in piece.stack if extent == "full"]
    under = SUBSTRATES[record.part[zone.part_id].substrate] if piece.known else None
    colour = colour_over(under, [(coat, coat.film_um) for coat in full])
    if colour is None:
        return "unseen", "unseen", "", "not seen"
    # A clear coat or a line leaves the colour as it is: the surface is named after what gives it.
    colouring = [coat for coat in full if coat.kind not in ("clear", "line")]
    name = colouring[-1].name if colouring else f"bare {record.part[zone.part_id].substrate}"
    last = piece.stack[-1] if piece.stack else None
    if last is not None and last[1] == "mist":
        misted = record.coat[last[0]]
        return colour, "mist", misted.colour or "", f"{name}, with mist"
    return colour, "solid", "", name


def _masks(record: Record, layout: SheetLayout, state: PlanState, mm_per_px: float) -> tuple[AreaMark, ...]:
    on = [area for area in record.areas if area.area_id in state.masked]
    # A kept area may be masked by itself: as a mask it is drawn as one.
    as_masks = [area.model_copy(update={"purpose": "mask", "margin": None}) for area in on]
    return area_marks(record.with_kind("area", as_masks), layout, mm_per_px)


def _rings_of_zones(record: Record, layout: SheetLayout, wanted: Callable[[Zone], bool]) -> tuple[Path, ...]:
    return tuple(
        ring
        for place in layout.placed
        for zone in record.zones_on.get(place.drawing_id, ())
        if wanted(zone)
        for ring in rings_of(place, to_shapely(zone.shape))
    )


def _worked(record: Record, layout: SheetLayout, state: PlanState) -> tuple[Path, ...]:
    """Outlines of what a step takes off, fits, masks or strips; a coat goes nearly everywhere and is not outlined."""
    step = state.step
    if step is None or step.action == "coat":
        return ()
    if step.action in ("mask", "unmask"):
        areas = [record.area[one] for one in step.target if one in record.area and layout.has(record.area[one].drawing_id)]
        return tuple(ring for area in areas for ring in rings_of(layout.place_of(area.drawing_id), to_shapely(area.shape)))
    targets = set(step.target)
    return _rings_of_zones(record, layout, lambda zone: bool(targets & {zone.zone_id, zone.part_id}))


def _red(record: Record, layout: SheetLayout, piece: Piece, mm_per_px: float) -> RedFace:
    place, verdict = layout.place_of(record.zone[piece.zone_id].drawing_id), piece.verdict or "missing"
    hatch = shifted(texture_paths(piece.surface, HARM_TEXTURES[verdict], mm_per_px), place.dx, place.dy)
    words = f"{VERDICTS[verdict]}: {steps_said(piece.steps)}"
    return RedFace(piece.zone_id, verdict, rings_of(place, piece.surface), hatch, words)


def _legend(
    drawn: Sequence[tuple[ZoneView, Stroke | None]],
    masks: Sequence[AreaMark],
    away: Sequence[Path],
    red: Sequence[RedFace],
) -> tuple[LegendItem, ...]:
    """What is wrong first, then finishes, then where things are."""
    items = [
        LegendItem(VERDICTS[verdict], "harm", HARM_TEXTURES[verdict], texture_paint="paper")
        for verdict in HARM_TEXTURES
        if any(face.verdict == verdict for face in red)
    ]
    states: dict[str, LegendItem] = {}
    for view, stroke in drawn:
        states.setdefault(view.state, LegendItem(view.state, view.paint, view.texture, stroke.paint if stroke else ""))
    items += [item for item in states.values() if item.words != "not seen"]
    items += [states["not seen"]] if "not seen" in states else []
    if masks:
        items.append(LegendItem("masked", style="mask"))
    if away:
        items.append(LegendItem(_OFF, "paper"))
    return tuple(items)


def _labels(red: Sequence[RedFace], ground: SheetView, layout: SheetLayout) -> tuple[Label, ...]:
    """Words on the red faces: the same words of one drawing once, at the largest of its faces."""
    desk = LabelDesk(ground.mm_per_px, ground.bounds, layout.cells)
    for label in ground.labels:
        desk.put(label)
    said: list[tuple[str, float, BaseGeometry]] = []
    for face in red:
        shape: BaseGeometry = max((shapely.Polygon(ring) for ring in face.rings), key=lambda one: one.area)
        said.append((face.words, shape.area, shape))
    labels: list[Label] = []
    for words, _, shape in sorted(said, key=lambda one: -one[1]):
        spot = shape.representative_point()
        if any(label.text == words and _near(label, (spot.x, spot.y), layout) for label in labels):
            continue
        labels += desk.put_first_free(around(Label(words, spot.x, spot.y, "harm", ground=True, strong=True)))
    return tuple(labels)


def _near(label: Label, spot: tuple[float, float], layout: SheetLayout) -> bool:
    one, other = layout.to_drawing(label.x, label.y), layout.to_drawing(*spot)
    return one is not None and other is not None and one[0] == other[0]


@dataclass(frozen=True)
class FoundRow:
    """One row of found against planned. `blame`: the guilty steps (empty: so as found); `violation`: in a kept area."""

    what: str
    zone_id: str
    face: str
    blame: tuple[int, ...]
    area_mm2: float
    ends_as: LayersSeen
    wanted: LayersSeen
    violation: bool = False


def found_rows(record: Record, result: Replay) -> tuple[FoundRow, ...]:
    """What the plan does wrong: steps over kept areas first, then every other face, the largest first."""
    rows = [_violation(record, one) for one in result.violations]
    wrong = [piece for piece in result.pieces if piece.verdict not in ("match", "kept harmed", None)]
    rows += [_wrong(record, piece) for piece in sorted(wrong, key=lambda piece: -piece.area_mm2)]
    return tuple(rows)


def _violation(record: Record, one: Violation) -> FoundRow:
    area = record.area.get(one.area_id)
    name = f"{area.title} ({one.area_id})" if area else one.area_id
    face = f"{record.zone[one.zone_id].title}, kept area {name}"
    return FoundRow(VERDICTS["kept harmed"], one.zone_id, face, (one.step,), one.area_mm2, (), (), violation=True)


def _wrong(record: Record, piece: Piece) -> FoundRow:
    coats = [*lacks(piece.goal or (), piece.stack), *lacks(piece.stack, piece.goal or ())]
    what = (
        f"{VERDICTS[piece.verdict or 'missing']}: {', '.join(sorted(coats))}"
        if coats
        else VERDICTS[piece.verdict or "missing"]
    )
    face = record.zone[piece.zone_id].title
    return FoundRow(what, piece.zone_id, face, piece.steps, piece.area_mm2, piece.stack, piece.goal or ())


def coats_named(record: Record, rows: Iterable[FoundRow]) -> str:
    """The names of all coats in some rows, each after its id."""
    used = {coat for row in rows for coat, _ in (*row.ends_as, *row.wanted)}
    return " · ".join(f"{coat.coat_id} {coat.name}" for coat in record.coats if coat.coat_id in used)
