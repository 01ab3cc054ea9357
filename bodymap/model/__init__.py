"""The nouns of a record: frozen, one a module. Blank stays blank; unknown columns are kept in `more`."""

from bodymap.model.area import Area
from bodymap.model.coat import Coat
from bodymap.model.columns import Column, columns_of
from bodymap.model.drawing import Datum, Drawing, OutlineShape
from bodymap.model.entry import Entry
from bodymap.model.finding import Finding, Line
from bodymap.model.journal import Head, JournalEntry
from bodymap.model.part import Cover, Part
from bodymap.model.plan import Goal, Step
from bodymap.model.reading import Reading
from bodymap.model.record import KINDS, Record
from bodymap.model.shapes import Shape
from bodymap.model.signoff import Setting, Signoff
from bodymap.model.source import Beside, MediaFile, Source
from bodymap.model.stack import Layer, Stack
from bodymap.model.vehicle import Vehicle
from bodymap.model.zone import Zone

__all__ = [
    "KINDS",
    "Area",
    "Beside",
    "Coat",
    "Column",
    "Cover",
    "Datum",
    "Drawing",
    "Entry",
    "Finding",
    "Goal",
    "Head",
    "JournalEntry",
    "Layer",
    "Line",
    "MediaFile",
    "OutlineShape",
    "Part",
    "Reading",
    "Record",
    "Setting",
    "Shape",
    "Signoff",
    "Source",
    "Stack",
    "Step",
    "Vehicle",
    "Zone",
    "columns_of",
]
