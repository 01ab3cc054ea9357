"""The program: which commands there are, and what each is asked."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from bodymap import __version__
from bodymap.cli.common import BAD, OK
from bodymap.cli.of_hand_over import hand_over_arguments, hand_over_command
from bodymap.cli.of_record import (
    backup_command,
    bring_up_command,
    demo_command,
    open_dashboard_command,
    start_command,
    take_in_command,
    verify_command,
    write_out_command,
)
from bodymap.cli.of_settings import settings_arguments, settings_command
from bodymap.cli.of_spot_sheet import spots_arguments, spots_command
from bodymap.cli.of_strip_sheet import strip_sheet_arguments, strip_sheet_command
from bodymap.cli.of_template import template_arguments, template_command
from bodymap.cli.of_vehicle import (
    areas_command,
    brief_command,
    film_command,
    history_command,
    ratio_command,
    release_command,
    replay_command,
    tint_command,
)
from bodymap.cli.stopping import STOPPED, standing, stopped_words
from bodymap.errors import BodymapError

DEMO_RECORD = Path("demo-van.gpkg")
PORT = 8501
Run = Callable[[argparse.Namespace], int]


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    arguments = parser().parse_args(argv)
    before = standing(arguments)
    try:
        code: int = arguments.run(arguments)
    except KeyboardInterrupt:
        print(f"\nbodymap {arguments.command}: {stopped_words(before)}", file=sys.stderr)
        return STOPPED
    except BodymapError as error:
        print(f"bodymap {arguments.command}: {error}", file=sys.stderr)
        return BAD
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return OK
    except OSError as error:
        where = f" ({error.filename})" if error.filename else ""
        print(f"bodymap {arguments.command}: {error.strerror or error}{where}; nothing was written", file=sys.stderr)
        return BAD
    return code


class _Adding:
    """Adds commands to the parser."""

    def __init__(self, commands: Any) -> None:
        self._commands = commands

    def command(self, name: str, run: Run, does: str) -> argparse.ArgumentParser:
        sub: argparse.ArgumentParser = self._commands.add_parser(name, help=does, description=does)
        sub.set_defaults(run=run)
        return sub

    def reader(self, name: str, run: Run, does: str) -> argparse.ArgumentParser:
        """A command that only reads, from a record file or an open folder."""
        sub = self.command(name, run, does)
        sub.add_argument("record", type=Path, metavar="RECORD", help="a record file (.gpkg) or an open folder")
        return sub


def parser() -> argparse.ArgumentParser:
    """What the program and each of its commands can be asked."""
    top = argparse.ArgumentParser(prog="bodymap", description="The map of a historic vehicle's skin.")
    top.add_argument("--version", action="version", version=f"bodymap {__version__}")
    add = _Adding(top.add_subparsers(dest="command", required=True, metavar="COMMAND"))
    _of_record(add)
    _of_vehicle(add)
    _of_plan(add)
    return top


def _of_record(add: _Adding) -> None:
    demo = add.command("demo", demo_command, "build the demo record where it is not there yet, and open the dashboard on it")
    demo.add_argument(
        "record", type=Path, nargs="?", default=DEMO_RECORD, metavar="RECORD", help="a record file (default: %(default)s)"
    )
    demo.add_argument("--no-open", action="store_true", help="build only")
    demo.set_defaults(lan=False, cert=None, key=None, host=[])
    opener = add.reader(
        "open", open_dashboard_command, "open the dashboard on a record (an open folder is shown, not changed)"
    )
    for sub in (demo, opener):
        sub.add_argument("--port", type=int, default=None, metavar="NUMBER", help=f"default: the first free one from {PORT}")
    _lan_arguments(opener)

    _start_arguments(add.command("start", start_command, "make a new record from nothing: vehicle, drawings, parts"))
    _kept_whole(add)
    settings_arguments(add.command("settings", settings_command, "every working figure: value, unit, basis, source, range"))


def _kept_whole(add: _Adding) -> None:
    """The commands that make a record out of files, write it out, check and copy it."""
    take_in = add.command("take-in", take_in_command, "make a new record from an open folder")
    take_in.add_argument("folder", type=Path, metavar="FOLDER", help="an open folder")
    take_in.add_argument("record", type=Path, metavar="RECORD", help="the record file to make (.gpkg)")
    take_in.add_argument(
        "--by", default=None, metavar="NAME", help="who takes it in (default: the name you are logged in with)"
    )

    write_out = add.reader("write-out", write_out_command, "write a record out as an open folder")
    write_out.add_argument("folder", type=Path, metavar="FOLDER", help="a folder that is not there yet, or empty")

    verify = add.reader("verify", verify_command, "check the integrity of file, entries and chain, and the media hashes")
    verify.add_argument(
        "--head", default=None, metavar="HEAD", help="count·hash as printed on a brief: finds a journal cut short since"
    )

    backup = add.command("backup", backup_command, "make a consistent copy of a record while others write")
    backup.add_argument("record", type=Path, metavar="RECORD", help="a record file (.gpkg)")
    backup.add_argument("copy", type=Path, metavar="COPY", help="the record file to make (.gpkg)")

    bring_up = add.command("bring-up", bring_up_command, "bring a record of an older version up to this one, a backup first")
    bring_up.add_argument("record", type=Path, metavar="RECORD", help="a record file (.gpkg)")
    bring_up.add_argument(
        "--by", default=None, metavar="NAME", help="who brings it up (default: the name you are logged in with)"
    )


def _lan_arguments(opener: argparse.ArgumentParser) -> None:
    opener.add_argument("--lan", action="store_true", help="for the local network too; an access code is asked")
    opener.add_argument("--cert", type=Path, default=None, metavar="FILE", help="certificate for HTTPS (PEM), with --key")
    opener.add_argument("--key", type=Path, default=None, metavar="FILE", help="its private key (PEM), without a password")
    opener.add_argument(
        "--host",
        action="append",
        default=[],
        metavar="NAME",
        help="with --lan: a further name by which this machine is called",
    )


def _of_vehicle(add: _Adding) -> None:
    areas = add.reader("areas", areas_command, "areas drawn and true, kept areas and margins, by zone and part")
    areas.add_argument("--json", action="store_true", help="one JSON object, numbers not rounded")

    ratio = add.command("ratio", ratio_command, "surface ratio of a crowned panel, from girths or from chord and rise")
    for name, words in (
        ("length", "drawn length"),
        ("girth", "tape girth along it"),
        ("width", "drawn width"),
        ("width-girth", "tape girth across"),
        ("chord", "chord of the crown"),
        ("rise", "its rise above the chord"),
        ("across-chord", "chord the other way"),
        ("across-rise", "rise the other way"),
    ):
        ratio.add_argument(f"--{name}-mm", type=float, default=None, metavar="MM", help=words)

    history = add.reader(
        "history", history_command, "order of the coats, what was fitted, off or taped at each, where to look next"
    )
    history.add_argument("--json", action="store_true", help="one JSON object")
    history.add_argument("--set-aside", action="append", default=[], metavar="STACK", help="read as if it were not there")

    film = add.reader(
        "film", film_command, "film readings by zone, against the known stack, left against right, suspected filler"
    )
    film.add_argument("--json", action="store_true", help="one JSON object, numbers not rounded")
    film.add_argument("--nominal-um", type=float, metavar="UM", help="judge by ISO 19840 against this nominal film")
    film.add_argument("--min-um", type=float, metavar="UM", help="judge by SSPC-PA 2, with --max-um")
    film.add_argument("--max-um", type=float, metavar="UM", help="greatest film, for either judge")
    film.add_argument(
        "--phase", default="as found", metavar="PHASE", help="as found (default), after strip, or a coat_id: after that coat"
    )

    spots_arguments(add.reader("spots", spots_command, "print a spot sheet: where to set the gauge, with numbered stickers"))


def _of_plan(add: _Adding) -> None:
    tint = add.command(
        "tint", tint_command, "a step card: how the colour of a tinted coat goes with film, and the film it forgives"
    )
    tint.add_argument("card", type=Path, metavar="CSV", help="um and L,a,b or r,g,b; the row with um 0 is the ground")
    tint.add_argument("--json", action="store_true", help="one JSON object, numbers not rounded")
    tint.add_argument("--at-um", type=float, metavar="UM", help="film asked about (default: the middle of the card)")
    tint.add_argument(
        "--delta-e", type=float, metavar="DE00", help="colour difference allowed (default: 1, an unsourced figure)"
    )
    tint.add_argument("--pass-um", type=float, metavar="UM", help="film of one pass: says what one more or less does")
    tint.add_argument(
        "--reading-um", type=float, metavar="UM", help="what the gauge reads with all coats: says whether it can see it"
    )

    rehearse = add.reader("replay", replay_command, "run the repaint plan: what ends as wanted, and which step harms what")
    which = rehearse.add_mutually_exclusive_group()
    which.add_argument("--plan", type=Path, default=None, metavar="FILE.csv", help="another plan (columns of steps.csv)")
    which.add_argument("--draft", action="store_true", help="a plan drafted from goals and history")
    rehearse.add_argument("--json", action="store_true", help="one JSON object, numbers not rounded")

    release = add.reader("release", release_command, "what stands against stripping each zone, and what would cure it")
    release.add_argument("--json", action="store_true", help="one JSON object")

    sheet = add.reader("strip-sheet", strip_sheet_command, "print the strip sheet: what is stripped how, and what never")
    strip_sheet_arguments(sheet)

    brief = add.reader("brief", brief_command, "print the painter's mask brief")
    brief.add_argument("out", type=Path, metavar="OUT.pdf", help="the print to write")

    template_arguments(add.reader("template", template_command, "print a full-size template, 1 : 1, of a measured drawing"))

    hand_over_arguments(
        add.reader("hand-over", hand_over_command, "make the hand-over folder: print, page, tables, map, record, pictures")
    )


def _start_arguments(start: argparse.ArgumentParser) -> None:
    start.add_argument("record", type=Path, metavar="RECORD", help="the record file to make (.gpkg)")
    start.add_argument("--vehicle", required=True, metavar="NAME", help="what the vehicle is called")
    start.add_argument(
        "--shape", default=None, help="a starting shape: two_box, three_box, van, open_tourer, motorcycle_tank"
    )
    for name, words in (
        ("length", "over all"),
        ("height", "from the ground"),
        ("wheelbase", "axle to axle"),
        ("width", "body"),
    ):
        start.add_argument(
            f"--{name}-mm", type=float, default=None, metavar="MM", help=f"{words} (default: as the shape has it)"
        )
    start.add_argument(
        "--substrate", choices=("steel", "aluminium", "grp", "other"), default=None, help="of the parts of the shape"
    )
    start.add_argument("--by", default=None, metavar="NAME", help="who makes it (default: the name you are logged in with)")
