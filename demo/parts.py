"""The parts of the van, and which faces each of them hides."""

from __future__ import annotations

# part_id, name, substrate, removable, first_coat, marks
PARTS = (
    ("nose", "Nose panel", "steel", False, "", ""),
    ("bonnet", "Bonnet", "steel", True, "", "1047 in paint stick on the underside, rear edge"),
    ("wing_L", "Left front wing", "steel", True, "t1", "none found; the right wing has 1047, this one has not"),
    ("wing_R", "Right front wing", "steel", True, "", "1047 stamped in the bolting flange, rearmost hole"),
    ("scuttle", "Scuttle and wing flitches", "steel", False, "", "1047 stamped on the right flitch, top"),
    ("screen", "Screen aperture panel", "steel", False, "", ""),
    ("shell", "Cab frame and door posts", "steel", False, "", ""),
    ("bulkhead", "Cab bulkhead", "steel", False, "", ""),
    ("door_L", "Left cab door", "steel", True, "", "1047 stamped in the front edge above the lower hinge"),
    ("door_R", "Right cab door", "steel", True, "", "1047 stamped in the front edge above the lower hinge"),
    ("hinges_L", "Left cab door hinges", "steel", True, "", ""),
    ("hinges_R", "Right cab door hinges", "steel", True, "", ""),
    ("side_L", "Left cargo side", "steel", False, "", ""),
    ("side_R", "Right cargo side", "steel", False, "", ""),
    (
        "skin_R",
        "Right cargo side, skin let in at the rear lower corner",
        "steel",
        False,
        "c10",
        "gas weld, dressed, full height of the piece",
    ),
    ("sill_L", "Left sill", "steel", False, "", ""),
    ("sill_R", "Right sill", "steel", False, "", ""),
    ("rail", "Gutter rail", "steel", False, "", ""),
    ("cap", "High roof cap", "grp", True, "g1", "pencil on the inside of the flange, rear: 3 OF 3"),
    ("bead", "Sealant bead of the cap", "other", True, "c7", ""),
    ("rear_frame", "Rear frame", "steel", False, "", ""),
    ("rdoor_L", "Left rear door", "aluminium", True, "e1", ""),
    ("rdoor_R", "Right rear door", "aluminium", True, "e1", ""),
    ("step", "Rear step plate", "steel", True, "", ""),
    ("bolts_L", "Left wing bolts and washers", "steel", True, "c6", "bright zinc under the heads, unlike the right side"),
    ("bolts_R", "Right wing bolts and washers", "steel", True, "", ""),
    ("screen_seal", "Windscreen glass and seal", "other", True, "", ""),
    ("lamp_L", "Left headlamp", "other", True, "", ""),
    ("lamp_R", "Right headlamp", "other", True, "", ""),
    ("rlamp_L", "Left rear lamps", "other", True, "", ""),
    ("rlamp_R", "Right rear lamps", "other", True, "", ""),
    ("bonnet_hinges", "Bonnet hinges", "steel", True, "", ""),
)

# zone_id, the part that hides it, gap: mist can drift in
COVERS = (
    ("scrf_L", "screen_seal", False),
    ("scrf_R", "screen_seal", False),
    ("bon_chan", "bonnet", True),
    ("bhs_L", "bonnet_hinges", False),
    ("bhs_R", "bonnet_hinges", False),
    ("lseat_L", "lamp_L", False),
    ("lseat_R", "lamp_R", False),
    ("wfl_L", "scuttle", False),
    ("wfl_R", "scuttle", False),
    ("wse_L", "wing_L", False),
    ("wse_R", "wing_R", False),
    ("wsh_L", "bolts_L", False),
    ("wsh_R", "bolts_R", False),
    ("jambL_front", "door_L", True),
    ("jambL_sill", "door_L", True),
    ("jambL_rear", "door_L", True),
    ("jambR_front", "door_R", True),
    ("jambR_sill", "door_R", True),
    ("jambR_rear", "door_R", True),
    ("hse_L", "hinges_L", False),
    ("hse_R", "hinges_R", False),
    ("hle_L", "shell", False),
    ("hle_R", "shell", False),
    ("din_L", "shell", False),
    ("din_R", "shell", False),
    ("rle_L", "rear_frame", False),
    ("rle_R", "rear_frame", False),
    ("rin_L", "rear_frame", False),
    ("rin_R", "rear_frame", False),
    ("rse_L", "rdoor_L", False),
    ("rse_R", "rdoor_R", False),
    ("rja_L", "rdoor_L", True),
    ("rja_R", "rdoor_R", True),
    ("rls_L", "rlamp_L", False),
    ("rls_R", "rlamp_R", False),
    ("rlu_L", "cap", False),
    ("rlu_R", "cap", False),
    ("rlu_front", "cap", False),
    ("rlu_rear", "cap", False),
    ("cfl_L", "rail", False),
    ("cfl_R", "rail", False),
    ("cfl_front", "rail", False),
    ("cfl_rear", "rail", False),
    ("cap_inside", "rail", False),
    ("step_seat", "step", False),
)


def part_rows() -> list[dict[str, object]]:
    names = ("part_id", "name", "substrate", "removable", "first_coat", "marks")
    return [dict(zip(names, part, strict=True)) for part in PARTS]


def cover_rows() -> list[dict[str, object]]:
    return [dict(zip(("zone_id", "part_id", "gap"), cover, strict=True)) for cover in COVERS]
