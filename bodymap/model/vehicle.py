"""The vehicle."""

from __future__ import annotations

from typing import ClassVar

from bodymap.model.columns import Id, Text
from bodymap.model.entry import Entry


class Vehicle(Entry):
    """The one vehicle of a record."""

    KIND: ClassVar[str] = "vehicle"
    FILE: ClassVar[str] = "vehicle.csv"
    KEY: ClassVar[tuple[str, ...]] = ("vehicle_id",)

    vehicle_id: Id
    name: Text
    maker: Text | None = None
    year: Text | None = None
    serial: Text | None = None
    owner: Text | None = None
    notes: Text | None = None
