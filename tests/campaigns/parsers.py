"""Every parser of other people's files as one function of bytes: it reads, or refuses with an error of ours."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path

from PIL import Image

from bodymap.errors import Faults
from bodymap.exchange.features import read_features
from bodymap.exchange.gauge_csv import propose, read_gauge
from bodymap.exchange.geojson_outline import read_geojson_outline
from bodymap.exchange.journal_file import read_journal, write_journal
from bodymap.exchange.photo import prepared
from bodymap.exchange.plan_file import parse_plan
from bodymap.exchange.step_card import parse_step_card
from bodymap.exchange.svg_outline import read_svg
from bodymap.exchange.tables import read_table
from bodymap.model import KINDS, JournalEntry, Record, Vehicle
from bodymap.model.journal import FIRST_HASH, chained
from bodymap.settings import in_force
from demo import VEHICLE_FOLDER

Parser = Callable[[bytes], object]
DEMO = Path(VEHICLE_FOLDER)
_FILES = {model.FILE: model for model in KINDS.values() if model.FILE.endswith((".csv", ".geojson"))}
_EMPTY = Record.of([Vehicle(vehicle_id="v", name="v")])


def svg(data: bytes) -> object:
    """An outline as SVG."""
    return read_svg(data, in_force(()))


def geojson(data: bytes) -> object:
    """An outline as GeoJSON in millimetres."""
    return read_geojson_outline(data, "mm", in_force(()))


def gauge(data: bytes) -> object:
    """A gauge file, as proposed and then as confirmed."""
    proposal = propose(data)
    return read_gauge(data, proposal.mapping)


def step_card(data: bytes) -> object:
    """A step card."""
    return parse_step_card("card.csv", data)


def plan(data: bytes) -> object:
    """A repaint plan."""
    return parse_plan(data, "plan.csv", _EMPTY)


def journal(data: bytes) -> object:
    """The journal of an open folder."""
    return read_journal(data)


def picture(data: bytes) -> object:
    """A photo to be kept."""
    return prepared(data)


def _of_file(name: str) -> Parser:
    model = _FILES[name]

    def parse(data: bytes) -> object:
        content = read_features(model, data) if name.endswith(".geojson") else read_table(model, data)
        if content.faults:
            raise Faults(name, content.faults)
        return content

    return parse


PARSERS: Mapping[str, Parser] = {
    "svg": svg,
    "geojson": geojson,
    "gauge": gauge,
    "step_card": step_card,
    "plan": plan,
    "journal": journal,
    "picture": picture,
    **{name: _of_file(name) for name in _FILES},
}


def folder_table(data: bytes) -> object:
    """Any table or feature file of an open folder: the first byte says which."""
    names = sorted(_FILES)
    return _of_file(names[data[0] % len(names)])(data[1:]) if data else None


def workbook() -> bytes:
    """A file of another kind under a name of ours: what a spreadsheet program saves."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as held:
        held.writestr("xl/workbook.xml", "<workbook/>")
        held.writestr("xl/worksheets/sheet1.xml", "<worksheet><c><f>1+1</f></c></worksheet>" * 1000)
    return out.getvalue()


def seeds(name: str) -> list[bytes]:
    """Good files to begin from."""
    if name == "folder_table":
        return [bytes([number]) + _head(DEMO / file) for number, file in enumerate(sorted(_FILES)) if (DEMO / file).exists()]
    own = {
        "svg": [
            (
                b'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50"><g id="zones" '
                b'transform="rotate(3) scale(2 1)"><path id="a" d="M0 0h10v10c1 1 2 2 3 1a3 2 10 0 1 4 4q1 1 2 2t1 1z"/>'
                b'<rect x="1" y="2" width="3" height="4" rx="1"/><use href="#a" x="3"/></g><circle r="4"/></svg>'
            ),
        ],
        "geojson": [_head(DEMO / "outline.geojson")],
        "gauge": [
            b"Nr;Wert;Einheit\r\n1;123,4;\xb5m\r\n2;99,5;\xb5m\r\nMean;111;\r\n",
            b"spot,reading 1,reading 2,unit\n1,5.1,5.0,mil\n2,4.9,5.2,mil\nmean,5.05,,\n",
            b"0.101\t0.099\n0.120\t0.118\n",
        ],
        "step_card": [(DEMO.parent / "step_card.csv").read_bytes()],
        "plan": [(DEMO.parent / "plan_cap_off.csv").read_bytes()],
        "journal": [_journal()],
        "picture": [_picture(kind) for kind in ("JPEG", "PNG", "TIFF", "WEBP", "MPO")],
    }
    return own[name]


def _journal() -> bytes:
    """Two entries whose chain holds."""
    entries: list[JournalEntry] = []
    for seq, name in enumerate(("Box", "Cover"), start=1):
        body = {
            "part_id": "box",
            "name": name,
            "substrate": "steel",
            "removable": seq > 1,
            "depth_mm": 2.5,
            "list": [1, None],
        }
        before = entries[-1].hash if entries else FIRST_HASH
        said = {"seq": seq, "at": "2026-01-01T00:00:00.000Z", "by": "Ann", "why": "", "act": "put", "kind": "part"}
        entries.append(chained(before, **said, ident="box", place=1, body=body))
    return write_journal(entries)


def _picture(kind: str) -> bytes:
    """A small picture of that kind that says where and when it was taken."""
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8769)[0x9003] = "2026:03:02 10:11:12"
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 12.0)})
    out = io.BytesIO()
    more = {"append_images": [Image.new("RGB", (8, 6))], "save_all": True} if kind == "MPO" else {}
    Image.linear_gradient("L").resize((16, 12)).convert("RGB").save(out, kind, exif=exif, **more)
    return out.getvalue()


def _head(path: Path) -> bytes:
    """The beginning of a file: a few rows, or a few features."""
    data = path.read_bytes()
    if path.suffix == ".geojson":
        whole = json.loads(data)
        whole["features"] = whole["features"][:2]
        return json.dumps(whole).encode()
    return b"\r\n".join(data.split(b"\r\n")[:6])
