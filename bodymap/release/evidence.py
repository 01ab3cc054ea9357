"""What the survey still lacks before a zone may be stripped, because stripping destroys it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bodymap.film.fitness import refusal
from bodymap.film.spot_plan import room_for_spots, spots_needed
from bodymap.film.summary import zone_film
from bodymap.geometry.convert import to_shapely
from bodymap.model.part import Substrate
from bodymap.model.reading import Principle
from bodymap.model.record import Record
from bodymap.model.zone import Zone
from bodymap.release.blockers import Blocker, Where, listed
from bodymap.release.signing import is_after, released_on
from bodymap.settings import Settings

_GAUGES: dict[Principle, str] = {"magnetic": "a magnetic gauge", "eddy": "an eddy-current gauge", "ultrasonic": "ultrasonic"}
_SUBSTRATE: dict[Substrate, str] = {
    "steel": "steel",
    "aluminium": "aluminium",
    "grp": "GRP",
    "other": "a substrate that is not stated",
}


def evidence_blockers(record: Record, settings: Settings, zone: Zone) -> Iterator[Blocker]:
    """Stacks, faces, readings, findings, lines, photographs and the hazard test."""
    yield from _stacks(record, zone)
    yield from _readings(record, settings, zone)
    yield from _findings(record, zone)
    yield from _lines(record, zone)
    yield from _photo(record, zone)
    yield from _hazards(record, zone)


def spots_asked(record: Record, settings: Settings, zone: Zone) -> int:
    """Fewest spots at which the film of a zone is read before a strip.

    Asked of outer faces only; what hidden faces carry is told by their stacks. As many as the shop's spot plan has for its
    surface, but no more than squares of `spot_apart_mm` have room where a probe may be set down; none where it may nowhere.
    """
    if zone.face != "outer":
        return 0
    fit = math.ceil(room_for_spots(record, zone.zone_id, settings).area / settings.value("spot_apart_mm") ** 2)
    return min(spots_needed(to_shapely(zone.shape).area * zone.ratio, "shop", settings).spots, fit)


def _stacks(record: Record, zone: Zone) -> Iterator[Blocker]:
    if not any(stack.reaches_substrate for stack in record.stacks_of.get(zone.zone_id, ())):
        yield Blocker(
            "no-stack-to-substrate",
            f"nobody has looked through {zone.title} down to the substrate",
            "open one place to the substrate and enter its layers as a stack",
            Where("zone", zone.zone_id),
        )
    faces = record.zones_of_part[zone.part_id]
    unseen = [face for face in faces if face.zone_id != zone.zone_id and face.zone_id not in record.stacks_of]
    if unseen:
        part = record.part[zone.part_id]
        names = listed(tuple(f"{face.title} ({face.zone_id})" for face in unseen))
        many = len(unseen) > 1
        yield Blocker(
            "faces-not-seen",
            f"{len(unseen)} other face{'s' if many else ''} of {part.name} {'have' if many else 'has'} no stack: {names}",
            "look at each of them at one place and enter what is there, also where nothing is",
            Where("zone", unseen[0].zone_id),
        )


def _readings(record: Record, settings: Settings, zone: Zone) -> Iterator[Blocker]:
    asked = spots_asked(record, settings, zone)
    spots = zone_film(record, zone.zone_id).spots
    if spots >= asked:
        return
    substrate = record.part[zone.part_id].substrate
    owned = sorted({reading.principle for reading in record.readings})
    fit = [principle for principle in _GAUGES if refusal(principle, substrate) is None]
    what = f"film of {zone.title} read at {spots} of the {asked} spots asked"
    if owned and not set(owned) & set(fit):
        if _measured_in_a_stack(record, zone):
            return
        what += f"; no gauge of this record can read on {_SUBSTRATE[substrate]}"
        cure = "open a stack to the substrate and enter the µm of every layer: that counts in place of readings"
    else:
        reads = " or ".join(_GAUGES[principle] for principle in fit)
        cure = f"read {asked - spots} more, as found, with {reads}"
    yield Blocker("too-few-readings", what, cure, Where("reading", zone.zone_id))


def _measured_in_a_stack(record: Record, zone: Zone) -> bool:
    """Whether a stack to the substrate says the film of each of its layers."""
    for stack in record.stacks_of.get(zone.zone_id, ()):
        there = [layer for layer in record.layers_of.get(stack.stack_id, ()) if layer.extent != "none"]
        if stack.reaches_substrate and there and all(layer.um is not None for layer in there):
            return True
    return False


def _findings(record: Record, zone: Zone) -> Iterator[Blocker]:
    for finding in record.findings:
        if finding.shape is None and finding.drawing_id == zone.drawing_id:
            yield Blocker(
                "finding-without-geometry",
                f"the {finding.kind} {finding.finding_id} has no place on this drawing: it may lie in {zone.title}",
                f"draw {finding.finding_id} where it is",
                Where("finding", finding.finding_id),
            )


def _lines(record: Record, zone: Zone) -> Iterator[Blocker]:
    """A line has its offsets recorded where a source of kind measurement speaks of it."""
    measured = {ident for source in record.sources if source.kind == "measurement" for ident in source.about}
    surface = to_shapely(zone.shape)
    for line in record.lines:
        if line.drawing_id != zone.drawing_id or line.line_id in measured:
            continue
        painted = to_shapely(line.shape).buffer((line.width or 0.0) / 2) if line.width else to_shapely(line.shape)
        if surface.intersection(painted).length > 0:
            yield Blocker(
                "line-without-offsets",
                f"the line {line.line_id} runs over {zone.title} and its offsets from a datum are not recorded",
                f"measure its offsets at stations and enter them as a measurement about {line.line_id}",
                Where("line", line.line_id),
            )


def _photo(record: Record, zone: Zone) -> Iterator[Blocker]:
    day = released_on(record, zone.zone_id)
    about = {zone.zone_id, zone.part_id}
    for source in record.sources:
        if source.kind == "photo" and about & set(source.about) and not (day and is_after(source.date, day)):
            return
    yield Blocker(
        "no-photo-before",
        f"no photograph speaks of {zone.title} or its part as it was found",
        f"photograph it with a scale and enter the photograph about {zone.zone_id} or {zone.part_id}",
        Where("source", zone.zone_id),
    )


def _hazards(record: Record, zone: Zone) -> Iterator[Blocker]:
    about = {zone.zone_id, zone.part_id, "vehicle", record.vehicle.vehicle_id}
    if not any(one.what == "hazards tested" and one.subject in about for one in record.signoffs):
        yield Blocker(
            "hazards-not-tested",
            f"nobody has signed that the finish of {zone.title} was tested for lead and other hazards",
            "test it and have `hazards tested` signed for the zone, its part or the vehicle",
            Where("zone", zone.zone_id),
        )
