"""The strip sheet: for each part, what is stripped how, what is worked by hand, and what must never be touched.

All arithmetic is done here; a print only draws it. Nothing is told as free to strip but what is released.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bodymap.finish.methods import METHODS, margin_mm
from bodymap.geometry.convert import to_shapely
from bodymap.model import Area, Record, Zone
from bodymap.model.plan import StripMethod
from bodymap.progress import Step, each, silent, stretch
from bodymap.release.blockers import CODE_WORDS
from bodymap.release.checks import State, ZoneRelease, release_of
from bodymap.release.strip_areas import SplitTotals, ZoneSplit, split_zones, totals_of_splits
from bodymap.settings import Figure, Settings
from bodymap.views.cautions import cautions_for
from bodymap.views.edge_words import edge_words
from bodymap.views.paper import Picture
from bodymap.views.strip_cover import Cover, cover_of
from bodymap.views.strip_picture import Alarm, strip_picture
from bodymap.views.strip_words import masks_on, zone_cautions
from bodymap.views.zone_card import INTENT_WORDS

Paper = Literal["a4", "a3"]
# Room for the pictures of a leaf, and between two of them.
ROOM_MM: Mapping[Paper, tuple[float, float]] = {"a4": (190.0, 106.0), "a3": (277.0, 176.0)}
_GAP_MM = 4.0
_LEAST_HIGH_MM = 40.0
_FIGURES = (
    "margin_blast_mm",
    "margin_soft_media_mm",
    "margin_chemical_mm",
    "last_band_mm",
    "foil_layers",
    "mask_film_lap_pct",
    "tape_lap_pct",
)


@dataclass(frozen=True)
class SheetZone:
    """One zone on a leaf. `how`: methods and steps in words; `against`: what stands against it, by code, in words."""

    number: int
    zone_id: str
    title: str
    state: State
    how: tuple[str, ...]
    signed: tuple[str, ...]
    against: tuple[str, ...]
    overruled: tuple[str, ...]
    amounts: SplitTotals

    @property
    def free(self) -> bool:
        """It may be stripped."""
        return self.state == "released"


@dataclass(frozen=True)
class SheetKeep:
    """A kept area on a leaf: what it is, how its edge is guarded, what covers it. `endangered`: in reach of a method."""

    area_id: str
    title: str
    reason: str | None
    edge: str
    edge_make: str
    margin_mm: float | None
    masks: tuple[str, ...]
    cover: Cover | None
    endangered: bool


@dataclass(frozen=True)
class LeafPicture:
    """The zones of a part on one drawing. `estimate`: it is schematic, to no scale."""

    drawing: str
    estimate: bool
    picture: Picture
    alarms: tuple[Alarm, ...]


@dataclass(frozen=True)
class StripLeaf:
    """One part. `never`: what else must not be touched; `rules`: how each method has to be used here."""

    part: str
    part_id: str
    substrate: str
    zones: tuple[SheetZone, ...]
    keeps: tuple[SheetKeep, ...]
    never: tuple[str, ...]
    rules: tuple[str, ...]
    masks: tuple[str, ...]
    cautions: tuple[str, ...]
    totals: SplitTotals
    pictures: tuple[LeafPicture, ...]

    @property
    def estimate(self) -> bool:
        """Something of it is on a drawing that is not to scale."""
        return any(picture.estimate for picture in self.pictures)

    @property
    def free(self) -> bool:
        """Every zone of it may be stripped."""
        return all(zone.free for zone in self.zones)


@dataclass(frozen=True)
class StripSheetView:
    """The whole strip sheet. `tape_m`, `foil_m2`: covers of all leaves, each kept area once, laps and layers included."""

    vehicle: str
    vehicle_id: str
    paper: Paper
    leaves: tuple[StripLeaf, ...]
    tape_m: float
    foil_m2: float
    figures: tuple[Figure, ...]

    @property
    def zones(self) -> int:
        """How many zones are on it."""
        return sum(len(leaf.zones) for leaf in self.leaves)

    @property
    def released(self) -> int:
        """How many of them may be stripped."""
        return sum(zone.free for leaf in self.leaves for zone in leaf.zones)


def strip_sheet_view(
    record: Record,
    settings: Settings,
    zones: Collection[str] | None = None,
    paper: Paper = "a4",
    step: Step = silent,
) -> StripSheetView:
    """The strip sheet of some zones; None: of all that the plan strips. `step` is told how far it is, and may stop it.

    Raises:
        KeyError: a zone that is not in the record.
    """
    for zone_id in zones or ():
        record.zone[zone_id]
    step("Checking the releases", 0.0)
    releases, splits = release_of(record, settings), split_zones(record, settings)
    wanted = [zone for zone in record.zones if (releases[zone.zone_id].asked if zones is None else zone.zone_id in zones)]
    groups: dict[str, list[Zone]] = {part.part_id: [] for part in record.parts}
    for zone in wanted:
        groups[zone.part_id].append(zone)
    making = _Making(record, settings, releases, splits, paper)
    parts = [group for group in groups.values() if group]
    leaves = tuple(making.leaf(group) for group in each(parts, "Drawing the parts", stretch(step, 0.3, 1.0)))
    covers = {keep.area_id: keep.cover for leaf in leaves for keep in leaf.keeps if keep.cover}
    return StripSheetView(
        vehicle=record.vehicle.name,
        vehicle_id=record.vehicle.vehicle_id,
        paper=paper,
        leaves=leaves,
        tape_m=sum(cover.tape_m for cover in covers.values()),
        foil_m2=sum(cover.foil_m2 for cover in covers.values()),
        figures=tuple(settings.figures[key] for key in _FIGURES),
    )


@dataclass(frozen=True)
class _Making:
    """What all leaves are made from."""

    record: Record
    settings: Settings
    releases: Mapping[str, ZoneRelease]
    splits: Mapping[str, ZoneSplit]
    paper: Paper

    def leaf(self, zones: Sequence[Zone]) -> StripLeaf:
        record, part = self.record, self.record.part[zones[0].part_id]
        splits = [self.splits[zone.zone_id] for zone in zones]
        rows = tuple(self._zone(number, zone) for number, zone in enumerate(zones, start=1))
        keeps = self._keeps(zones, splits)
        steps = sorted({one.step for split in splits for one in split.strips})
        keys = frozenset().union(*(zone_cautions(record, split) for split in splits))
        return StripLeaf(
            part=part.name,
            part_id=part.part_id,
            substrate=part.substrate,
            zones=rows,
            keeps=keeps,
            never=tuple(self._never(part.part_id)),
            rules=tuple(self._rules(splits)),
            masks=tuple(masks_on(record, step, zones) for step in steps),
            cautions=cautions_for(keys),
            totals=totals_of_splits(splits),
            pictures=tuple(self._pictures(zones, rows, keeps)),
        )

    def _pictures(
        self, zones: Sequence[Zone], rows: Sequence[SheetZone], keeps: Sequence[SheetKeep]
    ) -> Iterable[LeafPicture]:
        """One picture for each drawing the zones are on, as large as there is room for all of them."""
        record = self.record
        held: dict[str, list[SheetZone]] = {}
        for zone, row in zip(zones, rows, strict=True):
            held.setdefault(zone.drawing_id, []).append(row)
        size = picture_mm(self.paper, len(held))
        for drawing_id, here in held.items():
            drawing = record.drawing[drawing_id]
            areas = [area for one in keeps if (area := record.area[one.area_id]).drawing_id == drawing_id]
            picture, alarms = strip_picture(
                record,
                [self.splits[row.zone_id] for row in here],
                [row.number for row in here],
                [row.free for row in here],
                areas,
                size,
            )
            yield LeafPicture(drawing.name, drawing.schematic, picture, alarms)

    def _zone(self, number: int, zone: Zone) -> SheetZone:
        release, split = self.releases[zone.zone_id], self.splits[zone.zone_id]
        how = tuple(f"{_method(one.method)} (step {one.step})" for one in split.strips)
        signed = [one for one in self.record.signoffs if one.subject == zone.zone_id and one.what == "release to strip"]
        return SheetZone(
            number=number,
            zone_id=zone.zone_id,
            title=zone.title,
            state=release.state,
            how=how or ("no step strips it",),
            signed=tuple(dict.fromkeys(f"{one.by}, {one.on}" for one in signed)),
            against=tuple(dict.fromkeys(CODE_WORDS[one.code] for one in release.blockers)),
            overruled=tuple(f"{CODE_WORDS[one.blocker.code]}: {one.by}, {one.reason}" for one in release.overridden),
            amounts=totals_of_splits([split]),
        )

    def _keeps(self, zones: Sequence[Zone], splits: Sequence[ZoneSplit]) -> tuple[SheetKeep, ...]:
        """Kept areas anywhere on the part, and those which the methods come too near to."""
        reached = {area_id for split in splits for area_id in split.reach_of}
        found = []
        for area in self.record.areas:
            if area.purpose == "keep":
                shape = to_shapely(area.shape)
                part = self.record.zones_of_part[zones[0].part_id]
                surfaces = [to_shapely(zone.shape) for zone in part if zone.drawing_id == area.drawing_id]
                if area.area_id in reached or any(surface.intersection(shape).area > 1 for surface in surfaces):
                    found.append(self._keep(area, splits))
        return tuple(found)

    def _keep(self, area: Area, splits: Sequence[ZoneSplit]) -> SheetKeep:
        words = edge_words(area.edge)
        danger = any(
            area.area_id in split.reach_of and split.reach_of[area.area_id].intersection(split.in_reach).area > 0
            for split in splits
        )
        masks = (one for one in self.record.areas if one.purpose == "mask" and one.drawing_id == area.drawing_id)
        over = [one for one in masks if to_shapely(one.shape).buffer(0.5).covers(to_shapely(area.shape))]
        return SheetKeep(
            area_id=area.area_id,
            title=area.title,
            reason=area.reason,
            edge=words.title,
            edge_make=words.make,
            margin_mm=area.margin,
            masks=tuple(f"{one.area_id} {one.title}" for one in over),
            cover=cover_of(self.record, area, splits, self.settings),
            endangered=danger,
        )

    def _never(self, part_id: str) -> Iterable[str]:
        """Zones of the same part that are to be kept or cleaned only."""
        for zone in self.record.zones_of_part[part_id]:
            if zone.intent in ("keep", "clean"):
                yield f"{zone.title}: {INTENT_WORDS[zone.intent]}"

    def _rules(self, splits: Sequence[ZoneSplit]) -> Iterable[str]:
        methods = dict.fromkeys(one.method for split in splits for one in split.strips)
        band = self.settings.value("last_band_mm")
        for method in methods:
            if method is None:
                yield "Method not stated: do not begin before somebody has decided it."
            elif METHODS[method].margin_key:
                away = margin_mm(method, self.settings)
                stop = "" if METHODS[method].ends_at_a_line else " No taped line stops it: it flies and rebounds."
                yield f"{_method(method).capitalize()}: no nearer than {away:g} mm to a kept area.{stop}"
            else:
                yield f"{_method(method).capitalize()}: up to the kept area, never on it."
        if any(METHODS[method].margin_key for method in methods if method):
            yield f"The last {band:g} mm along a kept area: blade or fine abrasive by hand."


def picture_mm(paper: Paper, number: int) -> tuple[float, float]:
    """Size on paper of each of so many pictures of a leaf, two in a row where there are more than one [mm]."""
    width, height = ROOM_MM[paper]
    if number == 1:
        return width, height
    rows = -(-number // 2)
    return (width - _GAP_MM) / 2, max((height - _GAP_MM * (rows - 1)) / rows, _LEAST_HIGH_MM)


def _method(method: StripMethod | None) -> str:
    return METHODS[method].words if method else "method NOT STATED"
