"""What the record file is made of, as SQL: an OGC GeoPackage (OGC 12-128, version 1.3) that any GIS opens as it is.

For each kind of entry there is one append-only log table with typed columns, derived from the kind's model, and one
view of its current state. `journal` says of each entry who, when, why and what; its `seq` is the key of the log rows.
A withdrawn thing has a row in the journal only, so it drops out of the views by itself.

Kept out on purpose, because older readers fail on the whole file: STRICT tables and the ->> operator. View columns are
direct column references, and the first is a unique integer, because readers take types and feature ids from them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from bodymap.model.columns import Column, ColumnKind, columns_of
from bodymap.model.entry import Entry
from bodymap.model.record import KINDS, field_of
from bodymap.store.blobs import SRS_ID

APPLICATION_ID = 0x47504B47  # "GPKG", OGC 12-128 requirement 2
USER_VERSION = 10_300  # GeoPackage 1.3; the own schema version stands in bodymap_migration
FORMAT = "bodymap record"
SCHEMA_VERSION = 2
HISTORY = "history"

_TYPES: Mapping[ColumnKind, tuple[str, str]] = {
    "id": ("TEXT", "text"),
    "ids": ("TEXT", "text"),
    "text": ("TEXT", "text"),
    "number": ("REAL", "real"),
    "whole": ("INTEGER", "integer"),
    "yes_no": ("BOOLEAN", "integer"),
    "choice": ("TEXT", "text"),
    "choices": ("TEXT", "text"),
    "date": ("TEXT", "text"),  # a year or a month alone is a date here, which no DATE column may hold
    "colour": ("TEXT", "text"),
    "shape": ("GEOMETRY", "blob"),
}
_TITLES = {
    "vehicle": "The vehicle",
    "drawing": "Flat drawings, a plane in mm each",
    "outline": "What makes the vehicle recognisable and is no zone",
    "part": "Parts of the body",
    "zone": "Surfaces with one finish history",
    "cover": "Which part hides which zone",
    "datum": "Points and lines to measure from",
    "coat": "Coats: one application of one material, once",
    "stack": "Places where the layers were looked at",
    "layer": "Layers seen there, position 1 nearest the substrate",
    "area": "Areas kept, or covered while a coat goes on",
    "finding": "What was found",
    "line": "Hand-painted and taped lines",
    "reading": "Film readings in µm",
    "source": "Evidence",
    "goal": "The finish wanted",
    "step": "Steps of the planned repaint",
    "signoff": "Decisions with a name to them",
    "setting": "Working figures of this record's own",
    "media": "Files that lie beside the record",
    "beside": "What stands in a file of the open folder beside its rows",
}
_MM_WKT = 'LOCAL_CS["Drawing plane (mm)",LOCAL_DATUM["Drawing",0],UNIT["millimetre",0.001],AXIS["x",EAST],AXIS["y",NORTH]]'
_WGS84_WKT = (
    'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563,AUTHORITY["EPSG","7030"]],'
    'AUTHORITY["EPSG","6326"]],PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",0.0174532925199433,'
    'AUTHORITY["EPSG","9122"]],AUTHORITY["EPSG","4326"]]'
)

_GPKG = (
    """CREATE TABLE gpkg_spatial_ref_sys (
  srs_name TEXT NOT NULL,
  srs_id INTEGER NOT NULL PRIMARY KEY,
  organization TEXT NOT NULL,
  organization_coordsys_id INTEGER NOT NULL,
  definition TEXT NOT NULL,
  description TEXT
)""",
    """CREATE TABLE gpkg_contents (
  table_name TEXT NOT NULL PRIMARY KEY,
  data_type TEXT NOT NULL,
  identifier TEXT UNIQUE,
  description TEXT DEFAULT '',
  last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')),
  min_x DOUBLE,
  min_y DOUBLE,
  max_x DOUBLE,
  max_y DOUBLE,
  srs_id INTEGER,
  CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id)
)""",
    """CREATE TABLE gpkg_geometry_columns (
  table_name TEXT NOT NULL,
  column_name TEXT NOT NULL,
  geometry_type_name TEXT NOT NULL,
  srs_id INTEGER NOT NULL,
  z TINYINT NOT NULL,
  m TINYINT NOT NULL,
  CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name),
  CONSTRAINT uk_gc_table_name UNIQUE (table_name),
  CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name),
  CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys (srs_id)
)""",
)
_OWN = (
    """CREATE TABLE bodymap_migration (
  version INTEGER NOT NULL PRIMARY KEY,
  format TEXT NOT NULL,
  name TEXT NOT NULL,
  at TEXT NOT NULL
)""",
    """CREATE TABLE journal (
  seq INTEGER NOT NULL PRIMARY KEY CHECK (seq > 0),
  at DATETIME NOT NULL,
  by TEXT NOT NULL CHECK (trim(by) <> ''),
  why TEXT NOT NULL,
  act TEXT NOT NULL CHECK (act IN ('put', 'withdraw')),
  kind TEXT NOT NULL,
  ident TEXT NOT NULL,
  place INTEGER NOT NULL,
  before TEXT NOT NULL CHECK (length(before) = 64),
  hash TEXT NOT NULL CHECK (length(hash) = 64)
)""",
    "CREATE INDEX journal_of_one ON journal (kind, ident, seq)",
    # An INSERT OR REPLACE deletes without firing delete triggers, so what is inserted is looked at as well.
    """CREATE TRIGGER journal_follows BEFORE INSERT ON journal
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM journal)
  OR NEW.before IS NOT coalesce((SELECT hash FROM journal ORDER BY seq DESC LIMIT 1), printf('%064d', 0))
BEGIN SELECT RAISE(ABORT, 'an entry of the journal follows the last one'); END""",
)

_HISTORY_VIEW = """CREATE VIEW history AS SELECT seq AS seq, at AS at, by AS by, why AS why, act AS act, kind AS kind,
ident AS ident, place AS place, hash AS hash FROM journal"""


def log_of(kind: str) -> str:
    """Name of the log table of a kind."""
    return f"log_{kind}"


def view_of(kind: str) -> str:
    """Name of the view of a kind's current state."""
    return field_of(kind)


def shape_column(model: type[Entry]) -> str | None:
    """Name of the column that holds the geometry; None where the kind has none."""
    return next((column.name for column in columns_of(model) if column.kind == "shape"), None)


def statements() -> Iterator[str]:
    """Everything that is created, in order."""
    yield from _GPKG
    yield from _OWN
    yield from _kept("journal", "an entry of the journal")
    for kind, model in KINDS.items():
        yield log_table(kind, model)
        yield from _kept(log_of(kind), "an entry of the record")
        yield _log_follows(kind)
        yield view(kind, model)
    yield _HISTORY_VIEW


def registrations(at: str) -> Iterator[tuple[str, tuple[object, ...]]]:
    """The rows by which a GIS finds reference systems and layers. `at`: ISO time with milliseconds and Z."""
    srs = "INSERT INTO gpkg_spatial_ref_sys VALUES (?, ?, ?, ?, ?, ?)"
    yield srs, ("Undefined Cartesian SRS", -1, "NONE", -1, "undefined", "undefined Cartesian coordinate reference system")
    yield srs, ("Undefined geographic SRS", 0, "NONE", 0, "undefined", "undefined geographic coordinate reference system")
    yield srs, ("WGS 84 geodetic", 4326, "EPSG", 4326, _WGS84_WKT, "longitude/latitude coordinates in decimal degrees")
    yield srs, ("Drawing plane (mm)", SRS_ID, "BODYMAP", SRS_ID, _MM_WKT, "one plane for each drawing, x right, y up, in mm")
    contents = (
        "INSERT INTO gpkg_contents (table_name, data_type, identifier, description, last_change, srs_id) "
        "VALUES (?, ?, ?, ?, ?, ?)"
    )
    for kind, model in KINDS.items():
        shape = shape_column(model)
        data_type, srs_id = ("features", SRS_ID) if shape else ("attributes", None)
        yield contents, (view_of(kind), data_type, view_of(kind), _TITLES.get(kind, kind), at, srs_id)
        if shape:
            yield "INSERT INTO gpkg_geometry_columns VALUES (?, ?, 'GEOMETRY', ?, 0, 0)", (view_of(kind), shape, SRS_ID)
    yield contents, (HISTORY, "attributes", HISTORY, "Who changed what, when and why", at, None)


def log_table(kind: str, model: type[Entry]) -> str:
    """The log table of a kind: its columns as its model has them, and `more` for what is unknown (JSON)."""
    columns = ",\n  ".join(_column(column) for column in columns_of(model))
    return f"""CREATE TABLE {log_of(kind)} (
  seq INTEGER NOT NULL PRIMARY KEY REFERENCES journal(seq),
  {columns},
  "more" TEXT CHECK (typeof("more") IN ('text', 'null'))
)"""


def view(kind: str, model: type[Entry]) -> str:
    """The current state of a kind: the last entry of each thing that was not withdrawn since."""
    names = ", ".join(f'l."{name}" AS "{name}"' for name in (*(column.name for column in columns_of(model)), "more"))
    return f"""CREATE VIEW "{view_of(kind)}" AS SELECT l.seq AS seq, j.place AS place, {names}
FROM {log_of(kind)} l JOIN journal j ON j.seq = l.seq
JOIN (SELECT max(seq) AS seq FROM journal WHERE kind = '{kind}' GROUP BY ident) c ON c.seq = l.seq"""  # noqa: S608


def _column(column: Column) -> str:
    sql_type, stored = _TYPES[column.kind]
    needed = " NOT NULL" if column.required else ""
    allowed = f"= '{stored}'" if column.required else f"IN ('{stored}', 'null')"
    return f'"{column.name}" {sql_type}{needed} CHECK (typeof("{column.name}") {allowed})'


def _kept(table: str, what: str) -> Iterator[str]:
    for act in ("UPDATE", "DELETE"):
        yield f"""CREATE TRIGGER {table}_no_{act.lower()} BEFORE {act} ON {table}
BEGIN SELECT RAISE(ABORT, '{what} is written once and stays'); END"""


def _log_follows(kind: str) -> str:
    return f"""CREATE TRIGGER {log_of(kind)}_follows BEFORE INSERT ON {log_of(kind)}
WHEN NEW.seq IS NOT (SELECT max(seq) FROM journal)
  OR NOT EXISTS (SELECT 1 FROM journal WHERE seq = NEW.seq AND kind = '{kind}' AND act = 'put')
  OR EXISTS (SELECT 1 FROM {log_of(kind)} WHERE seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'an entry of the record belongs to the last entry of the journal'); END"""  # noqa: S608
