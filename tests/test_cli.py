"""The commands, on a vehicle which is not the demo: a scooter drawn by hand, its areas worked out on paper."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from bodymap.cli import main
from bodymap.exchange.open_folder import read_folder

ROOT = Path(__file__).parents[1]


def feature(coordinates, kind="Polygon", **properties):
    return {"type": "Feature", "properties": properties, "geometry": {"type": kind, "coordinates": coordinates}}


def box(x0, y0, x1, y1):
    return [[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]]


def collection(*features):
    return json.dumps({"type": "FeatureCollection", "features": list(features)})


def scooter() -> dict[str, str]:
    """An open folder: two zones side by side, one with a hole, two kept areas that overlap and reach over both."""
    hole = box(40, 40, 60, 60)[::-1]
    return {
        "vehicle.csv": "vehicle_id,name,colour_of_seat\nscoot,Scooter,red\n",
        "drawings.csv": "drawing_id,name,kind,scale\nleft,Left,outside,measured\nhid,Hidden,hidden,schematic\n",
        "parts.csv": "part_id,name,substrate,removable\nshield,Leg shield,steel,no\nlid,Lid,aluminium,yes\n",
        "zones.geojson": collection(
            feature(
                [box(0, 0, 100, 100), hole],
                zone_id="a",
                drawing_id="left",
                part_id="shield",
                face="outer",
                surface_ratio=1.25,
                shop_note="front",
            ),
            feature(
                [[box(100, 0, 200, 100)], [box(300, 0, 310, 10)]],
                "MultiPolygon",
                zone_id="b",
                drawing_id="left",
                part_id="lid",
                face="outer",
            ),
            feature([box(0, 0, 50, 20)], zone_id="h", drawing_id="hid", part_id="lid", face="flange", surface_ratio=2),
        ),
        "areas.geojson": collection(
            feature(
                [box(80, 80, 110, 90)],
                area_id="k1",
                drawing_id="left",
                purpose="keep",
                margin=5,
                edge="hard",
                reason="the last of the first coat",
            ),
            feature([box(90, 80, 120, 90)], area_id="k2", drawing_id="left", purpose="keep"),
            feature([box(0, 0, 30, 30)], area_id="m1", drawing_id="left", purpose="mask"),
        ),
        "datums.geojson": collection(
            feature([[0, 0], [200, 0]], "LineString", datum_id="foot", drawing_id="left", name="Foot")
        ),
        "coats.csv": "coat_id,name,kind\nprimer,Primer,primer\nred,Red,colour\n",
        "stacks.csv": "stack_id,zone_id,method,reaches_substrate\ns1,a,window,yes\n",
        "layers.csv": "stack_id,position,coat_id,extent\ns1,1,primer,full\ns1,2,red,full\n",
        "readings.csv": "reading_id,zone_id,um,principle\nr1,a,81.5,magnetic\nr2,b,80,magnetic\n",
    }


@pytest.fixture
def folder(tmp_path):
    return write(tmp_path / "scooter", scooter())


@pytest.fixture
def record(folder, tmp_path):
    assert main(["take-in", str(folder), str(tmp_path / "scooter.gpkg"), "--by", "tester"]) == 0
    return tmp_path / "scooter.gpkg"


def write(path, files):
    path.mkdir()
    for name, text in files.items():
        (path / name).write_text(text, encoding="utf-8", newline="")
    return path


def areas(path, capsys):
    capsys.readouterr()
    assert main(["areas", str(path), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_areas_equal_those_worked_out_on_paper(record, folder, capsys):
    report = areas(record, capsys)
    assert report == areas(folder, capsys)
    a, b, h = (report["zones"][zone] for zone in "abh")
    # a: 100 × 100 less a hole of 20 × 20; kept 80..100 × 80..90 (k1 and k2 overlap from 90 to 100: counted once).
    assert a["drawn_mm2"] == pytest.approx(10_000 - 400)
    assert a["surface_mm2"] == pytest.approx(9_600 * 1.25)
    assert a["kept_drawn_mm2"] == pytest.approx(200)
    assert a["kept_surface_mm2"] == pytest.approx(250)
    # b: 100 × 100 and 10 × 10; kept 100..120 × 80..90.
    assert b["drawn_mm2"] == pytest.approx(10_100)
    assert b["kept_drawn_mm2"] == pytest.approx(200)
    # Margin of k1 is 5 mm with round corners. In a: below and above 20 mm long × 5, left 10 × 5, two quarter circles.
    # In b: below and above 10 mm long × 5 and a quarter circle on each; to the right lies k2, which is kept.
    quarter = 3.141592653589793 * 25 / 4
    assert a["margin_drawn_mm2"] == pytest.approx(2 * 100 + 50 + 2 * quarter, rel=1e-4)
    assert b["margin_drawn_mm2"] == pytest.approx(2 * 50 + 2 * quarter, rel=1e-4)
    assert (a["estimate"], b["estimate"], h["estimate"]) == (False, False, True)
    assert report["totals"] == pytest.approx(
        {
            "drawn_mm2": 9_600 + 10_100 + 1_000,
            "surface_mm2": 12_000 + 10_100 + 2_000,
            "kept_drawn_mm2": 400,
            "kept_surface_mm2": 450,
        }
    )
    assert report["by_part"]["lid"]["drawn_mm2"] == pytest.approx(11_100)
    assert report["by_part"]["shield"]["kept_surface_mm2"] == pytest.approx(250)


def test_areas_for_reading_are_in_m2(record, capsys):
    capsys.readouterr()
    assert main(["areas", str(record)]) == 0
    out = capsys.readouterr().out
    assert re.search(r"Leg shield +0\.0096 +0\.0120 +0\.0003 +2\.1% +0\.0003", out)
    assert "1 zones are on a schematic drawing" in out


def test_in_and_out_again_loses_nothing(record, folder, tmp_path):
    assert main(["write-out", str(record), str(tmp_path / "out")]) == 0
    first, again = read_folder(folder), read_folder(tmp_path / "out")
    assert again.record == first.record
    assert again.record.vehicle.more == {"colour_of_seat": "red"}
    assert again.record.zone["a"].more == {"shop_note": "front"}
    assert len(again.journal) == sum(1 for _ in first.record.entries())
    assert main(["take-in", str(tmp_path / "out"), str(tmp_path / "second.gpkg")]) == 0
    assert main(["write-out", str(tmp_path / "second.gpkg"), str(tmp_path / "third")]) == 0
    for path in (tmp_path / "out").rglob("*"):
        if path.is_file():
            assert (tmp_path / "third" / path.relative_to(tmp_path / "out")).read_bytes() == path.read_bytes(), path.name


def test_verify_and_backup(record, tmp_path, capsys):
    assert main(["verify", str(record)]) == 0
    head = capsys.readouterr().out
    assert re.search(r"whole; \d+ entries, last hash [0-9a-f]{64}", head)
    assert main(["backup", str(record), str(tmp_path / "copy.gpkg")]) == 0
    capsys.readouterr()
    assert main(["verify", str(tmp_path / "copy.gpkg")]) == 0
    assert head.split("whole")[1] == capsys.readouterr().out.split("whole")[1]


def test_verify_says_what_is_broken_and_exits_1(record, capsys):
    import sqlite3

    connection = sqlite3.connect(record)
    for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        connection.execute(f'DROP TRIGGER "{name}"')
    connection.execute("UPDATE log_zone SET face = 'back' WHERE zone_id = 'a'")
    connection.commit()
    connection.close()
    capsys.readouterr()
    assert main(["verify", str(record)]) == 1
    assert re.search(r"zone a\b.*changed", capsys.readouterr().out)


def test_verify_holds_a_folder_against_its_journal(record, tmp_path, capsys):
    out = tmp_path / "out"
    assert main(["write-out", str(record), str(out)]) == 0
    assert main(["verify", str(out)]) == 0
    head = (out / "journal.csv").read_text(encoding="utf-8").strip().splitlines()
    count, last = len(head) - 1, head[-1].rstrip().rsplit(",", 1)[1]
    assert main(["verify", str(out), "--head", f"{count}·{last[:12].upper()}"]) == 0
    capsys.readouterr()
    readings = (out / "readings.csv").read_text(encoding="utf-8")
    (out / "readings.csv").write_text(readings.replace("81.5", "18.5"), encoding="utf-8", newline="")
    assert main(["verify", str(out)]) == 1
    assert "readings.csv: r1 is not what the journal says" in capsys.readouterr().out
    (out / "readings.csv").unlink()
    assert main(["verify", str(out)]) == 1
    told = capsys.readouterr().out
    assert "r1 is gone" in told
    assert "r2 is gone" in told
    assert main(["brief", str(out), str(tmp_path / "b.pdf")]) == 0
    assert "the files were changed since the journal was written" in capsys.readouterr().err


@pytest.mark.parametrize("head", ["0·000000000000", "nonsense", "12·abc"])
def test_a_head_that_is_none_is_refused(record, head, capsys):
    assert main(["verify", str(record), "--head", head]) == 2
    assert "allowed: count and hash as printed" in capsys.readouterr().err


def test_a_cut_journal_is_found_against_a_printed_head(folder, tmp_path, record, capsys):
    from bodymap.store.record_file import RecordFile

    head = RecordFile(record).head()
    later = f"{head.count + 1}·{head.hash[:12]}"
    assert main(["verify", str(record), "--head", later]) == 1
    assert f"{head.count + 1} entries were printed, {head.count} are left" in capsys.readouterr().out


def test_ratio_from_girths_and_from_chord_and_rise(capsys):
    # Chord 1000, rise 50: 1.006653 by the handbook's circle parts (see tests/outside).
    assert main(["ratio", "--chord-mm", "1000", "--rise-mm", "50"]) == 0
    assert "surface ratio 1.0067" in capsys.readouterr().out
    assert main(["ratio", "--length-mm", "1000", "--girth-mm", "1010", "--width-mm", "500", "--width-girth-mm", "510"]) == 0
    assert "surface ratio 1.0302" in capsys.readouterr().out  # 1.01 × 1.02
    for wrong in (["--length-mm", "1000"], [], ["--length-mm", "1000", "--girth-mm", "900"]):
        assert main(["ratio", *wrong]) == 2
        assert "allowed" in capsys.readouterr().err


def test_what_is_odd_is_told_and_taken_in(tmp_path, capsys):
    zones = json.loads(scooter()["zones.geojson"])["features"]
    over = {"zone_id": "over", "drawing_id": "left", "part_id": "lid", "face": "outer", "surface_ratio": 0.5}
    zones.append(feature([box(50, 50, 60, 120)], **over))
    areas = json.loads(scooter()["areas.geojson"])["features"]
    areas.append(feature([box(900, 900, 910, 910)], area_id="k9", drawing_id="left", purpose="keep"))
    change = {"zones.geojson": collection(*zones), "areas.geojson": collection(*areas)}
    assert main(["take-in", str(write(tmp_path / "odd", scooter() | change)), str(tmp_path / "odd.gpkg")]) == 0
    told = capsys.readouterr().err
    # Zone a has a hole 40..60 × 40..60 there: 10 × 40 of it lie under the new zone.
    assert "a and over lie over one another on 400 mm²" in told
    assert "over has a true surface smaller than the drawn one (ratio 0.5)" in told
    assert "k9 lies in no zone of drawing left" in told


def test_brief_of_a_record_and_of_a_folder(record, folder, tmp_path):
    for name, path in (("record.pdf", record), ("folder.pdf", folder)):
        assert main(["brief", str(path), str(tmp_path / name)]) == 0
        assert (tmp_path / name).read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("name", "change", "words"),
    [
        ("missing column", {"parts.csv": "part_id,name,removable\nshield,Leg shield,no\nlid,Lid,yes\n"}, "substrate"),
        ("not a number", {"readings.csv": 'reading_id,zone_id,um,principle\nr1,a,"81,5",magnetic\n'}, "readings.csv, row 2"),
        ("nan", {"readings.csv": "reading_id,zone_id,um,principle\nr1,a,nan,magnetic\n"}, "found 'nan'"),
        (
            "self-crossing",
            {
                "areas.geojson": collection(
                    feature([[[0, 0], [10, 10], [10, 0], [0, 10], [0, 0]]], area_id="k1", drawing_id="left", purpose="keep")
                )
            },
            "areas.geojson, feature 1",
        ),
        ("wrong file", {"zones.geojson": "zone_id,drawing_id\n"}, "zones.geojson"),
        (
            "unknown part",
            {
                "zones.geojson": collection(
                    feature([box(0, 0, 1, 1)], zone_id="a", drawing_id="left", part_id="wing", face="outer")
                )
            },
            "wing",
        ),
        ("no vehicle", {"vehicle.csv": "vehicle_id,name\n"}, "vehicle.csv"),
    ],
)
def test_bad_input_is_told_and_nothing_is_written(tmp_path, capsys, name, change, words):
    folder = write(tmp_path / "bad", scooter() | change)
    assert main(["take-in", str(folder), str(tmp_path / "bad.gpkg")]) == 2, name
    told = capsys.readouterr().err
    assert words in told
    assert "allowed" in told
    assert sorted(path.name for path in tmp_path.iterdir()) == ["bad"]
    assert main(["areas", str(folder), "--json"]) == 2
    assert capsys.readouterr().out == ""


def test_an_empty_folder_and_a_missing_one_are_told(tmp_path, capsys):
    (tmp_path / "empty").mkdir()
    for name in ("empty", "nowhere"):
        assert main(["take-in", str(tmp_path / name), str(tmp_path / "r.gpkg")]) == 2
        assert name in capsys.readouterr().err
    assert not (tmp_path / "r.gpkg").exists()


def test_a_record_is_never_written_over(record, folder, capsys):
    before = record.stat().st_mtime_ns
    assert main(["take-in", str(folder), str(record)]) == 2
    assert main(["backup", str(record), str(record)]) == 2
    assert main(["write-out", str(record), str(folder)]) == 2
    assert "Traceback" not in capsys.readouterr().err
    assert record.stat().st_mtime_ns == before


def test_a_file_that_is_no_record_is_told(tmp_path, capsys):
    path = tmp_path / "letter.gpkg"
    path.write_text("Dear sir,")
    for command in (["areas", str(path)], ["verify", str(path)], ["write-out", str(path), str(tmp_path / "o")]):
        assert main(command) == 2
        assert "letter.gpkg" in capsys.readouterr().err


CARD = "um,r,g,b\n0,200,200,200\n10,180,190,200\n20,162,180,200\n40,131,162,199\n"


def tint(tmp_path, capsys, *options, card=CARD):
    (tmp_path / "card.csv").write_text(card, encoding="utf-8")
    code = main(["tint", str(tmp_path / "card.csv"), *options])
    return code, *capsys.readouterr()


def test_tint_prints_the_keys_that_scripts_rely_on(tmp_path, capsys):
    code, out, err = tint(tmp_path, capsys, "--json", "--at-um", "30", "--delta-e", "0.5")
    report = json.loads(out)
    assert code == 0
    assert set(report) >= {"fit", "delta_e_per_um", "tolerance_um"}
    assert report["fit"]["range_um"] == [0, 40]
    assert report["delta_e_per_um"][0][0] == 0
    assert report["delta_e_per_um"][-1][0] == 40
    # A grey of 200 that falls to 131 in 40 µm: sRGB is about a power of 2.4, so ln R falls by nearly 2.4 ln(200/131).
    assert report["fit"]["channels"]["r"]["attenuation_per_um"] * 80 == pytest.approx(2.4 * 0.4232, rel=0.08)
    allowed = report["tolerance_um"]
    assert (allowed["at_um"], allowed["delta_e"]) == (30, 0.5)
    slope = next(value for um, value in report["delta_e_per_um"] if um == 30)
    assert allowed["minus"] == pytest.approx(0.5 / slope, rel=0.1)
    assert allowed["plus"] == pytest.approx(0.5 / slope, rel=0.1)
    assert "pass" not in report
    assert "tinted coat alone" in err


def test_tint_for_reading(tmp_path, capsys):
    code, out, err = tint(tmp_path, capsys, "--at-um", "30", "--pass-um", "10", "--reading-um", "250")
    assert code == 0
    assert "A pass of 10 µm: one pass less ΔE" in out
    assert "your gauge cannot see this: count passes" in out
    assert "unsourced" in err


@pytest.mark.parametrize(
    ("card", "options", "words"),
    [
        (CARD.replace("0,200,200,200", "1,200,200,200", 1), (), "no row with um 0"),
        (CARD.replace("180", "x"), (), "row 3, r: found 'x'"),
        (CARD, ("--at-um", "-1"), "0 µm or more"),
        (CARD, ("--at-um", "nan"), "0 µm or more"),
        (CARD, ("--delta-e", "0"), "greater than 0"),
        (CARD, ("--pass-um", "0"), "greater than 0"),
    ],
)
def test_a_senseless_card_or_question_exits_2(tmp_path, capsys, card, options, words):
    code, out, err = tint(tmp_path, capsys, "--json", *options, card=card)
    assert (code, out) == (2, "")
    assert words in err


def test_a_card_that_is_not_there_exits_2(tmp_path, capsys):
    assert main(["tint", str(tmp_path / "nowhere.csv")]) == 2
    assert "nowhere.csv" in capsys.readouterr().err


def test_usage_exits_2():
    run = subprocess.run([sys.executable, "-m", "bodymap", "areas"], capture_output=True, text=True, check=False, cwd=ROOT)
    assert run.returncode == 2
    assert "RECORD" in run.stderr


def test_every_command_is_in_the_readme(capsys):
    with pytest.raises(SystemExit):
        main(["--help"])
    commands = re.findall(r"^    ([a-z-]+)(?: |$)", capsys.readouterr().out, re.MULTILINE)
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert len(commands) >= 8
    assert [name for name in commands if f"`bodymap {name}" not in readme] == []
