"""The command that prints the strip sheet."""

from __future__ import annotations

import argparse
from pathlib import Path

from bodymap.cli.common import OK, load, now, require_pdf, require_zones, tell, write_print
from bodymap.cli.stopping import progress
from bodymap.progress import stretch


def strip_sheet_arguments(sub: argparse.ArgumentParser) -> None:
    """What the command is asked beside the record."""
    sub.add_argument("out", type=Path, metavar="OUT.pdf", help="the print to write")
    sub.add_argument("--zone", action="append", default=[], metavar="ZONE", help="this zone (default: all the plan strips)")
    sub.add_argument("--paper", choices=("a4", "a3"), default="a4", help="of the sheets (default: %(default)s)")


def strip_sheet_command(arguments: argparse.Namespace) -> int:
    """Print the strip sheet."""
    from bodymap.briefs.strip_sheet import strip_sheet_pdf, unprintable
    from bodymap.settings import in_force
    from bodymap.views.strip_sheet import strip_sheet_view

    require_pdf(arguments.out)
    record, head = load(arguments.record)
    require_zones(record, arguments.zone)
    with progress() as step:
        share = stretch(step, 0.0, 0.5)
        view = strip_sheet_view(record, in_force(record.settings), arguments.zone or None, arguments.paper, share)
        step("Setting the print", 0.5)
        made = strip_sheet_pdf(view, head if head.count else None, now())
    write_print(arguments.out, made)
    tell([f"the print has no sign for {char}; the sheet says so" for char in unprintable(view)])
    print(f"{arguments.out}: strip sheet, {view.zones} zones, {view.released} of them released")
    return OK
