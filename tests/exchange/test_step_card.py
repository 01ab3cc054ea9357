"""The CSV of a step card, good and bad."""

from __future__ import annotations

import pytest

from bodymap.errors import Faults
from bodymap.exchange.step_card import parse_step_card
from bodymap.finish.colour import lab_of_srgb8

LAB = "um,L,a,b\n0,77,-1,-2\n8,68,-4,-12\n16,61,-5,-20\n24,54,-3,-27\n"


def parsed(text):
    return parse_step_card("card.csv", text.encode() if isinstance(text, str) else text)


def told(text):
    with pytest.raises(Faults) as refused:
        parsed(text)
    return [str(fault) for fault in refused.value.faults]


def test_a_card_of_a_colour_meter():
    steps = parsed(LAB).steps
    assert [step.um for step in steps] == [0, 8, 16, 24]
    assert steps[1].lab == (68, -4, -12)
    assert [step.row for step in steps] == [2, 3, 4, 5]


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + LAB,
        LAB.replace("\n", "\r\n"),
        LAB.replace("um,L,a,b", " UM ,l,A,B"),
        LAB + "\n\n",
        "b,a,um,L\n-2,-1,0,77\n-12,-4,8,68\n-20,-5,16,61\n-27,-3,24,54\n",
    ],
)
def test_the_same_card_written_otherwise(text):
    assert [(step.um, step.lab) for step in parsed(text).steps] == [(step.um, step.lab) for step in parsed(LAB).steps]


def test_a_card_of_a_picture():
    steps = parsed("um,r,g,b\n0,186,191,194\n8,150,165,185\n16,120,145,176\n24,95,127,168\n").steps
    assert steps[0].lab == pytest.approx(lab_of_srgb8((186, 191, 194)).tolist())


def test_other_columns_are_not_used_and_that_is_said():
    card = parsed("um,L,a,b,pass\n0,77,-1,-2,\n8,68,-4,-12,1\n16,61,-5,-20,2\n24,54,-3,-27,3\n")
    assert card.notes == ("card.csv: the column 'pass' is not used",)
    assert card.steps == parsed(LAB).steps


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", ["no header row"]),
        ("um\n0\n", ["one column, 'um'"]),
        ("um;L;a;b\n0;77;-1;-2\n", ["commas between"]),
        ("film,L,a\n", ["um: found no such column", "b: found no such column"]),
        ("um,x,y,z\n", ["r: found no such", "g: found no such", "b: found no such"]),
        ("um,L,a,b,L\n", ["2 columns of this name"]),
        ("um,L,a,b,r,g,b\n", ["2 columns of this name", "both kinds"]),
        (LAB.replace("0,77", "1,77", 1), ["no row with um 0"]),
        (LAB + "0,77,-1,-2\n", ["2 rows with um 0"]),
        ("um,L,a,b\n0,77,-1,-2\n8,68,-4,-12\n", ["1 step of"]),
        (LAB.replace("8,68", "-8,68"), ["row 3, um: found '-8'", "2 steps of"]),
        (LAB + "32,50,1\n", ["row 6: found 3 cells"]),
        (LAB.replace("8,68,-4", "8,,x"), ["row 3, L: found a blank", "row 3, a: found 'x'"]),
        (LAB.replace("68", "201"), ["L*, a number from 0 to 200"]),
        (LAB.replace("68", "nan"), ["found 'nan'"]),
        (LAB.replace("68", '"68,5"'), ["found '68,5'"]),
        ("um,r,g,b\n0,256,1,1\n8,-1,1,1\n16,1,1,1\n", ["row 2, r", "row 3, r", "2 steps of"]),
        (LAB.encode("utf-16"), ["no UTF-8"]),
        (LAB.replace("68", '"68'), ["quotes in pairs"]),
    ],
)
def test_all_that_is_wrong_is_told_at_once(text, said):
    faults = told(text)
    assert len(faults) == len(said), faults
    for fault, words in zip(faults, said, strict=True):
        assert words in fault
        assert fault.startswith("card.csv")


def test_a_row_that_cannot_be_read_may_be_the_one_that_is_missed():
    # No ground is seen, but the film of one row cannot be read: it may be the ground. Only that row is told.
    assert told(LAB.replace("0,77", "O,77")) == [
        "card.csv, row 2, um: found 'O'; allowed: a film in µm with a decimal point, 0 (the ground) or more"
    ]
