"""The command that prints a spot sheet: where to set the gauge, a table to write in, numbered stickers."""

from __future__ import annotations

import argparse
from pathlib import Path

from bodymap.cli.common import OK, load, now, tell, write_print
from bodymap.errors import BodymapError


def spots_arguments(spots: argparse.ArgumentParser) -> None:
    """What the command is asked."""
    spots.add_argument("out", type=Path, metavar="OUT.pdf")
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

    if arguments.out.suffix.lower() != ".pdf":
        raise BodymapError(f"the print is a PDF: found {arguments.out.name!r}; allowed: a name ending in .pdf")
    record, head = load(arguments.record)
    unknown = [zone for zone in arguments.zone if zone not in record.zone]
    if unknown:
        raise BodymapError(f"zone: found {', '.join(unknown)}; allowed: a zone_id of the record")
    settings = in_force(record.settings)
    plan = plan_spots(record, arguments.standard, settings, arguments.zone or None)
    view = spot_sheet(record, plan, arguments.standard, settings)
    write_print(arguments.out, spot_sheet_pdf(view, head if head.count else None, now()))
    tell([*plan.notes, *(f"the print has no sign for {char}; the sheet says so" for char in unprintable(view))])
    print(f"{arguments.out}: spot sheet, {view.spots} spots, {view.readings} readings")
    return OK
