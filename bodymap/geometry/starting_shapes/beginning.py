"""A record from nothing: the vehicle, its drawings, and a starting shape where one is wanted."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

from bodymap.errors import Fault, Faults
from bodymap.geometry.starting_shapes import STANDARD_DRAWINGS, drawing, starting_shape
from bodymap.model import Entry, Vehicle
from bodymap.model.part import Substrate

_EMPTY = "nothing is drawn on it yet"
_ID_MOST = 64


def beginning(
    name: str,
    shape: str | None = None,
    *,
    length_mm: float | None = None,
    height_mm: float | None = None,
    wheelbase_mm: float | None = None,
    width_mm: float | None = None,
    substrate: Substrate | None = None,
    told: Mapping[str, str] | None = None,
) -> tuple[Entry, ...]:
    """The first entries of a record. Without a shape: the vehicle and five empty outside drawings, schematic.

    Args:
        name: of the vehicle.
        shape: a starting shape by its name.
        length_mm: of the vehicle, for the shape.
        height_mm: likewise.
        wheelbase_mm: likewise.
        width_mm: likewise.
        substrate: what its parts are of; None: not stated, they are put down as `other`.
        told: what else is known of the vehicle (maker, year, serial, owner, notes); blanks stay not stated.

    Raises:
        Faults: a blank name, or measures or a substrate without a shape to which they could belong.
        BodymapError: no such shape, or a size that it cannot be brought to.
    """
    size = {"length_mm": length_mm, "height_mm": height_mm, "wheelbase_mm": wheelbase_mm, "width_mm": width_mm}
    faults = []
    if not name.strip():
        faults.append(Fault("vehicle", column="name", found="a blank", allowed="what the vehicle is called"))
    if shape is None:
        said = {**{key: f"{value:g}" for key, value in size.items() if value is not None}}
        said |= {"substrate": substrate} if substrate else {}
        faults += [Fault("starting shape", column=key, found=f"{value} and no shape", allowed="only with a starting shape")
                   for key, value in said.items()]  # fmt: skip
    if faults:
        raise Faults("a new record", faults)
    known = {key: text.strip() for key, text in (told or {}).items() if text.strip()}
    vehicle = Vehicle.model_validate({"vehicle_id": ident_of(name), "name": name.strip(), **known})
    if shape is None:
        empty = (drawing(ident).model_copy(update={"scale_from": _EMPTY}) for ident in STANDARD_DRAWINGS)
        return (vehicle, *empty)
    return (vehicle, *starting_shape(shape, **size, substrate=substrate or "other").entries())


def ident_of(name: str, otherwise: str = "vehicle") -> str:
    """An id made of a name; `otherwise`: where nothing of it can stand in an id.

    >>> ident_of("Délivery van “7”"), ident_of("車")
    ('delivery-van-7', 'vehicle')
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9_]+", "-", plain).strip("-")[:_ID_MOST] or otherwise
