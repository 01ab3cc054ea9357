"""The commands. Thin: each joins rooms, prints, and exits.

Exit codes: 0 it did its job; 1 the record has something the user must look at; 2 bad input or usage (a message on
standard error, nothing written).
"""

from __future__ import annotations

import argparse
import getpass
import importlib.util
import json
import os
import sys
import tempfile
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from bodymap import __version__
from bodymap.errors import BodymapError
from bodymap.model import Head, Record
from bodymap.model.journal import head_of
from bodymap.units import mm2_to_m2

OK, LOOK, BAD = 0, 1, 2
DEMO_RECORD = Path("demo-van.gpkg")
PORT = 8501
_FINDINGS_MOST = 100


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    arguments = _parser().parse_args(argv)
    try:
        code: int = arguments.run(arguments)
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


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="bodymap", description="The map of a historic vehicle's skin.")
    parser.add_argument("--version", action="version", version=f"bodymap {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    def command(name: str, run: Callable[[argparse.Namespace], int], does: str) -> argparse.ArgumentParser:
        sub = commands.add_parser(name, help=does, description=does)
        sub.set_defaults(run=run)
        return sub

    def reader(name: str, run: Callable[[argparse.Namespace], int], does: str) -> argparse.ArgumentParser:
        sub = command(name, run, does)
        sub.add_argument("record", type=Path, metavar="RECORD", help="a record file (.gpkg) or an open folder")
        return sub

    demo = command("demo", _demo, "build the demo record where it is not there yet, and open the dashboard on it")
    demo.add_argument("record", type=Path, nargs="?", default=DEMO_RECORD, metavar="RECORD", help="default: %(default)s")
    demo.add_argument("--no-open", action="store_true", help="build only")
    for sub in (demo, reader("open", _open, "open the dashboard on a record (an open folder is shown, not changed)")):
        sub.add_argument("--port", type=int, default=None, help=f"default: the first free one from {PORT}")

    _start_arguments(command("start", _start, "make a new record from nothing: vehicle, drawings, parts"))

    take_in = command("take-in", _take_in, "make a new record from an open folder")
    take_in.add_argument("folder", type=Path, metavar="FOLDER")
    take_in.add_argument("record", type=Path, metavar="RECORD", help="the record file to make (.gpkg)")
    take_in.add_argument("--by", default=None, help="who takes it in (default: the name you are logged in with)")

    write_out = reader("write-out", _write_out, "write a record out as an open folder")
    write_out.add_argument("folder", type=Path, metavar="FOLDER", help="a folder that is not there yet, or empty")

    verify = reader("verify", _verify, "check the integrity of file, entries and chain, and the media hashes")
    verify.add_argument("--head", default=None, help="count·hash as printed on a brief: finds a journal cut short since")

    backup = command("backup", _backup, "make a consistent copy of a record while others write")
    backup.add_argument("record", type=Path, metavar="RECORD")
    backup.add_argument("copy", type=Path, metavar="COPY")

    areas = reader("areas", _areas, "areas drawn and true, kept areas and margins, by zone and part")
    areas.add_argument("--json", action="store_true", help="one JSON object, numbers not rounded")

    history = reader("history", _history, "order of the coats, what was fitted, off or taped at each, where to look next")
    history.add_argument("--json", action="store_true", help="one JSON object")
    history.add_argument("--set-aside", action="append", default=[], metavar="STACK", help="read as if it were not there")

    film = reader("film", _film, "film readings by zone, against the known stack, left against right, suspected filler")
    film.add_argument("--json", action="store_true", help="one JSON object, numbers not rounded")
    film.add_argument("--nominal-um", type=float, help="judge by ISO 19840 against this nominal film")
    film.add_argument("--min-um", type=float, help="judge by SSPC-PA 2, with --max-um")
    film.add_argument("--max-um", type=float, help="greatest film, for either judge")
    film.add_argument("--phase", default="as found", help="as found (default), after strip, or a coat_id: after that coat")

    tint = command("tint", _tint, "a step card: how the colour of a tinted coat goes with film, and the film it forgives")
    tint.add_argument("card", type=Path, metavar="CSV", help="um and L,a,b or r,g,b; the row with um 0 is the ground")
    tint.add_argument("--json", action="store_true", help="one JSON object, numbers not rounded")
    tint.add_argument("--at-um", type=float, help="film asked about (default: the middle of the card)")
    tint.add_argument("--delta-e", type=float, help="colour difference allowed, CIEDE2000 (default: 1, an unsourced figure)")
    tint.add_argument("--pass-um", type=float, help="film of one pass: says what one more or less does")
    tint.add_argument("--reading-um", type=float, help="what the gauge reads with all coats: says whether it can see it")

    rehearse = reader("replay", _replay, "run the repaint plan: what ends as wanted, and which step harms what")
    which = rehearse.add_mutually_exclusive_group()
    which.add_argument("--plan", type=Path, default=None, metavar="FILE.csv", help="another plan (columns of steps.csv)")
    which.add_argument("--draft", action="store_true", help="a plan drafted from goals and history")
    rehearse.add_argument("--json", action="store_true", help="one JSON object, numbers not rounded")

    release = reader("release", _release, "what stands against stripping each zone, and what would cure it")
    release.add_argument("--json", action="store_true", help="one JSON object")

    brief = reader("brief", _brief, "print the painter's mask brief")
    brief.add_argument("out", type=Path, metavar="OUT.pdf")
    return parser


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
    start.add_argument("--by", default=None, help="who makes it (default: the name you are logged in with)")


# --- joining the rooms -------------------------------------------------------------------------------------------------


def _load(path: Path) -> tuple[Record, Head]:
    """The record in a record file or an open folder, and where its journal stands."""
    if path.is_dir():
        from bodymap.exchange.open_folder import read_folder

        content = read_folder(path)
        _tell(content.notes)
        return content.record, head_of(content.journal)
    from bodymap.store.record_file import RecordFile

    file = RecordFile(path)
    return file.record(), file.head()


def _start(arguments: argparse.Namespace) -> int:
    from bodymap.geometry.starting_shapes.beginning import beginning
    from bodymap.store import record_file

    sizes = {name: getattr(arguments, name) for name in ("length_mm", "height_mm", "wheelbase_mm", "width_mm")}
    entries = beginning(arguments.vehicle, arguments.shape, **sizes, substrate=arguments.substrate)
    record = Record.of(entries)
    record_file.create(arguments.record, record, by=arguments.by or _who(), why="a new record", at=_now())
    print(
        f"{arguments.record}: {record.vehicle.name}, {len(record.drawings)} drawings, {len(record.parts)} parts, "
        f"{len(record.zones)} zones"
    )
    if record.zones:
        _tell(["the drawings are schematic, their areas estimates, until two points of known distance are set on each"])
    if record.parts and arguments.substrate is None:
        _tell(["what the parts are of was not stated (--substrate): put down as other, on which no metal gauge counts"])
    return OK


def _take_in(arguments: argparse.Namespace) -> int:
    record = _made_from(arguments.folder, arguments.record, arguments.by)
    print(
        f"{arguments.record}: {len(record.zones)} zones, {len(record.parts)} parts, {len(record.stacks)} stacks, "
        f"{len(record.readings)} readings taken in"
    )
    return OK


def _made_from(folder: Path, path: Path, by: str | None) -> Record:
    from bodymap.exchange.open_folder import read_folder
    from bodymap.store import record_file

    content = read_folder(folder)
    _tell(content.notes)
    record_file.create(
        path,
        content.record,
        by=by or _who(),
        why=f"taken in from the open folder {folder.name}",
        at=_now(),
        media=content.media,
        journal=content.journal,
    )
    return content.record


def _write_out(arguments: argparse.Namespace) -> int:
    from bodymap.exchange.open_folder import read_folder, write_folder

    if arguments.record.is_dir():
        content = read_folder(arguments.record)
        write_folder(arguments.folder, content.record, content.journal, content.media)
    else:
        from bodymap.store.record_file import RecordFile

        file = RecordFile(arguments.record)
        record = file.record()
        write_folder(arguments.folder, record, file.journal(), file.media_paths())
    print(f"{arguments.folder}: written out")
    return OK


def _verify(arguments: argparse.Namespace) -> int:
    if arguments.record.is_dir():
        record, head = _load(arguments.record)
        print(
            f"{arguments.record}: a whole open folder, {sum(1 for _ in record.entries())} rows and features, "
            f"{head.count} journal entries"
        )
        return OK
    from bodymap.store.record_file import RecordFile

    file = RecordFile(arguments.record)
    wrong = file.verify(head=arguments.head)
    for finding in wrong[:_FINDINGS_MOST]:
        print(f"{arguments.record}: {finding}")
    if len(wrong) > _FINDINGS_MOST:
        print(f"{arguments.record}: and {len(wrong) - _FINDINGS_MOST} more")
    if wrong:
        return LOOK
    head = file.head()
    print(f"{arguments.record}: whole; {head.count} entries, last hash {head.hash}")
    return OK


def _backup(arguments: argparse.Namespace) -> int:
    from bodymap.store.record_file import RecordFile

    RecordFile(arguments.record).backup(arguments.copy)
    print(f"{arguments.copy}: a copy of {arguments.record}, checked")
    return OK


def _areas(arguments: argparse.Namespace) -> int:
    from bodymap.geometry.areas import areas_of

    record, _ = _load(arguments.record)
    report = areas_of(record).as_json()
    if arguments.json:
        _print_json(report)
        return OK
    print(f"{'':32}{'drawn m²':>10}{'true m²':>10}{'kept m²':>10}{'kept':>7}")
    rows = [(record.part[part].name, areas) for part, areas in report["by_part"].items()]
    for name, areas in [*rows, ("Whole vehicle", report["totals"])]:
        share = areas["kept_drawn_mm2"] / areas["drawn_mm2"] if areas["drawn_mm2"] else 0.0
        print(
            f"{name[:31]:32}{mm2_to_m2(areas['drawn_mm2']):10.3f}{mm2_to_m2(areas['surface_mm2']):10.3f}"
            f"{mm2_to_m2(areas['kept_surface_mm2']):10.3f}{share:7.1%}"
        )
    estimates = sum(1 for zone in report["zones"].values() if zone["estimate"])
    if estimates:
        print(f"{estimates} zones are on a schematic drawing: their areas are estimates")
    return OK


def _history(arguments: argparse.Namespace) -> int:
    from bodymap.history.read import read_history
    from bodymap.history.report import history_json
    from bodymap.history.set_aside import set_aside
    from bodymap.history.text import history_lines

    found, _ = _load(arguments.record)
    aside = tuple(dict.fromkeys(arguments.set_aside))
    record = set_aside(found, aside)
    history = read_history(record)
    if arguments.json:
        _print_json(history_json(record, history) | ({"set_aside": list(aside)} if aside else {}))
    else:
        print("\n".join(history_lines(record, history, aside)))
    # what was set aside is still in the record
    return LOOK if history.contradicted or (aside and read_history(found).contradicted) else OK


def _film(arguments: argparse.Namespace) -> int:
    from bodymap.film.report import Specification, film_report
    from bodymap.film.words import film_lines
    from bodymap.settings import in_force

    asked = Specification(arguments.nominal_um, arguments.min_um, arguments.max_um)
    record, _ = _load(arguments.record)
    report = film_report(record, in_force(record.settings), asked, arguments.phase)
    if arguments.json:
        _print_json(report.as_json())
    else:
        print("\n".join(film_lines(record, report)))
    return LOOK if report.to_look_at else OK


def _tint(arguments: argparse.Namespace) -> int:
    from bodymap.exchange.step_card import parse_step_card
    from bodymap.finish.tint_report import tint_report
    from bodymap.settings import in_force

    name = arguments.card.name
    card = parse_step_card(name, arguments.card.read_bytes())
    asked = {key: getattr(arguments, key) for key in ("at_um", "delta_e", "pass_um", "reading_um")}
    report = tint_report(card.steps, in_force(), name=name, **asked)
    _tell((*card.notes, *report.notes))
    if arguments.json:
        _print_json(report.as_json())
    else:
        print("\n".join(report.lines()))
    return OK


def _replay(arguments: argparse.Namespace) -> int:
    from bodymap.exchange.plan_file import read_plan
    from bodymap.finish.plan_draft import draft_json, draft_lines, draft_plan
    from bodymap.finish.replay import replay
    from bodymap.finish.replay_report import replay_json, replay_lines
    from bodymap.finish.tint_plan import tint_warnings
    from bodymap.settings import in_force

    record, _ = _load(arguments.record)
    settings = in_force(record.settings)
    draft = draft_plan(record, settings) if arguments.draft else None
    steps, notes = read_plan(arguments.plan, record) if arguments.plan else (record.steps, ())
    _tell(notes)
    result = draft.result if draft else replay(record, settings, steps)
    tinted = tint_warnings(record, settings, draft.steps if draft else steps)
    if arguments.json:
        _print_json(
            replay_json(result)
            | {"tint_warnings": [warning.words for warning in tinted]}
            | (draft_json(draft) if draft else {})
        )
    else:
        print(
            "\n".join(
                [
                    *(draft_lines(draft) if draft else ()),
                    *replay_lines(record, result),
                    *(warning.words for warning in tinted),
                ]
            )
        )
    return OK if result.clean else LOOK


def _release(arguments: argparse.Namespace) -> int:
    from bodymap.release.checks import release_of
    from bodymap.release.report import release_json, release_lines
    from bodymap.settings import in_force

    record, _ = _load(arguments.record)
    releases = release_of(record, in_force(record.settings))
    if arguments.json:
        _print_json(release_json(releases))
    else:
        print("\n".join(release_lines(record, releases)))
    return LOOK if any(one.asked and not one.release for one in releases.values()) else OK


def _brief(arguments: argparse.Namespace) -> int:
    from bodymap.briefs.mask_brief import mask_brief_pdf, unprintable
    from bodymap.settings import in_force
    from bodymap.views.brief import brief_view

    if arguments.out.suffix.lower() != ".pdf":
        raise BodymapError(f"the print is a PDF: found {arguments.out.name!r}; allowed: a name ending in .pdf")
    record, head = _load(arguments.record)
    view = brief_view(record, in_force(record.settings))
    _write_whole(arguments.out, mask_brief_pdf(view, head, _now()))
    _tell([f"the print has no sign for {char}; the sheet says so" for char in unprintable(view)])
    print(f"{arguments.out}: mask brief, {len(record.areas)} areas")
    return OK


def _demo(arguments: argparse.Namespace) -> int:
    from demo import VEHICLE_FOLDER

    if not arguments.record.exists():
        _made_from(VEHICLE_FOLDER, arguments.record, "demo")
        print(f"{arguments.record}: the demo vehicle, taken in")
    if arguments.no_open:
        return OK
    return _open(arguments)


def _open(arguments: argparse.Namespace) -> int:
    _load(arguments.record)  # a record that cannot be read is told here, not in a browser
    if importlib.util.find_spec("dashboard") is None:
        raise BodymapError("the dashboard is not installed beside bodymap")
    from dashboard.serve import serve

    return serve(arguments.record.resolve(), port=arguments.port)


# --- small things ------------------------------------------------------------------------------------------------------


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _who() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return "not stated"


def _tell(notes: Sequence[str]) -> None:
    for note in notes:
        print(f"note: {note}", file=sys.stderr)


def _print_json(value: Any) -> None:
    print(json.dumps(value, ensure_ascii=False, allow_nan=False))


def _write_whole(path: Path, data: bytes) -> None:
    """Write a file whole or not at all."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
