"""The hand-over folder: whole or not there, holding what it says, without what it must not pass on."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
import zipfile
from pathlib import Path

import pikepdf
import pyogrio
import pytest
from PIL import Image

from bodymap.briefs.typeset import moment_of
from bodymap.cli import main
from bodymap.cli.hand_over import hand_over
from bodymap.errors import BodymapError
from bodymap.exchange.open_folder import read_folder
from bodymap.model.journal import against_head, broken_links, out_of_step
from bodymap.store.record_file import Put, RecordFile
from bodymap.views.hand_over_reading import CHAIN
from tests.briefs.pdf_text import pages_text
from tests.chain_described import last_hash
from tests.folders import BARE, write_case
from tests.hand_over_case import NAMES, OBSERVER, OWNER, photograph, trailer, trailer_folder

AT = "2026-05-01T08:00:00.000Z"
KEEPER = "Wendelin Ohneland"


@pytest.fixture
def record(tmp_path):
    """A record file of the trailer, with one change in its journal."""
    path = tmp_path / "trailer.gpkg"
    assert main(["take-in", str(trailer_folder(tmp_path)), str(path), "--by", KEEPER]) == 0
    file = RecordFile(path)
    vehicle = file.record().vehicle.model_copy(update={"serial": "no. 3"})
    file.append([Put(vehicle)], by=KEEPER, why=f"{OWNER} found the plate", at="2026-04-01T08:00:00.000Z", expect=None)
    return path


def made(source, folder, **how):
    return hand_over(source, folder, by=KEEPER, at=AT, **how)


def files_of(folder):
    return {path.relative_to(folder).as_posix(): path for path in folder.rglob("*") if path.is_file()}


def sha256(data):
    return hashlib.sha256(data).hexdigest()


def manifest(folder):
    with (folder / "manifest.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def test_the_folder_has_what_it_is_said_to_have(record, tmp_path, capsys):
    folder = tmp_path / "out"
    assert main(["hand-over", str(record), str(folder), "--by", KEEPER]) == 0
    told = capsys.readouterr()
    assert "raw.dng: a picture or film that could not be written anew" in told.err
    names = files_of(folder)
    assert {name.partition("/")[0] for name in names} == {
        "index.html", "hand-over.pdf", "tables.xlsx", "zones.geojson", "map.gpkg", "map.media", "media", "record",
        "manifest.csv", "READ-ME.txt",
    }  # fmt: skip
    assert {name for name in names if name.startswith("media/")} == {"media/side.jpg", "media/letter.txt"}
    assert not [path.name for path in tmp_path.iterdir() if path.name.startswith(".")]


def test_the_manifest_names_every_file_by_its_hash_and_what_it_was_made_from(record, tmp_path):
    folder = tmp_path / "out"
    made(record, folder)
    rows = manifest(folder)
    there = {row["file"]: row for row in rows if row["file"]}
    assert set(there) == set(files_of(folder)) - {"manifest.csv"}
    for name, path in files_of(folder).items():
        if name != "manifest.csv":
            assert there[name]["sha256"] == sha256(path.read_bytes())
            assert int(there[name]["bytes"]) == path.stat().st_size
    original = sha256(trailer()["media/side.jpg"])
    assert {row["made_from_sha256"] for name, row in there.items() if name.endswith("side.jpg")} == {original}
    assert there["media/letter.txt"]["made_from_sha256"] == ""
    assert [row["what"].split(" (")[0] for row in rows if not row["file"]] == ["left out: raw.dng"]


def test_the_chain_goes_on_from_the_record_as_it_was_kept(record, tmp_path, capsys):
    folder = tmp_path / "out"
    head, kept = RecordFile(record).head(), RecordFile(record).journal()
    done = made(record, folder)
    assert (done.standing.count, done.standing.sha256) == (head.count, head.hash)
    for where in (folder / "record", folder / "map.gpkg"):
        assert main(["verify", str(where), "--head", head.short]) == 0, capsys.readouterr().out
    content = read_folder(folder / "record")
    assert content.journal[: len(kept)] == kept
    assert not list(broken_links(content.journal))
    assert not list(out_of_step(content.journal, content.record))
    assert not list(against_head(f"{done.ends.count}·{done.ends.sha256}", content.journal))
    # what was made other is told, and nothing else is
    new = content.journal[len(kept) :]
    assert {(entry.kind, entry.ident, entry.act) for entry in new} == {
        ("media", "side.jpg", "put"), ("source", "q1", "put"), ("media", "raw.dng", "withdraw"), ("source", "q3", "put")
    }  # fmt: skip
    assert all("for the hand-over" in entry.why and entry.by == KEEPER for entry in new)
    assert RecordFile(record).head() == head


@pytest.mark.parametrize("how", [{}, {"with_originals": True}, {"without_names": True}])
def test_the_chain_is_found_whole_with_nothing_but_what_the_folder_says_of_it(record, tmp_path, how):
    folder = tmp_path / "out"
    made(record, folder, **how)
    count, last = last_hash(folder / "record" / "journal.csv")
    said = (folder / "READ-ME.txt").read_text(encoding="utf-8")
    assert f"Entries in record/journal.csv: {count}\n" in said
    assert f"Hash of the last entry: {last}\n" in said
    told = " ".join(said.split())
    assert all(line in told for line in CHAIN)
    # The print bears the same hash, letter by letter: nothing invisible is put into it.
    with pikepdf.open(folder / "hand-over.pdf") as pdf:
        assert last in "".join(pages_text(pdf))


def test_nothing_is_said_to_be_added_to_a_journal_that_nothing_was_added_to(record, tmp_path):
    made(record, tmp_path / "same", with_originals=True)
    made(record, tmp_path / "other")
    same, other = ((tmp_path / name / "READ-ME.txt").read_text(encoding="utf-8") for name in ("same", "other"))
    assert "nothing was changed in it" in " ".join(same.split())
    assert "the hand-over itself is its last entries" in " ".join(other.split())
    assert "the hand-over itself is its last entries" not in " ".join(same.split())


def test_a_source_says_what_its_picture_was_made_from(record, tmp_path):
    made(record, tmp_path / "out")
    source = {one.source_id: one for one in read_folder(tmp_path / "out/record").record.sources}
    data = (tmp_path / "out/record/media/side.jpg").read_bytes()
    assert source["q1"].sha256 == sha256(data)
    assert source["q1"].more["original_sha256"] == sha256(trailer()["media/side.jpg"])
    assert source["q1"].more["taken_by_camera"] == "2026-03-02T10:11:12"
    assert source["q3"].file is None
    assert "could not be written anew" in source["q3"].more["file_left_out"]


def test_no_picture_says_where_it_was_taken(record, tmp_path):
    folder = tmp_path / "out"
    made(record, folder)
    original = trailer()["media/side.jpg"]
    pictures = [path for name, path in files_of(folder).items() if name.endswith(".jpg")]
    assert len(pictures) == 3
    for path in pictures:
        with Image.open(path) as picture:
            assert picture.size == (40, 80)
            assert not picture.getexif()
        assert path.read_bytes() != original


def test_with_originals_every_file_is_as_it_was(record, tmp_path):
    folder = tmp_path / "out"
    done = made(record, folder, with_originals=True)
    for name in ("side.jpg", "letter.txt", "raw.dng"):
        assert (folder / "media" / name).read_bytes() == trailer()[f"media/{name}"]
    assert done.ends.sha256 == done.standing.sha256
    assert "as they were, with whatever a camera wrote" in (folder / "READ-ME.txt").read_text()


def everything_said(folder):
    """The name of every file and what is in it, whatever it is packed in."""
    for name, path in files_of(folder).items():
        data = path.read_bytes()
        yield name, name
        yield name, data.decode("utf-8", "ignore")
        yield name, data.decode("utf-16-le", "ignore")
        yield name, data.decode("latin-1")
        if name.endswith(".xlsx"):
            with zipfile.ZipFile(io.BytesIO(data)) as parts:
                for part in parts.namelist():
                    yield f"{name}/{part}", parts.read(part).decode("utf-8", "ignore")
        if name.endswith(".pdf"):
            with pikepdf.open(path) as pdf:
                yield name, " ".join(pages_text(pdf)).replace("\u200b", "")
                for item in pdf.objects:
                    if isinstance(item, pikepdf.Stream):
                        picture = "/DCTDecode" in str(item.get("/Filter"))  # a JPEG file as it is
                        yield name, (item.read_raw_bytes() if picture else item.read_bytes()).decode("latin-1")
                    elif isinstance(item, pikepdf.Dictionary):
                        yield name, " ".join(str(value) for value in item.values() if isinstance(value, pikepdf.String))


def words_of_names():
    return {word for name in (*NAMES, KEEPER) for word in name.split() if len(word) > 3}


def with_names_everywhere():
    """The trailer with names in an unknown column, in a member of a collection, in a file name."""
    files = trailer()
    files["coats.csv"] = [row | {"mixed_by": f"{OBSERVER} and son"} for row in files["coats.csv"]]
    findings = json.loads(json.dumps({"type": "FeatureCollection", "seen_with": OWNER, "features": []}))
    findings["features"] = [
        {
            "type": "Feature",
            "properties": {"finding_id": "f1", "drawing_id": "side", "kind": "dent", "told": {"to": [OWNER.upper()]}},
            "geometry": {"type": "Point", "coordinates": [1, 2]},
        }
    ]
    files["findings.geojson"] = json.dumps(findings)
    files[f"media/{OBSERVER}.png"] = picture_file()
    files["sources.csv"] = [
        *files["sources.csv"],
        {"source_id": "q4", "kind": "photo", "title": "Portrait", "file": f"{OBSERVER}.png"},
    ]
    return files


def picture_file():
    out = io.BytesIO()
    Image.new("RGB", (7, 5), "#123456").save(out, "PNG")
    return out.getvalue()


@pytest.mark.parametrize("as_file", [True, False])
def test_without_names_there_is_no_name_in_any_file(tmp_path, as_file):
    folder = write_case(tmp_path / "case", with_names_everywhere())
    source = folder
    if as_file:
        source = tmp_path / "case.gpkg"
        assert main(["take-in", str(folder), str(source), "--by", KEEPER]) == 0
    # the test can see names where there are some
    named = list(everything_said(_made(source, tmp_path / "named")))
    for word in words_of_names() - ({KEEPER.split()[0], KEEPER.split()[1]} if not as_file else set()):
        assert [name for name, text in named if word in text]
    for name, text in everything_said(_made(source, tmp_path / "plain", without_names=True)):
        found = [word for word in words_of_names() if word.lower() in text.lower()]
        assert not found, (name, found)


def _made(source, folder, **how):
    made(source, folder, **how)
    return folder


def test_without_names_it_says_so_and_still_prints_the_head_of_the_record(record, tmp_path):
    folder = tmp_path / "out"
    head = RecordFile(record).head()
    done = made(record, folder, without_names=True)
    assert done.standing.sha256 == head.hash
    with pikepdf.open(folder / "hand-over.pdf") as pdf:
        texts = pages_text(pdf)
    assert all(head.short in text for text in texts)
    assert "Names of persons are left out" in " ".join(texts)
    assert "its chain cannot be that of the record as it was kept" in " ".join((folder / "READ-ME.txt").read_text().split())
    # a whole folder all the same, with a journal that begins anew
    assert main(["verify", str(folder / "record")]) == 0
    journal = read_folder(folder / "record").journal
    assert {entry.by for entry in journal} == {"hand-over"}
    # papers cannot be looked into
    assert not (folder / "media/letter.txt").exists()
    assert (folder / "media/side.jpg").exists()


def test_both_choices_at_once_are_refused(record, tmp_path):
    with pytest.raises(BodymapError, match="one of them"):
        made(record, tmp_path / "out", without_names=True, with_originals=True)
    with pytest.raises(SystemExit) as exit_code:
        main(["hand-over", str(record), str(tmp_path / "out"), "--without-names", "--with-originals"])
    assert exit_code.value.code == 2


@pytest.mark.parametrize("what", ["a file in it", "a file"])
def test_a_place_that_is_taken_is_refused_and_nothing_is_written(record, tmp_path, capsys, what):
    folder = tmp_path / "out"
    if what == "a file":
        folder.write_text("mine")
    else:
        folder.mkdir()
        (folder / "mine.txt").write_text("mine")
    before = sorted(path.as_posix() for path in tmp_path.rglob("*"))
    assert main(["hand-over", str(record), str(folder)]) == 2
    assert "allowed: a folder that is not there yet, or an empty one" in capsys.readouterr().err
    assert sorted(path.as_posix() for path in tmp_path.rglob("*")) == before


def test_an_empty_folder_is_filled(record, tmp_path):
    (tmp_path / "out").mkdir()
    assert main(["hand-over", str(record), str(tmp_path / "out")]) == 0
    assert (tmp_path / "out/index.html").exists()


def test_a_record_whose_picture_was_changed_is_refused_and_nothing_is_written(record, tmp_path, capsys):
    for path in (tmp_path / "trailer.media").iterdir():
        if path.suffix == ".jpg":
            path.write_bytes(photograph(10, 10))
    assert main(["hand-over", str(record), str(tmp_path / "out")]) == 2
    assert "is not the one that was recorded" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
    assert not [path.name for path in tmp_path.iterdir() if path.name.startswith(".")]


def test_the_same_record_at_the_same_time_gives_the_same_bytes(record, tmp_path):
    first, second = (_made(record, tmp_path / name) for name in ("a", "b"))
    for name in ("hand-over.pdf", "index.html", "tables.xlsx", "zones.geojson", "READ-ME.txt", "record/journal.csv"):
        assert (first / name).read_bytes() == (second / name).read_bytes(), name


def test_the_map_is_read_by_gdal(record, tmp_path):
    # GDAL is the reader here, not this project
    made(record, tmp_path / "out")
    layers = dict(pyogrio.list_layers(tmp_path / "out/map.gpkg"))
    assert {"zone", "area", "finding"} <= {re.sub(r"s$|_now$", "", name) for name in layers}
    zones = pyogrio.read_dataframe(tmp_path / "out/map.gpkg", layer=next(name for name in layers if name.startswith("zone")))
    assert sorted(zones["zone_id"]) == ["high", "lid", "low"]
    assert zones.set_index("zone_id").geometry["low"].area == pytest.approx(600_000)


def test_an_open_folder_without_a_journal_gets_one_and_says_so(tmp_path):
    folder = tmp_path / "out"
    done = made(trailer_folder(tmp_path), folder)
    assert done.standing == done.ends
    assert "no journal that fitted it" in " ".join((folder / "READ-ME.txt").read_text().split())
    assert main(["verify", str(folder / "record"), "--head", done.ends.short]) == 0


def test_an_open_folder_changed_since_its_journal_was_written(record, tmp_path):
    folder = tmp_path / "open"
    assert main(["write-out", str(record), str(folder)]) == 0
    vehicle = folder / "vehicle.csv"
    vehicle.write_text(vehicle.read_text().replace("Boat trailer", "Boat trailer on two axles"))
    done = made(folder, tmp_path / "out")
    assert any("changed since the journal was written" in note for note in done.notes)
    content = read_folder(tmp_path / "out/record")
    assert content.record.vehicle.name == "Boat trailer on two axles"
    assert not list(out_of_step(content.journal, content.record))
    assert content.journal[: len(RecordFile(record).journal())] == RecordFile(record).journal()


def test_what_is_handed_over_can_be_taken_in_again(record, tmp_path):
    made(record, tmp_path / "out")
    again = tmp_path / "again.gpkg"
    assert main(["take-in", str(tmp_path / "out/record"), str(again)]) == 0
    assert RecordFile(again).head() == RecordFile(tmp_path / "out/map.gpkg").head()


def test_two_pictures_that_would_get_one_name_keep_two(tmp_path):
    scan = io.BytesIO()
    Image.new("RGB", (8, 6), "#445566").save(scan, "TIFF")
    files = trailer() | {"media/Side.tif": scan.getvalue()}
    files["sources.csv"] = [*files["sources.csv"], {"source_id": "q4", "kind": "photo", "title": "Scan", "file": "Side.tif"}]
    source = tmp_path / "case.gpkg"
    assert main(["take-in", str(write_case(tmp_path / "case", files)), str(source)]) == 0
    folder = _made(source, tmp_path / "out")
    named = {one.source_id: one.file for one in read_folder(folder / "record").record.sources}
    assert named["q1"].casefold() != named["q4"].casefold()
    for source_id, size in (("q1", (40, 80)), ("q4", (8, 6))):
        with Image.open(folder / "media" / named[source_id]) as picture:
            assert picture.size == size
    assert main(["verify", str(folder / "record")]) == 0


def test_a_record_with_nothing_in_it_is_handed_over(tmp_path):
    folder = _made(write_case(tmp_path / "bare", BARE), tmp_path / "out")
    assert "media" not in {path.name for path in folder.iterdir()}
    assert 'href="media/"' not in (folder / "index.html").read_text()


def test_no_folder_to_be_in_is_bad_input(record, tmp_path, capsys):
    assert main(["hand-over", str(record), str(tmp_path / "none/out")]) == 2
    assert "allowed: a folder that is there" in capsys.readouterr().err
    assert not Path(tmp_path / "none").exists()


def test_the_moment_is_the_one_that_was_given(record, tmp_path):
    made(record, tmp_path / "out")
    with pikepdf.open(tmp_path / "out/hand-over.pdf") as pdf:
        assert str(pdf.docinfo.CreationDate).startswith(f"D:{moment_of(AT):%Y%m%d%H%M%S}")
