"""The planned repaint: the finish wanted on each face, and the steps to it, with the part states as they were found."""

from __future__ import annotations

from demo.history import SPOTS, layer_rows

SIDES = ("L", "R")
RINGS = ("L", "R", "front", "rear")

# The zones a coat of the body covers, in the order a hand goes over them.
BODY = [
    *("nose_front", "nose_L", "nose_R", "bonnet_top", "bonnet_front", "bonnet_L", "bonnet_R"),
    *(f"wing{s}_{p}" for s in SIDES for p in ("side", "front", "top")),
    *("scuttle_L", "scuttle_R", "scuttle_front", "scuttle_top", "post_L", "post_R", "screen_front", "scr_lip"),
    *(f"door{s}_skin" for s in SIDES),
    *(f"side{s}_{p}" for s in SIDES for p in ("high", "let_high", "waist", "let_low", "low")),
    *("sideR_blend", "sideR_skin"),
    *(f"rail_{r}" for r in RINGS),
    *("frame_sill", "frame_head", "frame_L", "frame_R"),
    *(f"{p}_{s}" for p in ("rle", "rse", "rja") for s in SIDES),
    *(f"rdoor{s}_skin" for s in SIDES),
    "bolt_R",
]
CAP = ["cap_L", "cap_R", "cap_front", "cap_rear", "cap_top"]
FLANGE = [f"cfl_{r}" for r in RINGS]
RAIL = [f"rlu_{r}" for r in RINGS]
JAMBS = [f"jamb{s}_{p}" for s in SIDES for p in ("front", "sill", "rear")]
BOLTS, BEAD = ["bolt_L"], ["bead"]
STRIPPED = [*BODY, *CAP, *FLANGE, *RAIL, *JAMBS, *BOLTS, *BEAD]
BLASTED = ["frame_sill"]
BY_HAND = [*CAP, *FLANGE, *JAMBS, "scr_lip"]
BY_BLADE = [*BEAD]
BY_STRIPPER = [zone for zone in STRIPPED if zone not in (*BLASTED, *BY_HAND, *BY_BLADE)]

FULL = "n1 n2 n3 n4 n5"
WANTED = (
    (BODY, FULL),
    (CAP, "n1 n3 n4b n4 n5"),
    (FLANGE, "n1 n3 n4b"),
    (RAIL, "n1 n3"),
    (JAMBS, "n1 n3 n4:mist"),
    (BOLTS, "n3 n4 n5"),
    (BEAD, "n4 n5"),
)

STEP_COLUMNS = ("step", "action", "target", "parts", "note", "method")
OFF = "door_L;door_R;rdoor_L;rdoor_R;cap"
NO_SURFACER = "door_L;door_R;rdoor_L;rdoor_R"
REAR = "rdoor_L;rdoor_R"
# action, target, parts, note, method
STEPS: tuple[tuple[str, ...], ...] = (
    ("remove", "bead", "", "Cut the bead, keep 100 mm of it as a sample."),
    ("remove", "cap", "", "Four hands and the beam. Rail and flange photographed before anything is touched."),
    ("remove", "rdoor_L", "", ""),
    ("remove", "rdoor_R", "", ""),
    ("remove", "door_L", "", "Pins out; the hinge leaves stay on the post."),
    ("remove", "door_R", "", "Pins out; the hinge leaves stay on the post."),
    ("mask", "M1", "", "Witness K4: two layers of foil for the strip, fine line for paint."),
    ("mask", "M2", "", "Paper hung clear of the chalk, no tape on the face."),
    ("mask", "M3", "", ""),
    ("mask", "M4", "", ""),
    ("mask", "M5", "", ""),
    ("strip", ";".join(BY_BLADE), "", "", "blade"),
    (
        "strip",
        ";".join(BY_HAND),
        "",
        "Cap sanded, no stripper. Jambs and screen lip by hand: kept faces beside them.",
        "hand",
    ),
    ("strip", ";".join(BY_STRIPPER), "", "Round K4 the last 50 mm by blade.", "chemical"),
    ("strip", ";".join(BLASTED), "", "Lower member is pitted.", "blast"),
    ("remove", "step", "", "Put away as it is. Not painted."),
    ("mask", "M8", "", ""),
    ("mask", "M9", "", "Bolt heads bare until the silver."),
    ("coat", "n1", OFF, ""),
    ("mask", "M6", "", "Jambs and rail had no surfacer."),
    ("mask", "M7", "", ""),
    ("coat", "n2", NO_SURFACER, "No surfacer on the cap."),
    ("unmask", "M6", "", ""),
    ("unmask", "M7", "", ""),
    ("unmask", "M9", "", ""),
    ("coat", "n3", OFF, "Cab doors off, rear doors off, cap off: silver goes full into the jambs and on to the rail."),
    ("coat", "n4b", "only;cap", "Two passes on the cap alone, beside the van. Count passes."),
    ("fit", "cap", "", ""),
    ("fit", "bead", "", "New bead before the blue."),
    ("fit", "door_L", "", "Doors shut for the blue: mist only in the jambs. Leave the gaps open."),
    ("fit", "door_R", "", ""),
    ("coat", "n4", REAR, "Five passes over the whole van, one batch, one day; rear doors on stands beside it."),
    ("mask", "M6", "", "No clear in the jambs."),
    ("coat", "n5", REAR, ""),
    ("unmask", "M6", "", ""),
    ("fit", "rdoor_L", "", ""),
    ("fit", "rdoor_R", "", ""),
    ("fit", "step", "", ""),
    ("unmask", "M1", "", ""),
    ("unmask", "M2", "", ""),
    ("unmask", "M3", "", ""),
    ("unmask", "M4", "", ""),
    ("unmask", "M5", "", ""),
    ("unmask", "M8", "", "Coachlines by hand after seven days, from the traced offsets."),
)


def _cap_off() -> tuple[tuple[str, ...], ...]:
    """The plan that was thought of first and is wrong: the cap stays off, and beside the van, for all of the blue."""
    steps = [step for step in STEPS if step[:2] not in (("fit", "cap"), ("fit", "bead"))]
    blue = next(place for place, step in enumerate(steps) if step[:2] == ("coat", "n4"))
    steps[blue] = ("coat", "n4", f"{REAR};cap", "Seven passes of blue on the cap in one go, with the rest of the van.")
    later = (("fit", "cap", "", "Cap on over finished blue."), ("fit", "bead", "", ""))
    return (*steps[: blue + 1], *later, *steps[blue + 1 :])


CAP_OFF_STEPS = _cap_off()

SIGNOFFS = (
    (
        "vehicle",
        "hazards tested",
        "conservator",
        "2025-10-06",
        "Dip primer and green contain lead; chromate not found. Wet work only.",
    ),
    ("K1", "keep", "restorer", "2025-10-10", ""),
    ("K1", "keep", "owner", "2025-10-13", ""),
    ("K2", "keep", "restorer", "2025-10-10", ""),
    ("K2", "keep", "owner", "2025-10-13", ""),
    ("K3", "keep", "restorer", "2025-10-10", "Stays blocked until the rear frame is masked or the step is off the van."),
    ("K4", "keep", "restorer", "2025-10-10", ""),
    ("K4", "keep", "owner", "2025-10-13", ""),
    ("K5", "keep", "restorer", "2025-10-10", ""),
    ("sideL_low", "survey complete", "restorer", "2025-10-10", ""),
    ("sideL_let_high", "survey complete", "restorer", "2025-10-10", ""),
    ("rdoorL_skin", "survey complete", "restorer", "2025-10-10", ""),
)

SETTINGS = (
    (
        "gauge_u_rel_pct",
        "3",
        "own trial",
        "gauge A on bare door steel, foils of 124 and 249 µm, 20 readings each, 2025-10-06; worst 2.6 %",
    ),
    (
        "transfer_air_pct",
        "40",
        "own trial",
        "gun A at 2 bar on a flat coupon, weighed before and after, 5 coupons, 2025-10-09; 38–43 %",
    ),
)


def step_rows(steps: tuple[tuple[str, ...], ...] = STEPS) -> list[dict[str, object]]:
    return [
        {"step": number, **dict(zip(STEP_COLUMNS[1:], (*step, ""), strict=False))}
        for number, step in enumerate(steps, start=1)
    ]


def goal_rows() -> list[dict[str, object]]:
    """New finish where the van is stripped; everywhere else that was seen to the substrate, the finish as found."""
    rows = []
    for zones, text in WANTED:
        for zone_id in zones:
            for position, layer in enumerate(text.split(), start=1):
                coat, _, extent = layer.partition(":")
                rows.append({"zone_id": zone_id, "position": position, "coat_id": coat, "extent": extent or "full"})
    found = {s["stack_id"]: s["zone_id"] for s in SPOTS if s["reaches_substrate"] == "yes" and s["zone_id"] not in STRIPPED}
    at: dict[str, int] = {}
    for layer in layer_rows():
        zone_id = found.get(str(layer["stack_id"]))
        if zone_id and layer["extent"] != "none":
            at[zone_id] = at.get(zone_id, 0) + 1
            rows.append(
                {"zone_id": zone_id, "position": at[zone_id], "coat_id": layer["coat_id"], "extent": layer["extent"]}
            )
    return rows


def signoff_rows() -> list[dict[str, object]]:
    return [dict(zip(("subject", "what", "by", "on", "note"), row, strict=True)) for row in SIGNOFFS]


def setting_rows() -> list[dict[str, object]]:
    return [dict(zip(("key", "value", "basis", "source"), row, strict=True)) for row in SETTINGS]
