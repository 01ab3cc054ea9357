"""The command that prints the strip sheet."""

from __future__ import annotations

import argparse
from pathlib import Path

from bodymap.cli.common import OK, load, now, tell, write_print
from bodymap.errors import BodymapError


def strip_sheet_arguments(sub: argparse.ArgumentParser) -> None:
    """What the command is asked beside the record."""
    sub.add_argument("out", type=Path, metavar="OUT.pdf")
    sub.add_argument("--zone", action="append", default=[], metavar="ZONE", help="this zone (default: all the plan strips)")
    sub.add_argument("--paper", choices=("a4", "a3"), default="a4", help="default: %(default)s")


def strip_sheet_command(arguments: argparse.Namespace) -> int:
    """Print the strip sheet."""
    from bodymap.briefs.strip_sheet import strip_sheet_pdf, unprintable
    from bodymap.settings import in_force
    from bodymap.views.strip_sheet import strip_sheet_view

    if arguments.out.suffix.lower() != ".pdf":
        raise BodymapError(f"the print is a PDF: found {arguments.out.name!r}; allowed: a name ending in .pdf")
    record, head = load(arguments.record)
    unknown = [zone for zone in arguments.zone if zone not in record.zone]
    if unknown:
        raise BodymapError(f"--zone: found {', '.join(unknown)}; allowed: zones of the record")
    view = strip_sheet_view(record, in_force(record.settings), arguments.zone or None, arguments.paper)
    write_print(arguments.out, strip_sheet_pdf(view, head if head.count else None, now()))
    tell([f"the print has no sign for {char}; the sheet says so" for char in unprintable(view)])
    print(f"{arguments.out}: strip sheet, {view.zones} zones, {view.released} of them released")
    return OK
