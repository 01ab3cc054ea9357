"""Small random vehicles on a grid of unit squares, for the brute-force twin of the replay and for drafted plans.

Two drawings with zones of 8 × 6 mm, a shell and two or three parts that come off, random covers, whole-millimetre areas.
"""

from __future__ import annotations

from hypothesis import strategies as st

from bodymap.model import Area, Coat, Cover, Drawing, Goal, Layer, Part, Record, Setting, Stack, Step, Vehicle, Zone
from bodymap.settings import in_force

RIM = 2
FIGURES = (Setting(key="soft_edge_mist_mm", value=str(RIM), basis="own trial"),)
SETTINGS = in_force(FIGURES)
COATS = ("c0", "c1", "c2")
MOVING = ("A", "B")
WIDE, HIGH = 8, 6
PLACES = [(drawing, x, y) for drawing in ("d", "h") for x in (0, WIDE) for y in (0, HIGH)]


def rect(x0, y0, x1, y1):
    return {"type": "Polygon", "coordinates": [[[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]]]}


def box_of(shape):
    """(x0, y0, x1, y1) of a rectangle."""
    ring = shape.coordinates[0]
    return min(x for x, _ in ring), min(y for _, y in ring), max(x for x, _ in ring), max(y for _, y in ring)


BOXES = st.tuples(
    st.integers(-3, 2 * WIDE), st.integers(-3, 2 * HIGH), st.integers(1, 2 * WIDE), st.integers(1, 2 * HIGH)
).map(lambda b: rect(b[0], b[1], b[0] + b[2], b[1] + b[3]))
LAYERS = st.lists(st.tuples(st.sampled_from(COATS), st.sampled_from(["full", "mist"])), max_size=3)


def stack_entries(zone, layers):
    """One stack to the substrate."""
    yield Stack(stack_id=f"s_{zone}", zone_id=zone, method="window", reaches_substrate=True)
    for position, (coat, extent) in enumerate(layers, 1):
        yield Layer(stack_id=f"s_{zone}", position=position, coat_id=coat, extent=extent)


def goal_entries(zone, layers):
    for position, (coat, extent) in enumerate(layers, 1):
        yield Goal(zone_id=zone, position=position, coat_id=coat, extent=extent)


@st.composite
def bodies(draw, purposes=("keep", "mask"), edges=("hard", "soft", None), most_areas=3):
    """Vehicle, drawings, parts, zones, covers, coats and areas, as a list of entries."""
    made = [
        Vehicle(vehicle_id="v", name="van"),
        Drawing(drawing_id="d", name="d", kind="outside"),
        Drawing(drawing_id="h", name="h", kind="hidden"),
        Part(part_id="shell", name="Shell", substrate="steel", removable=False),
        *(Part(part_id=part, name=part, substrate="aluminium", removable=True) for part in MOVING),
        *(Coat(coat_id=coat, name=coat, kind="colour") for coat in COATS),
    ]
    for number, (drawing, x, y) in enumerate(draw(st.lists(st.sampled_from(PLACES), min_size=1, max_size=5, unique=True))):
        zone, owner = f"z{number}", draw(st.sampled_from(("shell", *MOVING)))
        face, shape = "outer" if drawing == "d" else "jamb", rect(x, y, x + WIDE, y + HIGH)
        made.append(Zone(zone_id=zone, drawing_id=drawing, part_id=owner, face=face, shape=shape))
        others = [part for part in ("shell", *MOVING) if part != owner]
        hiding = draw(st.lists(st.sampled_from(others), max_size=2, unique=True))
        made += [Cover(zone_id=zone, part_id=part, gap=draw(st.booleans())) for part in hiding]
    for number in range(draw(st.integers(0, most_areas))):
        drawing, purpose = draw(st.sampled_from(["d", "h"])), draw(st.sampled_from(purposes))
        edge = draw(st.sampled_from(edges))
        made.append(Area(area_id=f"a{number}", drawing_id=drawing, purpose=purpose, edge=edge, shape=draw(BOXES)))
    return made


@st.composite
def planned(draw):
    """A vehicle with random stacks, goals and steps."""
    entries = draw(bodies())
    zones = [entry.zone_id for entry in entries if isinstance(entry, Zone)]
    areas = [entry.area_id for entry in entries if isinstance(entry, Area)]
    for zone in zones:
        if draw(st.booleans()):
            entries += stack_entries(zone, draw(LAYERS))
        if draw(st.booleans()):
            entries += goal_entries(zone, draw(LAYERS))
    actions = ["remove", "fit", "strip", "coat", "coat", "coat", *(["mask", "mask", "unmask"] if areas else [])]
    for number in range(1, draw(st.integers(1, 10)) + 1):
        action = draw(st.sampled_from(actions))
        pool = {"remove": MOVING, "fit": MOVING, "strip": zones, "coat": COATS, "mask": areas, "unmask": areas}[action]
        parts = ()
        if action == "coat":
            parts = tuple(draw(st.lists(st.sampled_from(MOVING), max_size=2, unique=True)))
            parts = ("only", *parts) if draw(st.booleans()) and parts else parts
        target = tuple(
            draw(st.lists(st.sampled_from(pool), min_size=1, max_size=2 if action == "strip" else 1, unique=True))
        )
        entries.append(Step(step=number, action=action, target=target, parts=parts))
    return Record.of([*entries, *FIGURES])
