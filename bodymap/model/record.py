"""A whole record as it stands at one moment: every entry of every kind, in order, frozen."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import TypeVar

from bodymap.model.area import Area
from bodymap.model.coat import Coat
from bodymap.model.drawing import Datum, Drawing, OutlineShape
from bodymap.model.entry import Entry
from bodymap.model.finding import Finding, Line
from bodymap.model.part import Cover, Part
from bodymap.model.plan import Goal, Step
from bodymap.model.reading import Reading
from bodymap.model.signoff import Setting, Signoff
from bodymap.model.source import Beside, MediaFile, Source
from bodymap.model.stack import Layer, Stack
from bodymap.model.vehicle import Vehicle
from bodymap.model.zone import Zone

# Every kind of entry, in the order in which a folder is read and a journal begins: what is referred to comes first.
KINDS: Mapping[str, type[Entry]] = {
    model.KIND: model
    for model in (
        Vehicle,
        Drawing,
        OutlineShape,
        Part,
        Zone,
        Cover,
        Datum,
        Coat,
        Stack,
        Layer,
        Area,
        Finding,
        Line,
        Reading,
        Source,
        Goal,
        Step,
        Signoff,
        Setting,
        MediaFile,
        Beside,
    )
}

_E = TypeVar("_E", bound=Entry)


@dataclass(frozen=True)
class Record:
    """The current state of a record. Each field holds the entries of one kind in their order."""

    vehicle: Vehicle
    drawings: tuple[Drawing, ...] = ()
    outline: tuple[OutlineShape, ...] = ()
    parts: tuple[Part, ...] = ()
    zones: tuple[Zone, ...] = ()
    covers: tuple[Cover, ...] = ()
    datums: tuple[Datum, ...] = ()
    coats: tuple[Coat, ...] = ()
    stacks: tuple[Stack, ...] = ()
    layers: tuple[Layer, ...] = ()
    areas: tuple[Area, ...] = ()
    findings: tuple[Finding, ...] = ()
    lines: tuple[Line, ...] = ()
    readings: tuple[Reading, ...] = ()
    sources: tuple[Source, ...] = ()
    goals: tuple[Goal, ...] = ()
    steps: tuple[Step, ...] = ()
    signoffs: tuple[Signoff, ...] = ()
    settings: tuple[Setting, ...] = ()
    media: tuple[MediaFile, ...] = ()
    beside: tuple[Beside, ...] = ()

    @classmethod
    def of(cls, entries: Iterable[Entry], foreign: Mapping[str, Mapping[str, object]] | None = None) -> Record:
        """A record of entries in any order of kinds; within a kind their order is kept.

        `foreign`: what stands in a file beside its rows, by file name, where the entries do not say it (`Beside`).

        Raises:
            ValueError: there is no vehicle, or more than one.
        """
        held: dict[str, list[Entry]] = defaultdict(list)
        for entry in entries:
            held[entry.KIND].append(entry)
        told = {entry.ident for entry in held[Beside.KIND]}
        held[Beside.KIND] += [
            Beside(file=file, more=dict(members)) for file, members in (foreign or {}).items() if file not in told
        ]
        vehicles = held.pop(Vehicle.KIND, [])
        if len(vehicles) != 1:
            raise ValueError(f"a record has one vehicle, found {len(vehicles)}")
        kinds = {_FIELD_OF[kind]: tuple(group) for kind, group in held.items()}
        return cls(vehicle=vehicles[0], **kinds)  # type: ignore[arg-type]

    def of_kind(self, kind: str) -> tuple[Entry, ...]:
        """The entries of one kind, by its name in KINDS."""
        value = getattr(self, _FIELD_OF[kind])
        return value if isinstance(value, tuple) else (value,)

    def entries(self) -> Iterable[Entry]:
        """Every entry, kind by kind in the order of KINDS."""
        for kind in KINDS:
            yield from self.of_kind(kind)

    def with_kind(self, kind: str, entries: Iterable[Entry]) -> Record:
        """The same record with the entries of one kind (not the vehicle) in place of its own."""
        return replace(self, **{_FIELD_OF[kind]: tuple(entries)})  # type: ignore[arg-type]

    @cached_property
    def foreign(self) -> Mapping[str, Mapping[str, object]]:
        """What stands in a file beside its rows, by file name."""
        return {entry.file: entry.more for entry in self.beside}

    @cached_property
    def drawing(self) -> Mapping[str, Drawing]:
        """Drawings by id."""
        return _by_ident(self.drawings)

    @cached_property
    def part(self) -> Mapping[str, Part]:
        """Parts by id."""
        return _by_ident(self.parts)

    @cached_property
    def zone(self) -> Mapping[str, Zone]:
        """Zones by id."""
        return _by_ident(self.zones)

    @cached_property
    def coat(self) -> Mapping[str, Coat]:
        """Coats by id."""
        return _by_ident(self.coats)

    @cached_property
    def stack(self) -> Mapping[str, Stack]:
        """Stacks by id."""
        return _by_ident(self.stacks)

    @cached_property
    def area(self) -> Mapping[str, Area]:
        """Kept and mask areas by id."""
        return _by_ident(self.areas)

    @cached_property
    def datum(self) -> Mapping[str, Datum]:
        """Datums by id."""
        return _by_ident(self.datums)

    @cached_property
    def media_file(self) -> Mapping[str, MediaFile]:
        """Files that lie beside the record, by name."""
        return _by_ident(self.media)

    @cached_property
    def layers_of(self) -> Mapping[str, tuple[Layer, ...]]:
        """Layers by stack_id, from the substrate outward; a stack without layers has none here."""
        grouped = group_by(self.layers, "stack_id")
        return {stack: tuple(sorted(layers, key=lambda layer: layer.position)) for stack, layers in grouped.items()}

    @cached_property
    def stacks_of(self) -> Mapping[str, tuple[Stack, ...]]:
        """Stacks by zone_id."""
        return group_by(self.stacks, "zone_id")

    @cached_property
    def zones_on(self) -> Mapping[str, tuple[Zone, ...]]:
        """Zones by drawing_id."""
        return group_by(self.zones, "drawing_id")

    @cached_property
    def zones_of_part(self) -> Mapping[str, tuple[Zone, ...]]:
        """Zones by part_id."""
        return group_by(self.zones, "part_id")

    @cached_property
    def covers_of(self) -> Mapping[str, tuple[Cover, ...]]:
        """What hides a zone, by zone_id."""
        return group_by(self.covers, "zone_id")

    @cached_property
    def readings_of(self) -> Mapping[str, tuple[Reading, ...]]:
        """Readings by zone_id."""
        return group_by(self.readings, "zone_id")

    @cached_property
    def ids(self) -> frozenset[str]:
        """Every id in the record, of whatever kind."""
        return frozenset(entry.ident for entry in self.entries() if len(entry.KEY) == 1)


_FIELD_OF: Mapping[str, str] = dict(zip(KINDS, [f.name for f in fields(Record)], strict=False))


def field_of(kind: str) -> str:
    """Name of the Record field which holds a kind."""
    return _FIELD_OF[kind]


def group_by(entries: Iterable[_E], name: str) -> Mapping[str, tuple[_E, ...]]:
    """Entries grouped by the value of one field, their order kept."""
    groups: dict[str, list[_E]] = defaultdict(list)
    for entry in entries:
        groups[getattr(entry, name)].append(entry)
    return {key: tuple(group) for key, group in groups.items()}


def _by_ident(entries: Iterable[_E]) -> Mapping[str, _E]:
    return {entry.ident: entry for entry in entries}
