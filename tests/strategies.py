"""Domain objects for property tests, made once for all of them.

`kept_records()` gives whole records with their media, every reference in them leading somewhere; `records()` the record
alone; `journals()` a chained history. All are in the form in which the open folder gives them back: a blank is None,
surfaces have their outer ring counter-clockwise, media are in the order of their names.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from hypothesis import strategies as st

from bodymap.model import (
    KINDS,
    Area,
    Coat,
    Cover,
    Datum,
    Drawing,
    Finding,
    Goal,
    Layer,
    Line,
    MediaFile,
    OutlineShape,
    Part,
    Reading,
    Record,
    Setting,
    Shape,
    Signoff,
    Source,
    Stack,
    Step,
    Vehicle,
    Zone,
    columns_of,
)
from bodymap.model.journal import FIRST_HASH, body_of, chained
from bodymap.settings import BASES, DEFAULTS

CHARS = st.characters(exclude_categories=["Cs"], exclude_characters="\x00")
TEXTS = st.text(CHARS, min_size=1, max_size=10) | st.sampled_from(
    [
        'say "so"',
        "a,b;c",
        "line\r\nbreak",
        "\r",
        "\n",
        " spaced ",
        "=1+1",
        "@x",
        "µm – ’",
        "𝄞",
        "'",
        '"',
        "null",
        "-0",
        "\ufeff",
    ]
)
NAMES = TEXTS.filter(lambda text: text.strip())
IDENTS = st.text("ABCxyz019_-", min_size=1, max_size=5) | st.text("Ab9_-", min_size=64, max_size=64)
DATES = st.sampled_from(["1969", "1969-07", "2026-03-01", "2026-03-01T10:15", "2026-03-01T10:15:30.25+01:00", "1962/1969"])
COLOURS = st.integers(0, 0xFFFFFF).map("#{:06x}".format)
FINITE = st.floats(allow_nan=False, allow_infinity=False)
LEAST_ZERO = st.floats(0, allow_infinity=False)
OVER_ZERO = st.floats(0, allow_infinity=False, exclude_min=True)
PLACES = st.floats(-1e7, 1e7)
JSON_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**20), 10**20) | FINITE | st.text(CHARS, max_size=5),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(CHARS, max_size=3), inner, max_size=2),
    max_leaves=4,
)
KNOWN = {column.name for model in KINDS.values() for column in columns_of(model)}
UNKNOWN_NAMES = NAMES.filter(lambda name: name.strip() not in KNOWN and name not in ("type", "features", "plane", "bbox"))


@dataclass(frozen=True)
class KeptRecord:
    """A record and the bytes of its media by name."""

    record: Record
    media: dict[str, bytes]


def optional(strategy):
    """The value, or a blank."""
    return st.none() | strategy


# --- shapes -----------------------------------------------------------------------------------------------------------


def _ring(x, y, width, height):
    return [[x, y], [x + width, y], [x + width, y + height], [x, y + height], [x, y]]


QUARTERS = st.integers(-5000, 5000)


@st.composite
def polygons(draw, x=QUARTERS):
    """A rectangle in quarter millimetres, counter-clockwise, with or without a hole (clockwise)."""
    left, bottom = draw(x) / 4, draw(QUARTERS) / 4
    width, height = draw(st.integers(4, 4000)) / 4, draw(st.integers(4, 4000)) / 4
    rings = [_ring(left, bottom, width, height)]
    if draw(st.booleans()):
        hole = _ring(left + width / 4, bottom + height / 4, width / 2, height / 2)
        rings.append(hole[::-1])
    return {"type": "Polygon", "coordinates": rings}


@st.composite
def multi_polygons(draw):
    """Two rectangles that do not touch."""
    one, other = draw(polygons(st.just(-20000))), draw(polygons(st.integers(0, 5000)))
    return {"type": "MultiPolygon", "coordinates": [one["coordinates"], other["coordinates"]]}


POSITIONS = st.tuples(PLACES, PLACES).map(list)
POINTS = POSITIONS.map(lambda at: {"type": "Point", "coordinates": at})
# a line goes somewhere: not all its positions are one
PATHS = st.lists(POSITIONS, min_size=2, max_size=4, unique_by=tuple)
LINES = PATHS.map(lambda line: {"type": "LineString", "coordinates": line})
MULTI_LINES = st.lists(PATHS, min_size=1, max_size=2).map(lambda lines: {"type": "MultiLineString", "coordinates": lines})
SURFACES = (polygons() | multi_polygons()).map(Shape.model_validate)
LINE_SHAPES = (LINES | MULTI_LINES).map(Shape.model_validate)
DATUM_SHAPES = (POINTS | LINES).map(Shape.model_validate)
COLLECTIONS = st.lists(POINTS | LINES | polygons(), min_size=1, max_size=2).map(
    lambda parts: {"type": "GeometryCollection", "geometries": parts}
)
ANY_SHAPES = (POINTS | LINES | MULTI_LINES | polygons() | multi_polygons() | COLLECTIONS).map(Shape.model_validate)


# --- entries ----------------------------------------------------------------------------------------------------------


def unique_ids(least=0, most=2, *, without=()):
    """Some ids, each once."""
    return st.lists(IDENTS.filter(lambda ident: ident not in without), min_size=least, max_size=most, unique=True)


def some_of(idents, least=0):
    """Some of these ids, each once, in any order."""
    return st.lists(st.sampled_from(idents), unique=True, min_size=least, max_size=3).map(tuple) if idents else st.just(())


def one_of(idents):
    return st.sampled_from(idents)


def maybe_one_of(idents):
    return optional(st.sampled_from(idents)) if idents else st.none()


class _Maker:
    """Draws the entries of one record; unknown columns are the same for all rows of a file, as a file has them."""

    def __init__(self, draw):
        self.draw = draw
        self.names = draw(st.lists(UNKNOWN_NAMES, max_size=2, unique=True))

    def __call__(self, model, **fields):
        """One entry; each field is a strategy or a value."""
        drawn = {name: self.draw(field) if isinstance(field, st.SearchStrategy) else field for name, field in fields.items()}
        return model(**{name: value for name, value in drawn.items() if value is not None}, more=self._more(model))

    def _more(self, model):
        if not model.FILE:
            return {}
        texts = JSON_VALUES if model.FILE.endswith(".geojson") else TEXTS
        more = {name: self.draw(texts) for name in self.names if self.draw(st.booleans())}
        if model.FILE.endswith(".geojson") and self.draw(st.booleans()):
            more["(feature)"] = {"id": self.draw(st.integers(0, 9) | TEXTS)}
        return more


def _choice(model, name):
    column = next(column for column in columns_of(model) if column.name == name)
    return st.sampled_from(column.choices)


def _body(make, ids):
    """Vehicle, drawings, parts, zones and what belongs to them."""
    yield make(Vehicle, vehicle_id=IDENTS, name=NAMES, maker=optional(TEXTS), year=optional(TEXTS), notes=optional(TEXTS))
    for ident in ids["drawing"]:
        others = [other for other in ids["drawing"] if other != ident]
        yield make(
            Drawing,
            drawing_id=ident,
            name=NAMES,
            kind=_choice(Drawing, "kind"),
            scale=optional(_choice(Drawing, "scale")),
            scale_from=optional(TEXTS),
            mirror_of=maybe_one_of(others),
        )
    for ident in ids["part"]:
        yield make(
            Part,
            part_id=ident,
            name=NAMES,
            substrate=_choice(Part, "substrate"),
            removable=ident in ids["removable"],
            first_coat=maybe_one_of(ids["coat"]),
            marks=optional(TEXTS),
        )
    drawing = one_of(ids["drawing"])
    yield make(OutlineShape, drawing_id=drawing, kind=_choice(OutlineShape, "kind"), name=optional(TEXTS), shape=ANY_SHAPES)
    for ident in ids["zone"]:
        yield make(
            Zone,
            zone_id=ident,
            drawing_id=drawing,
            part_id=one_of(ids["part"]),
            face=_choice(Zone, "face"),
            name=optional(TEXTS),
            surface_ratio=optional(OVER_ZERO),
            surface_ratio_from=optional(TEXTS),
            intent=optional(_choice(Zone, "intent")),
            shape=SURFACES,
        )
    for zone, part in zip(ids["zone"], ids["part"], strict=False):
        yield make(Cover, zone_id=zone, part_id=part, gap=optional(st.booleans()))
    for ident in ids["datum"]:
        yield make(Datum, datum_id=ident, drawing_id=drawing, name=NAMES, shape=DATUM_SHAPES)


def _coats(make, ids):
    """Coats, stacks with their layers, and the goals."""
    zone, coat = one_of(ids["zone"]), one_of(ids["coat"])
    for ident in ids["coat"]:
        low, high = make.draw(st.tuples(optional(LEAST_ZERO), optional(LEAST_ZERO)))
        if low is not None and high is not None:
            low, high = sorted((low, high))
        yield make(
            Coat,
            coat_id=ident,
            name=NAMES,
            kind=_choice(Coat, "kind"),
            colour=optional(COLOURS),
            um_low=low,
            um_high=high,
            era=optional(TEXTS),
            looks_like=some_of([other for other in ids["coat"] if other != ident]),
            volume_solids_pct=optional(st.floats(0, 100, exclude_min=True)),
            thinning_pct=optional(st.floats(0, 500)),
            film_um=optional(OVER_ZERO),
            pass_um=optional(OVER_ZERO),
        )
    for ident in ids["stack"]:
        yield make(
            Stack,
            stack_id=ident,
            zone_id=zone,
            x=optional(PLACES),
            y=optional(PLACES),
            method=_choice(Stack, "method"),
            reaches_substrate=st.booleans(),
            by=optional(TEXTS),
            date=optional(DATES),
            confidence=optional(_choice(Stack, "confidence")),
            note=optional(TEXTS),
        )
        for position in range(1, make.draw(st.integers(1, 3))):
            yield make(
                Layer,
                stack_id=ident,
                position=position,
                coat_id=coat,
                extent=_choice(Layer, "extent"),
                interface=st.sets(_choice(Layer, "interface")).map(sorted).map(tuple),
                cut_back=optional(st.booleans()),
                um=optional(LEAST_ZERO),
                note=optional(TEXTS),
            )
    for position, ident in enumerate(ids["zone"], 1):
        yield make(Goal, zone_id=ident, position=position, coat_id=coat, extent=_choice(Goal, "extent"))


def _findings(make, ids):
    """What lies on the skin, and what was measured."""
    drawing, zone = one_of(ids["drawing"]), one_of(ids["zone"])
    for ident in ids["area"]:
        yield make(
            Area,
            area_id=ident,
            drawing_id=drawing,
            purpose=_choice(Area, "purpose"),
            name=optional(TEXTS),
            reason=optional(TEXTS),
            edge=optional(_choice(Area, "edge")),
            margin=optional(st.floats(0, 10_000)),
            origin=optional(_choice(Area, "origin")),
            shape=SURFACES,
        )
    for ident in ids["finding"]:
        yield make(
            Finding,
            finding_id=ident,
            drawing_id=drawing,
            kind=_choice(Finding, "kind"),
            depth=optional(FINITE),
            severity=optional(st.integers(1, 5)),
            note=optional(TEXTS),
            shape=optional(ANY_SHAPES),
        )
    for ident in ids["line"]:
        yield make(
            Line,
            line_id=ident,
            drawing_id=drawing,
            width=optional(OVER_ZERO),
            colour=optional(COLOURS),
            hand=optional(_choice(Line, "hand")),
            note=optional(TEXTS),
            shape=LINE_SHAPES,
        )
    phase = st.sampled_from(["as found", "after strip", *ids["coat"]])
    for ident in ids["reading"]:
        yield make(
            Reading,
            reading_id=ident,
            zone_id=zone,
            x=optional(PLACES),
            y=optional(PLACES),
            um=FINITE,
            principle=_choice(Reading, "principle"),
            spot=optional(TEXTS),
            taken=optional(DATES),
            phase=optional(phase),
            instrument=optional(TEXTS),
            by=optional(TEXTS),
            invalid=optional(TEXTS),
            targeted=optional(st.booleans()),
        )


def _plan(make, ids):
    """Steps, decisions and working figures."""
    targets = {
        "remove": ids["removable"],
        "fit": ids["removable"],
        "mask": ids["area"],
        "unmask": ids["area"],
        "strip": ids["zone"],
        "coat": ids["coat"],
    }
    able = [action for action, idents in targets.items() if idents]
    for number in make.draw(st.lists(st.integers(1, 2**53 - 1), max_size=3, unique=True)):
        action = make.draw(st.sampled_from(able))
        beside = make.draw(some_of(ids["removable"])) if action == "coat" else ()
        only = ("only",) if beside and make.draw(st.booleans()) else ()
        target = some_of(ids["zone"], 1) if action == "strip" else one_of(targets[action]).map(lambda one: (one,))
        method = optional(_choice(Step, "method")) if action == "strip" else None
        yield make(
            Step,
            step=number,
            action=action,
            target=target,
            parts=only + beside,
            note=optional(TEXTS),
            method=method,
            batch=optional(TEXTS),
        )
    yield make(
        Signoff,
        subject=st.sampled_from(["vehicle", *ids["zone"], *ids["coat"]]),
        what=_choice(Signoff, "what"),
        by=NAMES,
        on=DATES,
        note=optional(TEXTS),
    )
    for key in make.draw(st.lists(st.sampled_from([*DEFAULTS, "other_figure"]), max_size=2, unique=True)):
        value = str(DEFAULTS[key].value) if key in DEFAULTS else "1"
        yield make(Setting, key=key, value=value, basis=st.sampled_from(BASES), source=optional(TEXTS))


def _sources(make, ids, media):
    for name, data in media.items():
        yield MediaFile(name=name, sha256=hashlib.sha256(data).hexdigest(), size_bytes=len(data))
    hashes = {name: hashlib.sha256(data).hexdigest() for name, data in media.items()}
    for ident in ids["source"]:
        file = make.draw(maybe_one_of(list(media)))
        yield make(
            Source,
            source_id=ident,
            kind=_choice(Source, "kind"),
            title=NAMES,
            date=optional(DATES),
            by=optional(TEXTS),
            file=file,
            sha256=optional(st.just(hashes[file])) if file else None,
            rights=optional(TEXTS),
            about=some_of([*ids["zone"], *ids["part"]]),
        )


FILE_NAMES = st.from_regex(r"[a-z0-9åµ]([a-z0-9åµ ._-]{0,8}[a-z0-9])?", fullmatch=True)


@st.composite
def kept_records(draw):
    """A small whole record with every kind in it, and its media."""
    kinds = ("coat", "stack", "area", "finding", "line", "reading", "source", "datum")
    ids = {kind: draw(unique_ids(1 if kind == "coat" else 0)) for kind in kinds}
    ids |= {kind: draw(unique_ids(1, 3, without=("only",))) for kind in ("drawing", "part", "zone")}
    ids["removable"] = [part for part in ids["part"] if draw(st.booleans())]
    media = draw(st.dictionaries(FILE_NAMES, st.binary(max_size=8), max_size=2))
    media = dict(sorted(media.items()))
    make = _Maker(draw)
    entries = [*_body(make, ids), *_coats(make, ids), *_findings(make, ids), *_plan(make, ids), *_sources(make, ids, media)]
    foreign = draw(st.dictionaries(UNKNOWN_NAMES, JSON_VALUES, max_size=1))
    return KeptRecord(Record.of(entries, {"zones.geojson": foreign} if foreign else {}), media)


def records():
    """A small whole record with every kind in it."""
    return kept_records().map(lambda kept: kept.record)


@st.composite
def journals(draw, record):
    """A chained history that puts every entry of a record."""
    before, entries = FIRST_HASH, []
    for seq, entry in enumerate(record.entries(), 1):
        entries.append(
            chained(
                before,
                seq=seq,
                at="2026-03-01T10:15:00.000Z",
                by=draw(TEXTS),
                why=draw(TEXTS),
                act="put",
                kind=entry.KIND,
                ident=entry.ident or str(seq),
                place=seq,
                body=body_of(entry),
            )
        )
        before = entries[-1].hash
    return tuple(entries)
