"""The zone card: everything the record says of one zone, and what it does not say."""

from __future__ import annotations

from dataclasses import dataclass

from bodymap.film.summary import ZoneFilm, zone_film
from bodymap.geometry.areas import AreasReport, areas_of
from bodymap.geometry.convert import to_shapely
from bodymap.history.as_found import best_stack
from bodymap.model import Area, Finding, Record, Signoff, Source, Zone
from bodymap.model.part import Substrate
from bodymap.model.zone import Face, Intent
from bodymap.settings import Settings
from bodymap.views.ladder import SUBSTRATE_WORDS, LadderView, ladders_of

FACE_WORDS: dict[Face, str] = {
    "outer": "outer face",
    "back": "back face",
    "flange": "flange",
    "jamb": "jamb",
    "channel": "channel",
    "other": "other face",
}
INTENT_WORDS: dict[Intent, str] = {
    "keep": "keep as found",
    "clean": "clean only",
    "as_built": "as built",
    "better": "better than built",
}
EDGE_WORDS = {
    "hard": "hard taped edge",
    "soft": "soft edge",
    "part_edge": "to a part edge",
    "body_line": "to a body line",
    "left_in_seal": "under a left-in seal",
}
NOT_STATED = "not stated"
RATIO_TAKEN_AS_1 = "surface ratio not measured: taken as 1"


@dataclass(frozen=True)
class CardAreas:
    """Areas of the zone [mm²]. `basis`: how the true area was come by; `estimate`: the drawing is schematic."""

    drawn_mm2: float
    surface_mm2: float
    kept_drawn_mm2: float
    kept_surface_mm2: float
    margin_drawn_mm2: float
    ratio: float
    basis: str
    estimate: bool

    @property
    def kept_pct(self) -> float:
        """Kept share of the zone [%]."""
        return 100 * self.kept_drawn_mm2 / self.drawn_mm2 if self.drawn_mm2 else 0.0


@dataclass(frozen=True)
class CardCover:
    """A part that hides the zone when both are on the vehicle; `gap`: mist can drift in, None: not stated (counts as no)."""

    part_id: str
    name: str
    gap: bool | None
    words: str


@dataclass(frozen=True)
class CardFinding:
    """A finding whose shape meets the zone; `drawn_mm2` of it lies in the zone (0 for points and lines)."""

    finding_id: str
    kind: str
    severity: int | None
    depth_mm: float | None
    drawn_mm2: float
    note: str | None


@dataclass(frozen=True)
class CardArea:
    """A kept area or a mask that meets the zone, with how much of the zone it takes [mm², drawn]."""

    area_id: str
    title: str
    purpose: str
    edge_words: str
    margin_mm: float | None
    recreated: bool
    reason: str | None
    drawn_mm2: float


@dataclass(frozen=True)
class CardSource:
    """A piece of evidence, and through which id it speaks of the zone."""

    source_id: str
    kind: str
    title: str
    date: str | None
    by: str | None
    file: str | None
    through: str


@dataclass(frozen=True)
class ZoneCard:
    """What is known of one zone.

    Attributes:
        ladders: every stack of the zone; `best_stack_id` names the one the zone's finish is read from, if there is one.
        films: film by phase, as found first; every phase that has readings.
        not_seen: what nobody has looked at or stated yet, in sentences.
        sources: evidence that speaks of the zone. work: what the work itself left: steps told done, where its part lay.
        signoffs: decisions on the zone itself, and on the kept areas in it.
    """

    zone_id: str
    title: str
    drawing_id: str
    part_id: str
    part_name: str
    part_marks: str | None
    removable: bool
    substrate: Substrate
    substrate_words: str
    face: Face
    face_words: str
    intent: Intent | None
    intent_words: str
    areas: CardAreas
    covers: tuple[CardCover, ...]
    ladders: tuple[LadderView, ...]
    best_stack_id: str | None
    findings: tuple[CardFinding, ...]
    films: tuple[tuple[str, ZoneFilm], ...]
    kept: tuple[CardArea, ...]
    sources: tuple[CardSource, ...]
    work: tuple[CardSource, ...]
    signoffs: tuple[Signoff, ...]
    not_seen: tuple[str, ...]


def zone_card(
    record: Record,
    zone_id: str,
    settings: Settings,  # noqa: ARG001 - figures come with the checks
    areas: AreasReport | None = None,
) -> ZoneCard:
    """The card of one zone. `areas`: those of the record, where they are reckoned already.

    Raises:
        KeyError: a zone that is not in the record.
    """
    zone = record.zone[zone_id]
    part, drawing = record.part[zone.part_id], record.drawing[zone.drawing_id]
    best = best_stack(record, zone_id)
    kept, findings = _areas_in(record, zone), _findings_in(record, zone)
    sources, work = _sources_of(record, zone, kept, findings)
    return ZoneCard(
        zone_id=zone_id,
        title=zone.title,
        drawing_id=drawing.drawing_id,
        part_id=part.part_id,
        part_name=part.name,
        part_marks=part.marks,
        removable=part.removable,
        substrate=part.substrate,
        substrate_words=SUBSTRATE_WORDS[part.substrate],
        face=zone.face,
        face_words=FACE_WORDS[zone.face],
        intent=zone.intent,
        intent_words=INTENT_WORDS[zone.intent] if zone.intent else NOT_STATED,
        areas=_measures(zone, areas or areas_of(record)),
        covers=_covers(record, zone_id),
        ladders=ladders_of(record, zone_id),
        best_stack_id=best.stack_id if best else None,
        findings=tuple(_card_finding(zone, finding) for finding in findings),
        films=_films(record, zone_id),
        kept=tuple(_card_area(zone, area) for area in kept),
        sources=sources,
        work=work,
        signoffs=tuple(s for s in record.signoffs if s.subject in {zone_id, *(area.area_id for area in kept)}),
        not_seen=_not_seen(record, zone, sources),
    )


def sources_of(record: Record, zone: Zone) -> tuple[CardSource, ...]:
    """The evidence that speaks of a zone, its part, its stacks, or what is marked and found in it."""
    return _sources_of(record, zone, _areas_in(record, zone), _findings_in(record, zone))[0]


def _measures(zone: Zone, report: AreasReport) -> CardAreas:
    areas = report.zones[zone.zone_id]
    measured = zone.surface_ratio is not None
    basis = f"surface ratio {zone.ratio:g}, {zone.surface_ratio_from or 'how it was measured is not stated'}"
    return CardAreas(
        drawn_mm2=areas.drawn_mm2,
        surface_mm2=areas.surface_mm2,
        kept_drawn_mm2=areas.kept_drawn_mm2,
        kept_surface_mm2=areas.kept_surface_mm2,
        margin_drawn_mm2=areas.margin_drawn_mm2,
        ratio=zone.ratio,
        basis=basis if measured else RATIO_TAKEN_AS_1,
        estimate=areas.estimate,
    )


def _covers(record: Record, zone_id: str) -> tuple[CardCover, ...]:
    words = {True: "mist can drift in through a gap", False: "no gap", None: "gap not stated: counts as none"}
    return tuple(
        CardCover(cover.part_id, record.part[cover.part_id].name, cover.gap, words[cover.gap])
        for cover in record.covers_of.get(zone_id, ())
    )


def _areas_in(record: Record, zone: Zone) -> tuple[Area, ...]:
    shape = to_shapely(zone.shape)
    here = [area for area in record.areas if area.drawing_id == zone.drawing_id]
    return tuple(area for area in here if shape.intersection(to_shapely(area.shape)).area > 0)


def _findings_in(record: Record, zone: Zone) -> tuple[Finding, ...]:
    """Findings that meet the zone; a surface that only touches its edge does not."""
    shape = to_shapely(zone.shape)
    found = []
    for finding in record.findings:
        if finding.drawing_id != zone.drawing_id or finding.shape is None:
            continue
        other = to_shapely(finding.shape)
        if shape.intersects(other) and (other.area == 0 or shape.intersection(other).area > 0):
            found.append(finding)
    return tuple(found)


def _card_finding(zone: Zone, finding: Finding) -> CardFinding:
    inside = to_shapely(zone.shape).intersection(to_shapely(finding.shape)).area if finding.shape else 0.0
    return CardFinding(finding.finding_id, finding.kind, finding.severity, finding.depth, inside, finding.note)


def _card_area(zone: Zone, area: Area) -> CardArea:
    return CardArea(
        area_id=area.area_id,
        title=area.title,
        purpose=area.purpose,
        edge_words=EDGE_WORDS[area.edge] if area.edge else f"edge {NOT_STATED}",
        margin_mm=area.margin,
        recreated=area.origin == "recreated",
        reason=area.reason,
        drawn_mm2=to_shapely(zone.shape).intersection(to_shapely(area.shape)).area,
    )


def _films(record: Record, zone_id: str) -> tuple[tuple[str, ZoneFilm], ...]:
    told = dict.fromkeys(reading.phase or "as found" for reading in record.readings_of.get(zone_id, ()))
    phases = sorted(told, key=lambda phase: phase != "as found")
    return tuple((phase, zone_film(record, zone_id, phase)) for phase in phases)


def _sources_of(
    record: Record, zone: Zone, areas: tuple[Area, ...], findings: tuple[Finding, ...]
) -> tuple[tuple[CardSource, ...], tuple[CardSource, ...]]:
    """Evidence that speaks of the zone; and apart what the work itself left."""
    about = [zone.zone_id, *(stack.stack_id for stack in record.stacks_of.get(zone.zone_id, ()))]
    about += [area.area_id for area in areas] + [finding.finding_id for finding in findings] + [zone.part_id]
    found: list[CardSource] = []
    work: list[CardSource] = []
    for source in record.sources:
        through = next((ident for ident in about if ident in source.about), None)
        if through:
            (work if source.tells_of_work else found).append(_card_source(source, through))
    return tuple(found), tuple(work)


def _card_source(source: Source, through: str) -> CardSource:
    return CardSource(source.source_id, source.kind, source.title, source.date, source.by, source.file, through)


def _not_seen(record: Record, zone: Zone, sources: tuple[CardSource, ...]) -> tuple[str, ...]:
    """What nobody has looked at or stated. A blank is never `none`."""
    stacks = record.stacks_of.get(zone.zone_id, ())
    said = []
    if not stacks:
        said.append("The finish: no stack was looked at here.")
    elif not any(stack.reaches_substrate for stack in stacks):
        said.append("The substrate: no stack here reaches it, layers may be missing below.")
    if not any(source.kind == "photo" for source in sources):
        said.append("A photo: none speaks of this zone or its part.")
    film = zone_film(record, zone.zone_id)
    if not film.n:
        refused = f"; {len(film.refused)} cannot be used" if film.refused else ""
        said.append(f"Film as found: no usable reading{refused}.")
    if zone.surface_ratio is None:
        said.append("The surface ratio: true area is taken as drawn area.")
    if zone.intent is None:
        said.append("The finish intent: not stated.")
    return tuple(said)
