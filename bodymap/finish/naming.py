"""Zones and parts by the names people know them by, for notes that are read; the id only where a name is not enough."""

from __future__ import annotations

from collections.abc import Sequence

from bodymap.model.record import Record

NAMED_MOST = 8


def zone_said(record: Record, zone_id: str) -> str:
    """A zone by its name; with its id where another zone has the same name."""
    zone = record.zone.get(zone_id)
    return _said(zone_id, zone.title if zone else None, [one.title for one in record.zones])


def part_said(record: Record, part_id: str) -> str:
    """A part by its name; with its id where another part has the same name."""
    part = record.part.get(part_id)
    return _said(part_id, part.name if part else None, [one.name for one in record.parts])


def zones_said(record: Record, zone_ids: Sequence[str]) -> str:
    """The first few zones by name, and how many more there are; parted by semicolons, as a name may hold commas."""
    more = f"; and {len(zone_ids) - NAMED_MOST} more" if len(zone_ids) > NAMED_MOST else ""
    return "; ".join(zone_said(record, one) for one in zone_ids[:NAMED_MOST]) + more


def _said(ident: str, name: str | None, names: Sequence[str | None]) -> str:
    if not name or name == ident:
        return ident
    return f"{name} ({ident})" if names.count(name) > 1 else name
