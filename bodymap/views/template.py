"""A full-size template: one thing of a measured drawing at its true size, with what it takes to lay it on the vehicle."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError, Fault, Faults
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.painted_line import stripe_of
from bodymap.geometry.twin_side import speaks_of_lettering
from bodymap.geometry.validity import shape_fault
from bodymap.model import Area, Drawing, Entry, Line, Record
from bodymap.settings import Settings
from bodymap.views.template_ink import HATCH_BAND_MM, Ink, Named, Subject, Turn, ink_of, line_title, names_of

Bounds = tuple[float, float, float, float]
_KINDS = ("area", "zone", "line", "drawing")
NOT_STATED = "not stated"
_TOUCH_MM = 0.01


@dataclass(frozen=True)
class Template:
    """A template at true size, y up.

    Attributes:
        kind: area, zone, line or drawing; `ident`, `title`: of the thing asked for.
        vehicle, drawing, scale_from: where it comes from, and how the scale of that drawing was fixed.
        stays: what the lines say about which side stays.
        banners: what must be read first; `notes`: what else must be known.
        mirrored: x runs the other way, for the back of a film; text never does.
        bounds: of the thing asked for [mm].
        ink, names: what is drawn and what is written.
        shape: of the thing asked for.
    """

    kind: str
    ident: str
    title: str
    vehicle: str
    drawing: str
    scale_from: str
    stays: str
    banners: tuple[str, ...]
    notes: tuple[str, ...]
    mirrored: bool
    bounds: Bounds
    ink: tuple[Ink, ...]
    names: tuple[Named, ...]
    shape: BaseGeometry


def template_of(record: Record, ident: str, settings: Settings, *, mirror: bool = False) -> Template:
    """The template of an area, a zone, a painted line or a whole drawing.

    Args:
        record: the record.
        ident: its id; `area:`, `zone:`, `line:` or `drawing:` before it where several kinds share it.
        settings: the figures in force.
        mirror: turned left to right, for the back of a film. Text is not, and what is lettering is left out.

    Raises:
        BodymapError: no such thing, a drawing that is not measured, or lettering that would be mirrored.
        Faults: a surface that crosses itself.
    """
    subject = subject_of(record, ident)
    drawing = record.drawing[subject.drawing_id]
    refuse_schematic(drawing)
    shape = _shape_of(record, subject)
    x0, y0, x1, y1 = (float(one) for one in shape.bounds)
    turn = _turn((x0 + x1) / 2) if mirror else _straight
    left_out = _lettering(record, drawing.drawing_id) if mirror else {}
    if mirror and subject.ident in left_out:
        raise BodymapError(
            f"template of {subject.ident}: found {left_out[subject.ident]} to be mirrored; allowed: print it "
            "without --mirror, as what is written never mirrors"
        )
    gone = frozenset(left_out)
    return Template(
        kind=subject.KIND,
        ident=subject.ident,
        title=_title(subject),
        vehicle=record.vehicle.name,
        drawing=drawing.name,
        scale_from=drawing.scale_from or NOT_STATED,
        stays=_stays(subject),
        banners=_banners(subject, drawing, mirror=mirror),
        notes=_notes(record, subject, shape, settings, left_out),
        mirrored=mirror,
        bounds=(x0, y0, x1, y1),
        ink=ink_of(record, drawing.drawing_id, subject, turn, gone),
        names=names_of(record, drawing.drawing_id, subject, turn, gone),
        shape=turn(shape),
    )


def subject_of(record: Record, ident: str) -> Subject:
    """The area, zone, line or drawing with an id.

    Raises:
        BodymapError: none or more than one has it.
    """
    sorts: dict[str, Mapping[str, Subject]] = {
        "area": record.area,
        "zone": record.zone,
        "line": {line.line_id: line for line in record.lines},
        "drawing": record.drawing,
    }
    asked, name = [*([""] if ":" not in ident else []), *ident.split(":", 1)][-2:]
    found = [(kind, held[name]) for kind, held in sorts.items() if name in held and asked in ("", kind)]
    if len(found) == 1:
        return found[0][1]
    if found:
        either = " or ".join(f"{kind}:{name}" for kind, _ in found)
        raise BodymapError(f"template: found {name!r} as the id of {len(found)} things; allowed: {either}")
    known = sorted({key for held in sorts.values() for key in held})
    near = difflib.get_close_matches(name, known, n=5, cutoff=0.5) or known[:8]
    raise BodymapError(
        f"template: found no area, zone, line or drawing {ident!r}; allowed: the id of one, such as {', '.join(near)}"
    )


def refuse_schematic(drawing: Drawing) -> None:
    """Refuses a drawing that is not to scale.

    Raises:
        BodymapError: it is schematic; says how to bring it to scale.
    """
    if drawing.schematic:
        raise BodymapError(
            f"template: found drawing {drawing.drawing_id} ({drawing.name}) to be schematic: its shapes are signs and have "
            "no size; allowed: a measured drawing. Bring it to scale first: bodymap open RECORD, screen “Drawings and "
            "zones”: set two points of it as far apart as can be and type the distance between them on the vehicle"
        )


def _shape_of(record: Record, subject: Subject) -> BaseGeometry:
    if isinstance(subject, Drawing):
        return _everything(record, subject)
    if isinstance(subject, Line):
        return stripe_of(subject) or to_shapely(subject.shape)
    why = shape_fault(subject.shape)
    if why:
        allowed = "a surface that does not cross itself"
        raise Faults("template", [Fault(subject.FILE, column="geometry", found=why, allowed=allowed, subject=subject.ident)])
    return to_shapely(subject.shape)


def _everything(record: Record, drawing: Drawing) -> BaseGeometry:
    drawn: list[Entry] = [*record.outline, *record.zones, *record.areas, *record.lines, *record.findings]
    shapes = [getattr(one, "shape", None) for one in drawn if getattr(one, "drawing_id", "") == drawing.drawing_id]
    found = [to_shapely(shape) for shape in shapes if shape is not None]
    if not found:
        raise BodymapError(f"template: found nothing drawn on {drawing.drawing_id}; allowed: a drawing with something on it")
    lines = [one.boundary if one.geom_type in ("Polygon", "MultiPolygon") else one for one in found]
    return shapely.GeometryCollection(lines)


def _straight(shape: BaseGeometry) -> BaseGeometry:
    return shape


def _turn(axis_x: float) -> Turn:
    def turned(shape: BaseGeometry) -> BaseGeometry:
        return shapely.transform(shape, lambda xy: np.column_stack((2 * axis_x - xy[:, 0], xy[:, 1])))

    return turned


def _lettering(record: Record, drawing_id: str) -> dict[str, str]:
    """What is lettering on a drawing, by id, in words."""
    found = {one.area_id: f"an area that speaks of lettering ({one.title})" for one in record.areas
             if one.drawing_id == drawing_id and speaks_of_lettering(one.name, one.reason, one.area_id)}  # fmt: skip
    for finding in record.findings:
        if finding.drawing_id == drawing_id and (finding.kind == "ghost" or speaks_of_lettering(finding.note)):
            found[finding.finding_id] = f"a {finding.kind}, which may be lettering"
    return found


def _title(subject: Subject) -> str:
    if isinstance(subject, Line):
        return line_title(subject)
    return subject.name if isinstance(subject, Drawing) else subject.title


def _stays(subject: Subject) -> str:
    if isinstance(subject, Area) and subject.purpose == "keep":
        return "Hatched side of the line: STAYS as it is. Never stripped, sanded or painted."
    if isinstance(subject, Area):
        return "Hatched side of the line: COVERED while a coat goes on. The other side is painted."
    if isinstance(subject, Line):
        return "Full lines: the two edges of the stripe. Chain line: its centre."
    return "Hatched sides are kept or covered." if isinstance(subject, Drawing) else "Full line: the edge of the zone."


def _banners(subject: Subject, drawing: Drawing, *, mirror: bool) -> tuple[str, ...]:
    said = []
    if drawing.ready_made:
        said.append("FROM A READY-MADE SHAPE: two points give its size, no curve. Hold it to the vehicle before cutting.")
    if mirror:
        said.append("MIRRORED, for the back of the film: lay it face down. Text is not mirrored.")
    if isinstance(subject, Area) and subject.origin == "recreated":
        said.append("RE-CREATED EDGE: made again by us, not original. Never show or record it as old.")
    if isinstance(subject, Area) and subject.edge is None:
        said.append("EDGE KIND NOT STATED: do not tape before somebody has decided it.")
    if isinstance(subject, Line) and stripe_of(subject) is None:
        said.append("WIDTH NOT STATED: only the centre of the line is drawn.")
    return tuple(said)


def _notes(
    record: Record, subject: Subject, shape: BaseGeometry, settings: Settings, left_out: Mapping[str, str]
) -> tuple[str, ...]:
    said = [f"{name} is left out of the mirrored print: {why}." for name, why in left_out.items()]
    if isinstance(subject, Area):
        if subject.purpose == "keep" and subject.margin:
            said.append(f"Dashed: the margin of {subject.margin:g} mm worked by hand only, as far as the sheets reach.")
        elif subject.purpose == "keep" and subject.margin is None:
            said.append("Margin worked by hand only: not stated. Ask before blasting or stripping near it.")
        if shape.buffer(-HATCH_BAND_MM).area > 0:
            said.append(f"The hatch runs {HATCH_BAND_MM:g} mm along the edge; the whole of that side stays.")
    if isinstance(subject, Line) and subject.note:
        said.append(f"On the line: {subject.note}")
    crowned = [
        zone
        for zone in record.zones_on.get(subject.drawing_id, ())
        # A shared edge is no overlap.
        if zone.ratio >= settings.value("curved_ratio") and to_shapely(zone.shape).buffer(-_TOUCH_MM).intersects(shape)
    ]
    if crowned:
        named = ", ".join(f"{zone.title} ({zone.ratio:g})" for zone in crowned[:3])
        more = f" and {len(crowned) - 3} more" if len(crowned) > 3 else ""
        said.append(
            f"Crowned, by its surface ratio: {named}{more}. The drawing is flat and the panel is longer than the sheet: lay "
            "it from the datum outward, slit it where it lifts, and check with a rule."
        )
    return tuple(said)
