"""The history command, on a horse-box worked out on paper: a hatch painted off the body, then closed for the last coat."""

from __future__ import annotations

import json

import pytest

from bodymap.cli import main
from tests.folders import box, write_case

KEYS = {
    "order", "unseen_coats", "unordered", "relations", "contradictions", "states", "cost", "parts", "taped", "look_next",
}  # fmt: skip


def stack(stack_id, zone_id, *coats, reaches="yes"):
    layers = [
        {"stack_id": stack_id, "position": number, "coat_id": coat, "extent": "full"} for number, coat in enumerate(coats, 1)
    ]
    return {"stack_id": stack_id, "zone_id": zone_id, "method": "window", "reaches_substrate": reaches}, layers


STACKS = (stack("A", "side", "p", "c", "g"), stack("B", "seat", "p", "c"), stack("C", "skin", "p", "c", "g"))
WRONG_WAY = stack("D", "side", "g", "c", reaches="no")


def horse_box(*stacks):
    zones = (("side", "shell", 0, "outer"), ("seat", "shell", 1000, "flange"), ("skin", "hatch", 2000, "outer"))
    zones += (("seat_2", "shell", 3000, "flange"),)
    case = {
        "vehicle.csv": [{"vehicle_id": "hb", "name": "Horse-box"}],
        "drawings.csv": [{"drawing_id": "l", "name": "Left", "kind": "outside"}],
        "parts.csv": [
            {"part_id": "shell", "name": "Shell", "substrate": "steel", "removable": "no"},
            {"part_id": "hatch", "name": "Hatch", "substrate": "steel", "removable": "yes"},
        ],
        "zones.geojson": [
            {"zone_id": zone, "drawing_id": "l", "part_id": part, "face": face, "geometry": box(x, 0, 500, 500)}
            for zone, part, x, face in zones
        ],
        "covers.csv": [{"zone_id": zone, "part_id": "hatch"} for zone in ("seat", "seat_2")],
        "coats.csv": [
            {"coat_id": coat, "name": name, "kind": "colour"}
            for coat, name in (("p", "Primer"), ("c", "Cream"), ("g", "Grey"), ("x", "Never seen"))
        ],
        "stacks.csv": [found for found, _ in stacks],
        "layers.csv": [layer for _, layers in stacks for layer in layers],
    }
    return {name: rows for name, rows in case.items() if rows}


def folder_of(path, *stacks):
    folder = path / "folder"
    write_case(folder, horse_box(*stacks))
    return str(folder)


def asked(capsys, *arguments):
    code = main(["history", *arguments])
    out, err = capsys.readouterr()
    return code, out, err


def test_the_json_has_the_keys_scripts_rely_on(tmp_path, capsys):
    code, out, err = asked(capsys, folder_of(tmp_path, *STACKS), "--json")
    report = json.loads(out)
    assert (code, err) == (0, "")
    assert set(report) >= KEYS
    assert report["order"] == ["p", "c", "g"]
    assert report["unseen_coats"] == ["x"]
    assert (report["unordered"], report["contradictions"]) == ([], [])
    assert report["relations"] == [["p", "c"], ["c", "g"]]
    assert report["states"]["g"] == {"side": "full", "seat": "shielded", "skin": "full", "seat_2": "unknown"}
    # Off, off, fitted: one change of state costs 1; nothing taped, nothing away.
    assert report["cost"] == 1
    hatch = {coat: report["parts"][coat]["hatch"] for coat in ("p", "c", "g")}
    assert {coat: (one["values"], one["grade"]) for coat, one in hatch.items()} == {
        "p": (["off"], "proven"), "c": (["off"], "proven"), "g": (["fitted"], "likely"),
    }  # fmt: skip
    assert (hatch["g"]["on_vehicle"], hatch["g"]["on_vehicle_grade"]) == ("yes", "likely")
    assert report["taped"] == {"p": {}, "c": {}, "g": {}}
    # The other seat tells the same as the first: in full where the hatch was off.
    assert {(look["zone"], look["coat"]) for look in report["look_next"]} == {("seat_2", "g")}
    assert all(set(look) >= {"zone", "coat", "settles", "why"} for look in report["look_next"])


def test_the_text_tells_order_parts_and_where_to_look(tmp_path, capsys):
    code, out, _ = asked(capsys, folder_of(tmp_path, *STACKS))
    assert code == 0
    lines = out.splitlines()
    assert [line.split()[1] for line in lines[1:4]] == ["primer", "cream", "grey"]
    assert "Seen in no stack: never seen (x)." in lines
    grey = lines[lines.index("At grey (g):") + 1]
    assert "The hatch was on the vehicle (likely: B on seat" in grey
    assert "else off, painted apart with tape over seat" in grey
    assert "Where to look next" in out
    assert "disagree" not in out


def test_what_was_taped_comes_last_at_each_coat(tmp_path, capsys):
    # Cream is missing on the side, which nothing covers: it was taped whatever the hatch did.
    stacks = (stack("A", "side", "p", "g"), *STACKS[1:])
    _, out, _ = asked(capsys, folder_of(tmp_path, *stacks))
    lines = out.splitlines()
    at = lines.index("At cream (c):")
    told = lines[at + 1 : lines.index("", at)]
    assert len(told) == 2
    assert "hatch" in told[0]
    assert told[1] == "  - Side was taped, or the coat was not meant for it (proven)."


def test_a_circle_is_told_and_only_what_needs_no_order(tmp_path, capsys):
    folder = folder_of(tmp_path, *STACKS, WRONG_WAY)
    code, out, _ = asked(capsys, folder, "--json")
    report = json.loads(out)
    assert code == 1
    assert not {"order", "cost", "parts", "taped", "look_next"} & set(report)
    (circle,) = report["contradictions"]
    assert (circle["kind"], circle["coats"]) == ("circle", ["c", "g"])
    assert {(one["below"], one["above"]): one["stacks"] for one in circle["relations"]} == {
        ("c", "g"): ["A", "C"], ("g", "c"): ["D"],
    }  # fmt: skip
    code, out, _ = asked(capsys, folder)
    assert code == 1
    assert "runs in a circle" in out
    assert "D is the only single stack" in out


def test_a_stack_set_aside_is_not_forgotten(tmp_path, capsys):
    whole = json.loads(asked(capsys, folder_of(tmp_path, *STACKS), "--json")[1])
    folder = folder_of(tmp_path / "more", *STACKS, WRONG_WAY)
    code, out, _ = asked(capsys, folder, "--json", "--set-aside", "D")
    report = json.loads(out)
    assert code == 1, "it is still in the record"
    assert report.pop("set_aside") == ["D"]
    assert report == whole
    assert "As if D were set aside; nothing is changed in the record." in asked(capsys, folder, "--set-aside", "D")[1]


def test_an_unknown_stack_is_bad_input(tmp_path, capsys):
    code, out, err = asked(capsys, folder_of(tmp_path, *STACKS), "--set-aside", "Z")
    assert (code, out) == (2, "")
    assert "found Z; allowed: A, B, C" in err


@pytest.mark.parametrize("flags", [(), ("--json",)])
def test_a_record_without_a_stack_is_no_fault(tmp_path, capsys, flags):
    code, out, _ = asked(capsys, folder_of(tmp_path), *flags)
    assert code == 0
    assert json.loads(out)["order"] == [] if flags else "nothing tells an order" in out


def test_a_part_that_came_later_is_no_disagreement(tmp_path, capsys):
    case = horse_box(*STACKS[:2], stack("C", "skin", "g"))
    case["parts.csv"][1]["first_coat"] = "g"
    del case["covers.csv"]
    write_case(tmp_path / "later", case)
    code, out, _ = asked(capsys, str(tmp_path / "later"))
    assert code == 0
    assert "disagree" not in out
    assert "The hatch was not on the vehicle before grey (g)" in out
