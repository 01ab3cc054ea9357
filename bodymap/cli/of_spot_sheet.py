"""The command that prints a spot sheet: where to set the gauge, a table to write in, numbered stickers."""

from __future__ import annotations

import argparse
from pathlib import Path

from bodymap.cli.common import OK, load, now, require_pdf, require_zones, tell, write_print
from bodymap.cli.stopping import progress
from bodymap.progress import stretch

# Of the time that the command takes: until the spots have their places.
_SPREAD_SHARE = 0.5


def spots_arguments(spots: argparse.ArgumentParser) -> None:
    """What the command is asked."""
    spots.add_argument("out", type=Path, metavar="OUT.pdf", help="the print to write")
    spots.add_argument(
        "--standard",
        choices=("shop", "iso19840", "sspc_pa2"),
        default="shop",
        help="how many spots, by what (default: shop)",
    )
    spots.add_argument(
        "--zone", action="append", default=[], metavar="ZONE", help="only this zone (default: every outer one)"
    )


def spots_command(arguments: argparse.Namespace) -> int:
    """Print the spot sheet of a plan."""
    from bodymap.briefs.spot_sheet import spot_sheet_pdf, unprintable
    from bodymap.film.spot_plan import plan_spots
    from bodymap.settings import in_force
    from bodymap.views.spot_sheet import spot_sheet

    require_pdf(arguments.out)
    record, head = load(arguments.record)
    require_zones(record, arguments.zone)
    settings = in_force(record.settings)
    with progress() as step:
        plan = plan_spots(
            record, arguments.standard, settings, arguments.zone or None, step=stretch(step, 0.0, _SPREAD_SHARE)
        )
        step("Laying out the sheets", _SPREAD_SHARE)
        view = spot_sheet(record, plan, arguments.standard, settings)
        step("Setting the print", 0.6)
        made = spot_sheet_pdf(view, head if head.count else None, now())
    write_print(arguments.out, made)
    tell([*plan.notes, *(f"the print has no sign for {char}; the sheet says so" for char in unprintable(view))])
    print(f"{arguments.out}: spot sheet, {view.spots} spots, {view.readings} readings")
    return OK
