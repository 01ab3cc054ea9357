"""A small vehicle by hand for paint and tint: body, door, jamb; lengths mm, areas mm², films µm."""

from __future__ import annotations

from bodymap.model import (
    Area,
    Coat,
    Cover,
    Drawing,
    Goal,
    Layer,
    Part,
    Reading,
    Record,
    Signoff,
    Stack,
    Step,
    Vehicle,
    Zone,
)


def rect(x0, y0, x1, y1):
    return {"type": "Polygon", "coordinates": [[[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]]]}


COATS = (
    Coat(coat_id="p", name="Primer", kind="primer", um_low=40, um_high=60),
    Coat(coat_id="f", name="Filler", kind="filler", film_um=1000),
    Coat(coat_id="t", name="Blue", kind="tinted", um_low=36, um_high=44, film_um=40, pass_um=8, volume_solids_pct=12,
         thinning_pct=50),
    Coat(coat_id="c", name="Clear", kind="clear", um_low=40, um_high=50),
)  # fmt: skip


def van(steps=(), *, areas=(), coats=COATS, ratio=1.25, scale="measured", readings=(), layers=(), goals=(), signoffs=()):
    """Body 2 × 1 m with a surface ratio, door 1 × 1 m without one, jamb 1 × 0.1 m behind the door, which lets mist in.

    `steps`: (action, target, parts, batch or method). `layers`: zone to the coats of a stack down to the metal.
    """
    stacks = {zone: f"s_{zone}" for zone, _ in layers}
    return Record(
        vehicle=Vehicle(vehicle_id="v", name="van"),
        drawings=(Drawing(drawing_id="d", name="left", kind="outside", scale=scale),),
        parts=(
            Part(part_id="shell", name="Shell", substrate="steel", removable=False),
            Part(part_id="door", name="Door", substrate="steel", removable=True),
        ),
        zones=(
            Zone(zone_id="body", drawing_id="d", part_id="shell", face="outer", surface_ratio=ratio, name="Body side",
                 shape=rect(0, 0, 2000, 1000)),
            Zone(zone_id="door", drawing_id="d", part_id="door", face="outer", shape=rect(2005, 0, 3005, 1000)),
            Zone(zone_id="jamb", drawing_id="d", part_id="shell", face="jamb", shape=rect(0, 1100, 1000, 1200)),
        ),
        covers=(Cover(zone_id="jamb", part_id="door", gap=True),),
        coats=coats,
        areas=areas,
        stacks=tuple(
            Stack(stack_id=stack, zone_id=zone, method="section", reaches_substrate=True) for zone, stack in stacks.items()
        ),
        layers=tuple(
            Layer(stack_id=stacks[zone], position=n, coat_id=coat.rstrip("~"), extent="mist" if "~" in coat else "full")
            for zone, held in layers
            for n, coat in enumerate(held.split(), 1)
        ),
        readings=tuple(
            Reading(reading_id=f"r{n}", zone_id=zone, um=um, principle="magnetic", phase=phase)
            for n, (zone, um, phase) in enumerate(readings)
        ),
        goals=tuple(
            Goal(zone_id=zone, position=n, coat_id=coat, extent="full")
            for zone, held in goals
            for n, coat in enumerate(held.split(), 1)
        ),
        steps=tuple(
            Step(step=n, action=action, target=target.split(), parts=parts.split(),
                 **({"batch": how} if action == "coat" else {"method": how}))
            for n, (action, target, parts, how) in enumerate(((*s, "", None)[:4] if len(s) == 2 else (*s, None)[:4]
                                                              for s in steps), 1)
        ),
        signoffs=tuple(
            Signoff(subject=subject, what="override", by="restorer", on="2026-03-01", note=note)
            for subject, note in signoffs
        ),
    )  # fmt: skip


def area(shape, purpose="keep", **more):
    return Area(area_id=more.pop("area_id", "k"), drawing_id="d", purpose=purpose, shape=shape, **more)
