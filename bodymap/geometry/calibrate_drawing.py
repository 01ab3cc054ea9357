"""A drawing that is there already brought to scale, with all that lies on it."""

from __future__ import annotations

from collections.abc import Iterator

from bodymap.errors import BodymapError
from bodymap.geometry.calibrate import Calibration
from bodymap.geometry.proposal import Proposal
from bodymap.model import Area, Datum, Entry, Finding, Line, Reading, Record, Shape, Stack, Zone
from bodymap.model.drawing import READY_MADE


def calibrated_drawing(record: Record, drawing_id: str, calibration: Calibration) -> Proposal:
    """Every shape and place of a drawing under a calibration; the drawing counts as measured from then on.

    That it was begun with a ready-made shape stays in its words: no curve of it was measured.

    Measures in words, widths of lines and depths were taken on the vehicle: they stay.

    Raises:
        BodymapError: no such drawing.
    """
    if drawing_id not in record.drawing:
        raise BodymapError(f"calibration: found no drawing {drawing_id!r}; allowed: {', '.join(record.drawing)}")
    before = record.drawing[drawing_id]
    words = calibration.words or "two points of known distance"
    if before.ready_made:
        words = f"{READY_MADE}; {words}"
    drawing = before.model_copy(update={"scale": "measured", "scale_from": words})
    replaced = tuple(
        (number, shape.model_copy(update={"shape": calibration.shape(shape.shape)}))
        for number, shape in enumerate(record.outline)
        if shape.drawing_id == drawing_id
    )
    return Proposal(
        (drawing, *_shapes(record, drawing_id, calibration), *_places(record, drawing_id, calibration)), (), replaced
    )


def _shapes(record: Record, drawing_id: str, calibration: Calibration) -> Iterator[Entry]:
    drawn: list[Zone | Datum | Area | Finding | Line] = [*record.zones, *record.datums, *record.areas, *record.findings]
    drawn += record.lines
    for entry in drawn:
        shape: Shape | None = entry.shape
        if entry.drawing_id == drawing_id and shape is not None:
            yield entry.model_copy(update={"shape": calibration.shape(shape)})


def _places(record: Record, drawing_id: str, calibration: Calibration) -> Iterator[Entry]:
    zones = {zone.zone_id for zone in record.zones_on.get(drawing_id, ())}
    placed: list[Stack | Reading] = [*record.stacks, *record.readings]
    for entry in placed:
        if entry.zone_id in zones and entry.x is not None and entry.y is not None:
            x, y = calibration.point(entry.x, entry.y)
            yield entry.model_copy(update={"x": x, "y": y})
