"""The commands that guard the strip and rehearse the repaint, on a trailer drawn by hand, worked out on paper."""

from __future__ import annotations

import json

import pytest

from bodymap.cli import main
from demo import CAP_OFF_PLAN, VEHICLE_FOLDER
from tests.test_cli import box, collection, feature, write

ZONES = ("side", "flap", "recess")
STEPS = "step,action,target,parts,note,method\n"


def trailer() -> dict[str, str]:
    """A side 200 × 100 with a flap 60 × 40 on it and, behind the flap, a recess 60 × 40 that lets mist in.

    Kept: a square of 20 × 20 on the side, with 10 mm by hand round it. Goals: red over primer; behind the flap mist only.
    """
    return {
        "vehicle.csv": "vehicle_id,name\ntrailer,Trailer\n",
        "drawings.csv": "drawing_id,name,kind\nleft,Left,outside\nhid,Hidden,hidden\n",
        "parts.csv": "part_id,name,substrate,removable\nbody,Body,steel,no\nflap,Flap,aluminium,yes\n",
        "zones.geojson": collection(
            feature([box(0, 0, 200, 100)], zone_id="side", drawing_id="left", part_id="body", face="outer"),
            feature([box(220, 0, 280, 40)], zone_id="flap", drawing_id="left", part_id="flap", face="outer"),
            feature([box(0, 0, 60, 40)], zone_id="recess", drawing_id="hid", part_id="body", face="jamb"),
        ),
        "covers.csv": "zone_id,part_id,gap\nrecess,flap,yes\n",
        "coats.csv": "coat_id,name,kind\np,Primer,primer\nr,Red,colour\n",
        "stacks.csv": "stack_id,zone_id,method,reaches_substrate\n"
        "s1,side,window,yes\ns2,flap,window,yes\ns3,recess,window,yes\n",
        "layers.csv": "stack_id,position,coat_id,extent\n"
        "s1,1,p,full\ns1,2,r,full\ns2,1,p,full\ns2,2,r,full\ns3,1,p,full\ns3,2,r,mist\n",
        "areas.geojson": collection(
            feature(
                [box(10, 10, 30, 30)],
                area_id="k",
                drawing_id="left",
                purpose="keep",
                edge="hard",
                margin=10,
            ),
            feature([box(10, 10, 30, 30)], area_id="m", drawing_id="left", purpose="mask", edge="hard"),
        ),
        "readings.csv": "reading_id,zone_id,um,principle,spot\n"
        + "".join(f"r{n},side,70,magnetic,{n}\n" for n in range(5))
        + "q1,flap,70,eddy,1\n",
        "sources.csv": "source_id,kind,title,about\nphoto,photo,As it came,body;flap\n",
        "signoffs.csv": "subject,what,by,on,note\n"
        "vehicle,hazards tested,Ann,2026-03-01,\nk,keep,Ann,2026-03-01,\n"
        + "".join(
            f"{zone},release to strip,{by},2026-03-02,\n" for zone in ("side", "flap", "recess") for by in ("Ann", "Ben")
        ),
        "goals.csv": "zone_id,position,coat_id,extent\n"
        "side,1,p,full\nside,2,r,full\nflap,1,p,full\nflap,2,r,full\nrecess,1,p,full\nrecess,2,r,mist\n",
        "steps.csv": STEPS
        + "1,mask,m,,,\n2,remove,flap,,,\n3,strip,side;recess;flap,,,hand\n4,coat,p,flap,,\n5,fit,flap,,,\n6,coat,r,,,\n"
        "7,unmask,m,,,\n",
    }


@pytest.fixture
def folder(tmp_path):
    return write(tmp_path / "trailer", trailer())


@pytest.fixture
def run(capsys):
    """Runs a command; gives its exit code, and its output as JSON where it is some."""

    def run_it(*words):
        capsys.readouterr()
        code = main([str(word) for word in words])
        out = capsys.readouterr().out
        return code, json.loads(out) if "--json" in words else out

    return run_it


def test_a_plan_that_ends_as_wanted_exits_0(folder, run, tmp_path):
    code, report = run("replay", folder, "--json")
    assert code == 0
    # side 200 × 100, flap and recess 60 × 40 each
    assert report["match_mm2"] == report["total_mm2"] == pytest.approx(20_000 + 2 * 2_400)
    assert report["violations"] == []
    # margin of 10 mm round the kept 20 × 20 square: 4 × 20 × 10 and four quarters of a circle
    assert report["hand_work"] == [{"step": 3, "zone": "side", "area_mm2": pytest.approx(800 + 314.159, abs=0.1)}]
    assert main(["take-in", str(folder), str(tmp_path / "t.gpkg"), "--by", "x"]) == 0
    assert run("replay", tmp_path / "t.gpkg", "--json") == (0, report)


def test_pieces_have_exactly_the_keys_that_scripts_rely_on(folder, run):
    _, report = run("replay", folder, "--json")
    assert {"match_mm2", "total_mm2", "pieces", "violations"} <= set(report)
    recess = next(piece for piece in report["pieces"] if piece["zone"] == "recess")
    assert recess | {"area_mm2": 0} == {
        "zone": "recess",
        "stack": [["p", "full"], ["r", "mist"]],
        "goal": [["p", "full"], ["r", "mist"]],
        "area_mm2": 0,
        "verdict": "match",
        "steps": [],
        "kept": False,
    }


def test_another_plan_is_run_in_place_of_the_records_own(folder, run, tmp_path):
    """The flap stays off for the red, and the mask comes off too early: the recess gets red in full, the kept square red."""
    plan = tmp_path / "other.csv"
    plan.write_text(STEPS + "1,mask,m,,,\n2,remove,flap,,,\n3,strip,side;recess;flap,,,\n4,coat,p,flap,,\n5,unmask,m,,,\n"
                    "6,coat,r,flap,,\n7,fit,flap,,,\n")  # fmt: skip
    code, report = run("replay", folder, "--plan", plan, "--json")
    assert code == 1
    wrong = {
        (p["zone"], p["verdict"], tuple(p["steps"])): p["area_mm2"] for p in report["pieces"] if p["verdict"] != "match"
    }
    assert wrong == pytest.approx({("recess", "extra", (6,)): 2_400, ("side", "kept harmed", (6,)): 400})
    assert report["violations"] == [
        {"step": 6, "area": "k", "action": "coat", "area_mm2": pytest.approx(400), "zone": "side"}
    ]
    code, out = run("replay", folder, "--plan", plan)
    assert code == 1
    assert "extra: recess (recess), 2400 mm², by step 6" in out
    assert "violation: step 6 (coat) goes over the kept area k in side, 400 mm²" in out
    assert run("replay", folder)[0] == 0


def test_a_drafted_plan_ends_as_wanted_and_is_told(folder, run):
    code, report = run("replay", folder, "--draft", "--json")
    assert code == 0
    assert report["match_mm2"] == pytest.approx(24_800)
    coats = [(step["target"], step["parts"]) for step in report["draft"]["steps"] if step["action"] == "coat"]
    assert coats == [(["p"], ["flap"]), (["r"], [])]
    assert report["draft"]["areas"] == []
    code, out = run("replay", folder, "--draft")
    assert code == 0
    assert "coat p (flap)" in out


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("step,action,target\n1,strip,roof\n", "other.csv, row 2 (1), target"),
        ("step,action,target\n1,paint,r\n", "action"),
        ("step,action,target\n1,remove,body\n", "not removable"),
        ("step,action,target\n1,coat,r\n1,coat,p\n", "again"),
        ("step,action,target,method\n1,coat,r,hand\n", "only a strip step"),
        ("action,target\ncoat,r\n", "no such column"),
        ("", "no header row"),
    ],
)
def test_a_plan_with_faults_is_refused_with_file_row_and_column(folder, tmp_path, capsys, text, words):
    plan = tmp_path / "other.csv"
    plan.write_text(text)
    assert main(["replay", str(folder), "--plan", str(plan), "--json"]) == 2
    told = capsys.readouterr()
    assert words in told.err
    assert told.out == ""


def test_a_plan_that_is_not_there_is_told(folder, tmp_path, capsys):
    assert main(["replay", str(folder), "--plan", str(tmp_path / "none.csv")]) == 2
    assert "none.csv" in capsys.readouterr().err


def test_a_release_without_blockers_exits_0(folder, run):
    code, report = run("release", folder, "--json")
    assert (code, report["zones"]["side"]["blockers"], report["zones"]["side"]["release"]) == (0, [], True)
    assert all(zone["release"] for zone in report["zones"].values())


def test_a_blocked_release_exits_1_and_names_code_what_and_cure(tmp_path, run):
    files = trailer() | {"sources.csv": "source_id,kind,title,about\nphoto,photo,As it came,flap\n"}
    folder = write(tmp_path / "blocked", files)
    code, report = run("release", folder, "--json")
    assert code == 1
    for zone, blocked in (("side", True), ("recess", True), ("flap", False)):
        assert [one["code"] for one in report["zones"][zone]["blockers"]] == ["no-photo-before"] * blocked
    told = report["zones"]["side"]["blockers"][0]
    assert {"code", "what", "cure"} <= set(told)
    code, out = run("release", folder)
    assert code == 1
    assert "no-photo-before: no photograph speaks of side" in out
    assert "cure: photograph it" in out


def test_an_override_by_name_and_reason_frees_the_zone(tmp_path, run):
    files = trailer() | {"sources.csv": "source_id,kind,title,about\nphoto,photo,As it came,flap\n"}
    files["signoffs.csv"] += (
        "side,override,Eve,2026-03-02,no-photo-before: the card was lost\nrecess,override,Eve,2026-03-02,all\n"
    )
    code, report = run("release", write(tmp_path / "overruled", files), "--json")
    assert code == 1  # the recess: an override without a reason does not count
    assert report["zones"]["side"]["release"] is True
    assert report["zones"]["side"]["overridden"] == [
        {
            "code": "no-photo-before",
            "by": "Eve",
            "on": "2026-03-02",
            "reason": "the card was lost",
            "what": "no photograph speaks of side or its part as it was found",
        }
    ]
    assert report["zones"]["recess"]["release"] is False


def test_the_bad_plan_of_the_demo_exits_1_and_the_good_one_0(run):
    assert run("replay", VEHICLE_FOLDER)[0] == 0
    code, out = run("replay", VEHICLE_FOLDER, "--plan", CAP_OFF_PLAN)
    assert code == 1
    assert "missing: Sealant bead along the cap edge (bead)" in out
    code, out = run("release", VEHICLE_FOLDER)
    assert code == 1
    assert "(K3) lies 40 mm from it" in out


def test_a_draft_over_kept_areas_proposes_masks_and_is_told(run):
    from demo import VEHICLE_FOLDER

    code, report = run("replay", VEHICLE_FOLDER, "--draft", "--json")
    assert code == 0
    assert "mask_K3" in json.dumps(report["draft"]["areas"])
    assert report["match_mm2"] == pytest.approx(report["total_mm2"])
