"""Bad files for every importer, and what becomes of them: python -m tests.campaigns.hostile

Each ends in a clear error of ours or in a right reading, within 5 s and 1 GiB. The table that is printed says the slowest
and the largest of each importer. The attacks are public ones: entity expansion and external entities (CWE-776, CWE-611),
decompression bombs (CWE-409), path traversal (CWE-22), links followed (CWE-59), uncontrolled recursion (CWE-674), formulas
in cells (CWE-1236), bidirectional and control characters (CWE-1007, CWE-150).
"""

from __future__ import annotations

import gzip
import io
import json
import os
import random
import resource
import signal
import struct
import subprocess
import sys
import tempfile
import time
import traceback
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn, TextIO

SECONDS_MOST, BYTES_MOST = 5.0, 1 << 30
# A case is stopped after so long: of the processor, and in all, which is more where the machine is busy.
_PROCESSOR_MOST_S, _WAIT_MOST_S = 30, 600
MB = 1_000_000
TEXT_PARSERS = (
    "gauge", "step_card", "plan", "journal", "vehicle.csv", "coats.csv", "stacks.csv", "readings.csv", "sources.csv",
    "settings.csv",
)  # fmt: skip
JSON_PARSERS = ("geojson", "zones.geojson", "areas.geojson")
HEADERS = {
    "gauge": "spot,reading um\r\n",
    "step_card": "um,L,a,b\r\n",
    "plan": "step,action,target,parts,note\r\n",
    "journal": "seq,at,by,why,act,kind,ident,body,before,hash\r\n",
    "vehicle.csv": "vehicle_id,name\r\n",
    "coats.csv": "coat_id,name,kind\r\n",
    "stacks.csv": "stack_id,zone_id,x,y,method,reaches_substrate\r\n",
    "readings.csv": "reading_id,zone_id,x,y,um,principle\r\n",
    "sources.csv": "source_id,kind,title,file\r\n",
    "settings.csv": "key,value,basis\r\n",
}


@dataclass(frozen=True)
class Case:
    """A bad file: for which importer, what is bad in it, and how it is made (large ones are not kept)."""

    parser: str
    name: str
    made: Callable[[], bytes]


def cases() -> list[Case]:
    """All of them, with names that differ."""
    found = [
        Case(parser, name, made) for parser in (*TEXT_PARSERS, *JSON_PARSERS, "svg", "picture") for name, made in anything()
    ]
    found += [Case(parser, name, made) for parser in TEXT_PARSERS for name, made in tables(HEADERS[parser])]
    found += [Case(parser, name, made) for parser in JSON_PARSERS for name, made in geojsons()]
    found += [Case("svg", name, made) for name, made in drawings()]
    found += [Case("picture", name, made) for name, made in pictures()]
    found += [Case("folder", name, bytes) for name in FOLDERS]
    return found


def anything() -> Iterator[tuple[str, Callable[[], bytes]]]:
    """Bytes that are no file of ours at all."""
    from tests.campaigns.parsers import workbook

    text = "spot,µm\n1,100\n"
    yield "nothing", bytes
    yield "one zero byte", lambda: b"\0"
    yield "a megabyte of zero bytes", lambda: bytes(MB)
    yield "noise", lambda: random.Random(7).randbytes(100_000)
    yield "a byte-order mark alone", lambda: b"\xef\xbb\xbf"
    yield "UTF-16 with its mark", lambda: text.encode("utf-16")
    yield "UTF-16 without", lambda: text.encode("utf-16-be")
    yield "UTF-32", lambda: text.encode("utf-32")
    yield "UTF-8 cut off", lambda: text.encode()[:7]
    yield "half a surrogate pair", lambda: b"a,b\n\xed\xa0\x80,1\n"
    yield "overlong slash", lambda: b"a,b\n..\xc0\xaf..,1\n"
    yield "a workbook", workbook
    yield "a packed bomb", lambda: gzip.compress(bytes(50 * MB))
    yield "a print", lambda: b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj<</Type/Catalog>>endobj\n"
    yield "a program", lambda: b"\x7fELF" + bytes(2000)
    yield "a page with a script", lambda: b"<!doctype html><script>alert(1)</script>"
    yield "100 MB of one letter", lambda: b"A" * (100 * MB)
    yield "100 MB of commas", lambda: b"," * (100 * MB)
    yield "100 MB of line ends", lambda: b"\n" * (100 * MB)
    yield "100 MB of brackets", lambda: b"[" * (100 * MB)


def tables(header: str) -> Iterator[tuple[str, Callable[[], bytes]]]:
    """Tables that have the right header and are bad below it."""
    columns = header.count(",") + 1
    row = ",".join(["1"] * columns)

    def below(*rows: str) -> Callable[[], bytes]:
        return lambda: (header + "\r\n".join(rows) + "\r\n").encode("utf-8", "surrogatepass")

    yield "quote that does not end", below('"1' + ",1" * 50)
    yield "half a million quotes", below('"' * 500_001)
    yield "a row of 100,000 cells", below(",".join(["1"] * 100_000))
    yield "a cell of 30 MB", lambda: (header + "x" * 30 * MB + "\r\n").encode()
    yield (
        "numbers beyond number",
        below(*(row.replace("1", word) for word in ("1e999", "-1e999", "nan", "inf", "-inf", "0x10"))),
    )
    yield "a number of 100,000 digits", below(row.replace("1", "9" * 100_000))
    yield "numbers of other scripts", below(row.replace("1", "١٢٣"), row.replace("1", "１２"))
    yield "formulas", below(*(row.replace("1", sign + "1+cmd|' /C calc'!A0") for sign in "=+-@\t"))
    yield "control characters", below(row.replace("1", "a\x00b\x07\x1b[31m"), row.replace("1", "\x85\u2028\u2029"))
    yield "writing turned round", below(row.replace("1", "\u202egpj.exe\u202c"), row.replace("1", "\u2066x\u2069"))
    yield "markup", below(row.replace("1", "<script>alert(1)</script>"), row.replace("1", "${7*7}{{7*7}}"))
    yield (
        "paths",
        below(*(row.replace("1", path) for path in ("../../etc/passwd", "C:\\\\x", "/dev/zero", "\\\\\\\\host\\\\s"))),
    )
    yield "the same row 2,000 times", below(*[row] * 2000)
    yield "only carriage returns", lambda: (header + row).replace("\n", "").replace(",", "\r").encode()
    yield "header twice", below(header.strip(), row)
    yield (
        "header of 10,000 names",
        lambda: (header.strip() + "," + ",".join(f"c{n}" for n in range(10_000)) + "\r\n" + row).encode(),
    )
    yield "header names twice", lambda: (header.strip() + "," + header + row + "," + row).encode()
    yield "combining marks", below(row.replace("1", "e" + "\u0301" * 20_000))


def geojsons() -> Iterator[tuple[str, Callable[[], bytes]]]:
    """GeoJSON that is none, or of shapes that cannot be."""

    def holding(*geometries: object, **more: object) -> Callable[[], bytes]:
        features = [
            {"type": "Feature", "properties": {"zone_id": "z", "name": "zone"}, "geometry": one} for one in geometries
        ]
        return lambda: json.dumps({"type": "FeatureCollection", "features": features, **more}).encode()

    def polygon(*ring: object) -> dict[str, object]:
        return {"type": "Polygon", "coordinates": [list(ring)]}

    deep: object = {"type": "Point", "coordinates": [0, 0]}
    for _ in range(200):
        deep = {"type": "GeometryCollection", "geometries": [deep]}
    yield "nested 100,000 deep", lambda: b'{"type":"FeatureCollection","features":' + b"[" * 100_000
    yield "objects 100,000 deep", lambda: b'{"a":' * 100_000 + b"1" + b"}" * 100_000
    yield "collections in collections", holding(deep)
    yield "no end", lambda: b'{"type":"FeatureCollection","features":[{"type":"Feature"'
    yield "a name twice", lambda: b'{"type":"FeatureCollection","features":[],"features":[1]}'
    yield "numbers that are none", lambda: b'{"type":"FeatureCollection","features":[NaN,Infinity,-Infinity]}'
    yield "a number of a million digits", lambda: b'{"type":"FeatureCollection","features":[' + b"9" * MB + b"]}"
    yield "a power beyond", holding(polygon([0, 0], [1e308, 0], [1e308, 1e308], [0, 0]))
    yield "infinite places", lambda: holding(polygon([0, 0], [5, 0], [5, 5], [0, 0]))().replace(b"5", b"1e999")
    yield "words for places", holding(polygon(["a", "b"], [1, 0], [1, 1], ["a", "b"]))
    yield "nothing for places", holding(polygon([None, 0], [1, 0], [1, 1], [None, 0]))
    yield "truth for places", holding(polygon([True, False], [1, 0], [1, 1], [True, False]))
    yield "a ring that does not close", holding(polygon([0, 0], [9, 0], [9, 9], [0, 9]))
    yield "a ring of one place", holding(polygon([0, 0], [0, 0], [0, 0], [0, 0]))
    yield "a ring that crosses itself", holding(polygon([0, 0], [9, 9], [9, 0], [0, 9], [0, 0]))
    yield "places of nine numbers", holding(polygon(*[[0] * 9, [1] * 9, [2, 3] * 4, [0] * 9]))
    yield (
        "degrees",
        holding(polygon([0, 0], [9, 0], [9, 9], [0, 0]), crs={"properties": {"name": "urn:ogc:def:crs:OGC::CRS84"}}),
    )
    yield "no geometry", holding(None)
    yield "a geometry of no kind", holding({"type": "Sphere", "coordinates": []})
    yield "features that are none", lambda: b'{"type":"FeatureCollection","features":{"a":1}}'
    yield "a million places", holding(polygon(*[[n % 1000, n // 1000] for n in range(300_000)], [0, 0]))
    yield "50,000 features", holding(*[{"type": "Point", "coordinates": [0, 0]}] * 50_000)
    yield "a list", lambda: b"[1,2,3]"
    yield (
        "names with writing turned round",
        lambda: holding(polygon([0, 0], [9, 0], [9, 9], [0, 0]))().replace(
            b'"zone"', json.dumps("\u202e<img src=x onerror=alert(1)>\0").encode()
        ),
    )


SVG = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="10mm" height="10mm">'


def drawings() -> Iterator[tuple[str, Callable[[], bytes]]]:
    """SVG files; tests/outside/test_hostile_svg.py has more, each with the reason it is refused for."""

    def drawn(inside: str, before: str = "") -> Callable[[], bytes]:
        return lambda: f"{before}{SVG}{inside}</svg>".encode()

    laughs = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10))
    yield "a billion laughs", drawn("<text>&l9;</text>", f'<!DOCTYPE svg [<!ENTITY l0 "l">{laughs}]>')
    yield "a file of the machine", drawn("<text>&x;</text>", '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>')
    yield "a picture from elsewhere", drawn('<image href="http://localhost:1/x.png"/><path d="M0 0L1 1"/>')
    yield "a script", drawn('<script>alert(1)</script><path d="M0 0L1 1" onclick="alert(1)"/>')
    yield "use of itself", drawn('<g id="a"><use href="#a"/></g>')
    yield "groups 5,000 deep", drawn("<g>" * 5000 + '<path d="M0 0L1 1"/>' + "</g>" * 5000)
    yield "a path of 3 MB", drawn(f'<path d="M0 0{" L1 1 2 2" * 300_000}"/>')
    yield "numbers that are none", drawn('<path d="M nan inf L 1e999 -1e999"/><rect width="NaN" height="1e400"/>')
    yield "a matrix of nothing", drawn('<g transform="matrix(0 0 0 0 0 0)"><path d="M0 0L9 9"/></g>')
    yield "a matrix beyond number", drawn('<g transform="scale(1e300) scale(1e300)"><path d="M0 0L9 9"/></g>')
    yield "no size", lambda: b'<svg xmlns="http://www.w3.org/2000/svg" width="0" height="0" viewBox="0 0 0 0"/>'
    yield "a path of words", drawn('<path d="drop table zones"/>')
    yield "a style of a megabyte", drawn(f"<style>{'a{b:c}' * 170_000}</style>")
    yield "an entity of its own encoding", lambda: b'<?xml version="1.0" encoding="utf-7"?><svg/>'
    yield (
        "a sheet for it from elsewhere",
        lambda: b'<?xml-stylesheet href="http://localhost:1/x"?>' + SVG.encode() + b"</svg>",
    )


def pictures() -> Iterator[tuple[str, Callable[[], bytes]]]:
    """Pictures that are none, that are too large when unpacked, that are cut off, or that are many."""
    from PIL import Image

    def saved(kind: str, size: tuple[int, int] = (64, 48), **more: object) -> bytes:
        out = io.BytesIO()
        Image.effect_noise(size, 60).save(out, kind, **more)
        return out.getvalue()

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    def png(wide: int, high: int, *more: bytes) -> bytes:
        head = struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0)
        return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + b"".join(more) + chunk(b"IEND", b"")

    yield "a JPEG cut off", lambda: saved("JPEG")[:900]
    yield "a JPEG without end", lambda: saved("JPEG")[:-2]
    yield "a JPEG of noise", lambda: saved("JPEG")[:200] + random.Random(1).randbytes(5000)
    yield "a JPEG with a page behind it", lambda: saved("JPEG") + b"<script>alert(1)</script>"
    yield "a PNG cut off", lambda: saved("PNG")[:500]
    yield "a PNG of 4,000 megapixels", lambda: png(65_000, 65_000, chunk(b"IDAT", zlib.compress(bytes(1000))))
    yield (
        "a PNG of 150 megapixels, packed",
        lambda: png(15_000, 10_000, chunk(b"IDAT", zlib.compress(bytes(45_001 * 10_000), 1))),
    )
    yield "a PNG of no size", lambda: png(0, 0, chunk(b"IDAT", zlib.compress(b"")))
    yield (
        "a PNG with a packed text of 200 MB",
        lambda: png(
            1, 1, chunk(b"zTXt", b"a\0\0" + zlib.compress(bytes(200 * MB), 1)), chunk(b"IDAT", zlib.compress(b"\0abc"))
        ),
    )
    yield "a PNG with wrong sums", lambda: saved("PNG").replace(b"IDAT", b"IDAX", 1)
    yield "a GIF of 2,000 pictures", lambda: _frames("GIF", 2000)
    yield "a TIFF of 300 pages", lambda: _frames("TIFF", 300)
    yield "a TIFF whose pages go round", lambda: b"II*\0\x08\0\0\0" + struct.pack("<H", 0) + struct.pack("<I", 8)
    yield "a TIFF that begins beyond its end", lambda: b"II*\0\xff\xff\xff\x7f"
    yield "an icon", lambda: saved("ICO", (32, 32))
    yield "a drawing for a printer", lambda: b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n(/etc/passwd) run\n"
    yield "an SVG", lambda: SVG.encode() + b"</svg>"
    yield (
        "EXIF that goes round",
        lambda: saved("JPEG", exif=b"Exif\0\0II*\0\x08\0\0\0\x01\0\x69\x87\x04\0\x01\0\0\0\x08\0\0\0\0\0\0\0"),
    )
    yield "30 MB", lambda: saved("JPEG") + bytes(30 * MB)


def _frames(kind: str, count: int) -> bytes:
    from PIL import Image

    out = io.BytesIO()
    first, *rest = (Image.new("L", (8, 8), number % 256) for number in range(count))
    first.save(out, kind, save_all=True, append_images=rest)
    return out.getvalue()


# What is done to a good folder before it is taken in.
FOLDERS: dict[str, Callable[[Path], None]] = {}


def _folder(name: str) -> Callable[[Callable[[Path], None]], Callable[[Path], None]]:
    def held(spoil: Callable[[Path], None]) -> Callable[[Path], None]:
        FOLDERS[name] = spoil
        return spoil

    return held


def _source(folder: Path, file: str) -> None:
    row = f"S1,photo,a picture,,,{file},{'0' * 64},,\r\n"
    (folder / "sources.csv").write_bytes(("source_id,kind,title,date,by,file,sha256,rights,about\r\n" + row).encode())


for _number, _path in enumerate(
    (
        "../vehicle.csv",
        "..\\vehicle.csv",
        "/etc/passwd",
        "C:\\x.png",
        "a/../../b",
        "\\\\host\\share\\x",
        ".",
        "..",
        "x\0y",
        "con",
        "~",
    )
):

    def _media(folder: Path, path: str = _path) -> None:
        _source(folder, path)

    FOLDERS[f"media named {_path!r}"] = _media


@_folder("media that is a link out of the folder")
def _link(folder: Path) -> None:
    (folder / "media").mkdir(exist_ok=True)
    (folder / "media" / "x.png").symlink_to("/etc/passwd")
    _source(folder, "x.png")


@_folder("media that never ends")
def _endless(folder: Path) -> None:
    (folder / "media").mkdir(exist_ok=True)
    (folder / "media" / "x.png").symlink_to("/dev/zero")
    _source(folder, "x.png")


@_folder("media that waits for a writer")
def _pipe(folder: Path) -> None:
    (folder / "media").mkdir(exist_ok=True)
    os.mkfifo(folder / "media" / "x.png")
    _source(folder, "x.png")


@_folder("media that is a folder")
def _media_folder(folder: Path) -> None:
    (folder / "media" / "x.png").mkdir(parents=True)
    _source(folder, "x.png")


@_folder("media of another hash")
def _other_hash(folder: Path) -> None:
    (folder / "media").mkdir(exist_ok=True)
    (folder / "media" / "x.png").write_bytes(b"x")
    _source(folder, "x.png")


@_folder("a table that waits for a writer")
def _table_pipe(folder: Path) -> None:
    os.mkfifo(folder / "coats.csv")


@_folder("a table that never ends")
def _table_endless(folder: Path) -> None:
    (folder / "coats.csv").symlink_to("/dev/zero")


@_folder("a table that is a folder")
def _table_folder(folder: Path) -> None:
    (folder / "coats.csv").mkdir()


@_folder("a table that is a link to itself")
def _table_round(folder: Path) -> None:
    (folder / "coats.csv").symlink_to("coats.csv")


@_folder("a table that may not be read")
def _table_shut(folder: Path) -> None:
    (folder / "coats.csv").write_bytes(b"coat_id,name,kind\r\n")
    (folder / "coats.csv").chmod(0)


@_folder("a journal of another vehicle")
def _journal(folder: Path) -> None:
    (folder / "journal.csv").write_bytes(b"seq,at\r\n1,2020\r\n")


@_folder("nothing in it")
def _nothing(folder: Path) -> None:
    (folder / "vehicle.csv").unlink()


@_folder("two vehicles")
def _two(folder: Path) -> None:
    (folder / "vehicle.csv").write_bytes(b"vehicle_id,name\r\na,A\r\nb,B\r\n")


def outcome(case: Case) -> str:
    """`read`, or the error in one line; anything that is no error of ours is raised."""
    from bodymap.errors import BodymapError
    from tests.campaigns.parsers import PARSERS

    try:
        if case.parser == "folder":
            _take_in(case.name)
        else:
            PARSERS[case.parser](case.made())
    except BodymapError as error:
        text = str(error)
        if not text.strip():
            raise AssertionError("an error that says nothing") from error
        return text
    return "read"


def _take_in(name: str) -> None:
    from bodymap.exchange.open_folder import read_folder

    with tempfile.TemporaryDirectory() as held:
        folder = Path(held) / "van"
        folder.mkdir()
        (folder / "vehicle.csv").write_bytes(b"vehicle_id,name\r\nv,Van\r\n")
        FOLDERS[name](folder)
        read_folder(folder)


def run(number: int) -> dict[str, object]:
    """One case in a process of its own, which is stopped where it takes too long: outcome, seconds, MiB."""
    command = [sys.executable, "-m", "tests.campaigns.hostile", "--case", str(number)]
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=_WAIT_MOST_S, check=False)
    except subprocess.TimeoutExpired:
        return {"outcome": f"BROKE: it did not end in {_WAIT_MOST_S} s", "seconds": 0.0, "mib": 0.0}
    if done.returncode:
        return {"outcome": f"BROKE: {(done.stderr or done.stdout)[-600:]}", "seconds": 0.0, "mib": 0.0}
    return json.loads(done.stdout)


def measured(case: Case) -> dict[str, object]:
    """Outcome, seconds of the processor (the machine may be busy) and MiB above what the importers alone take, here."""
    data = case.made()  # made before the clock runs, and counted with the file
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    began = time.process_time()
    said = outcome(Case(case.parser, case.name, lambda: data))
    seconds = time.process_time() - began
    grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
    return {"outcome": said, "seconds": seconds, "mib": grown}


def run_small(parsers: list[str]) -> None:
    """All cases of some importers but the largest files, here, under a limit of memory; outcomes as JSON by importer, name.

    What they need is imported and made once; then each importer has a process of its own. One that does not end well says
    why on the error stream and is left out.
    """
    from bodymap.exchange import open_folder  # noqa: F401 - before the fork
    from tests.campaigns.parsers import PARSERS  # noqa: F401

    everything = [case for case in cases() if not case.name.startswith("100 MB")]
    told = {}
    for parser in parsers:
        with tempfile.TemporaryFile("w+") as held:
            child = os.fork()
            if not child:
                _child_of(parser, everything, held)
            _, ended = os.waitpid(child, 0)
            if ended:
                print(f"{parser}: its process ended with {os.waitstatus_to_exitcode(ended)}", file=sys.stderr)
                continue
            held.seek(0)
            told[parser] = json.load(held)
    print(json.dumps(told))


def _child_of(parser: str, everything: list[Case], held: TextIO) -> NoReturn:
    """In the child: the outcomes of one importer into a file, and the end of the process."""
    most = 3 * BYTES_MOST  # of addresses, of which the libraries take one before anything is read
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
    try:
        told = {}
        for case in everything:
            if case.parser == parser:
                signal.alarm(30)  # a case that never ends stops the process, and with it the test
                told[case.name] = outcome(case)
        json.dump(told, held)
        held.flush()
    except BaseException:
        print(parser, case.name, traceback.format_exc(), file=sys.stderr, flush=True)
        os._exit(1)
    os._exit(0)


def main() -> None:
    """Run all cases, or some of them as a child of another run."""
    if sys.argv[1:2] == ["--of"]:
        run_small(sys.argv[2:])
        return
    if sys.argv[1:2] == ["--case"]:
        resource.setrlimit(resource.RLIMIT_CPU, (_PROCESSOR_MOST_S, _PROCESSOR_MOST_S))
        print(json.dumps(measured(cases()[int(sys.argv[2])])))
        return
    worst: dict[str, list[float]] = {}
    bad = 0
    everything = cases()
    first = int(sys.argv[2]) if sys.argv[1:2] == ["--from"] else 0  # to go on with a run that was broken off
    for number, case in enumerate(everything[first:], start=first):
        told = run(number)
        seconds, mib, said = float(str(told["seconds"])), float(str(told["mib"])), str(told["outcome"])
        held = worst.setdefault(case.parser, [0, 0.0, 0.0, 0])
        held[0] += 1
        held[1], held[2] = max(held[1], seconds), max(held[2], mib)
        held[3] += said == "read"
        if said.startswith("BROKE") or seconds > SECONDS_MOST or mib > BYTES_MOST / (1 << 20):
            bad += 1
            print(f"!! {case.parser}: {case.name}: {seconds:.1f} s, {mib:.0f} MiB: {said[:700]}")
    for parser, (count, seconds, mib, read) in worst.items():
        print(f"{parser:16} {count:4.0f} files, {read:3.0f} read; slowest {seconds:5.2f} s, most {mib:6.0f} MiB")
    print(f"{len(everything) - first} files, {bad} not as they should")
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
