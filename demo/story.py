"""The van's story in ten short steps, each told of a screen of the dashboard as the demo record stands.

Data only: what is said, on which screen, and what that screen is to show. A test holds every figure that is said here
against what the library reckons from the record.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

VEHICLE_ID = "moon-cart"


@dataclass(frozen=True)
class Telling:
    """One step of the story.

    Attributes:
        title, stage, text: what is said; `stage` is the place of it in the chain of the job.
        screen: the page, a file in `dashboard/screens`.
        shows: fields of the window's `Workspace` to set, by name.
        own: what the screen itself keeps, by name; files of the demo (a plan, a step card) by `plan` and `card_file`.
        look: key of the container to bring into view; empty: the top of the page.
    """

    title: str
    stage: str
    text: str
    screen: str
    shows: Mapping[str, object] = field(default_factory=dict)
    own: Mapping[str, object] = field(default_factory=dict)
    look: str = ""


STORY = (
    Telling(
        "Letters under the blue",
        "survey",
        "A seed merchant's van, then a travelling puppet theatre's; nothing is washed yet. In raking light old letters "
        "stand up under the blue: the film reads 285 µm on them and 255 µm beside them. On the right the lowest line stops "
        "dead at a weld 410 mm ahead of the rear edge: behind it a skin was let in. The left side gives the lost letters.",
        "survey.py",
        {"sheet": "outside", "look_at": "right", "chosen": ("sideR_let_low",), "marks": ("kept", "findings")},
        {"what": "finding"},
    ),
    Telling(
        "One stack lies the wrong way",
        "history",
        "Out of 51 stacks the program reads one order of coats, and finds a circle: five stacks have green under silver, "
        "S12 has silver under green. S12 is the only single stack without which nothing runs in a circle. It is not "
        "thrown away: the program reads as if it were set aside, and says so, until somebody looks at that place again.",
        "coat_order.py",
        {"aside": "", "chart_zones": None},
    ),
    Telling(
        "The left wing",
        "history",
        "“All panels factory”, say the papers. But the wing's bolting flange (S10) begins with black transit primer, no "
        "dip primer, no green: a replacement. Its side reads 214 ± 13 µm. Silver laid once would make 185–195 µm, laid "
        "twice 205–225 µm: the wing was sprayed off the van, and on it again.",
        "coat_order.py",
        {
            "aside": "S12",
            "chart_zones": ("wfl_L", "wse_L", "wingL_side", "wfl_R", "wse_R"),
            "told_of": "wing_L",
        },
        look="film_witness",
    ),
    Telling(
        "Silver, and no cap",
        "history",
        "A photograph of 1969 is captioned “in its blue”. The rail under the roof cap (S04) says no: silver in full, road "
        "dirt on it, and no blue. The cap was invoiced in 1971, and blue lies over its own blue. So the van ran silver and "
        "capless; it turned blue in 1971 or later, and the caption is wrong.",
        "panel_sheet.py",
        {
            "sheet": "hidden",
            "look_at": "hid_rail",
            "chosen": ("rlu_L",),
            "tint": "finish",
            "touch": "pick",
            "marks": ("kept", "stacks"),
        },
    ),
    Telling(
        "The step plate stays",
        "keep or strip, release",
        "Five areas are never to be stripped, 0.66 m² of 33.3 m². One is the worn step plate. It lies 40 mm from a member "
        "that is to be blasted, and blasting must stay 100 mm away: the member is not released. Each thing that stands "
        "against a zone has its cure beside it, one touch away.",
        "keep_and_strip.py",
        {
            "sheet": "outside",
            "look_at": "rear",
            "chosen": ("frame_sill",),
            "tint": "plain",
            "touch": "pick",
            "marks": ("kept",),
        },
        {"stage": "release"},
        look="blocker_frame_sill_2",
    ),
    Telling(
        "What hangs in the booth",
        "brief",
        "The painter gets a sheet for each of 14 areas, 5 kept and 9 masked: which side stays, the kind of edge, the tape "
        "for its radii, offsets to a datum that survives, and the coats for which it is on. Masking film for all of them: "
        "5.5 m² with laps.",
        "mask_brief.py",
        own={"side": "brief"},
    ),
    Telling(
        "Cap off for all the blue?",
        "rehearse",
        "The record's plan lays two passes of blue on the cap alone and five with it on the van. Seven in one go would be "
        "less work. Rehearsed, that plan leaves 9 faces wrong, 95.9 % as wanted: too much blue on the cap's flange, blue "
        "on the rail where none was, and none on the bead. Step 30 is to blame.",
        "rehearsal.py",
        own={"card": "plan", "plan": "plan_cap_off.csv", "step": 30},
    ),
    Telling(
        "A blue that forgives little",
        "rehearse",
        "The blue is translucent: its film is its colour. By the step card, at 40 µm a film of 1.7 µm less or 1.8 µm more "
        "is a ΔE of 1; one pass of 8 µm too many is 4.3. A gauge that reads 255 µm in all may be out by 7.7 µm and "
        "cannot see it: count passes instead.",
        "rehearsal.py",
        own={
            "card": "step_card",
            "card_file": "step_card.csv",
            "coat_id": "c7",
            "at_um": 40.0,
            "pass_um": 8.0,
            "reading_um": 255.0,
        },
        look="rehearsal_card_box",
    ),
    Telling(
        "Left against right",
        "film check",
        "The film as found is what the new one is held against. The left wing reads 214 µm, the right 254 µm: 40 ± 11 µm "
        "less; every other pair is alike. On the roof cap a magnetic gauge said 1480 µm. Glass-fibre holds no steel: the "
        "reading is refused with its reason, kept, and counted nowhere.",
        "film.py",
        {"sheet": "outside", "look_at": "", "chosen": ()},
        {"look": "sides"},
    ),
    Telling(
        "What is still original",
        "hand over",
        "For owner, judges and the next conservator: 2.0 % of the surface keeps its original finish untouched, 88.0 % is "
        "made again or painted over, and is told as such. Record, print, tables and pictures go out in one folder that "
        "opens with no program.",
        "hand_over.py",
        own={"side": "make"},
    ),
)
