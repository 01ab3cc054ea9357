"""The commands that make a record, keep it whole, or open it."""

from __future__ import annotations

import argparse
import importlib.util
from collections.abc import Sequence
from pathlib import Path

from bodymap.cli.common import LOOK, OK, load, now, tell, who
from bodymap.cli.stopping import progress
from bodymap.errors import BodymapError
from bodymap.model import Record
from bodymap.model.journal import against_head, out_of_step
from bodymap.progress import stretch

_FINDINGS_MOST = 100
# Of the time that a command takes: until what it works on is read.
_READ_SHARE = 0.3


def start_command(arguments: argparse.Namespace) -> int:
    """Make a new record from nothing."""
    from bodymap.geometry.starting_shapes.beginning import beginning
    from bodymap.store import record_file

    sizes = {name: getattr(arguments, name) for name in ("length_mm", "height_mm", "wheelbase_mm", "width_mm")}
    entries = beginning(arguments.vehicle, arguments.shape, **sizes, substrate=arguments.substrate)
    record = Record.of(entries)
    with progress() as step:
        record_file.create(arguments.record, record, by=arguments.by or who(), why="a new record", at=now(), step=step)
    print(
        f"{arguments.record}: {record.vehicle.name}, {len(record.drawings)} drawings, {len(record.parts)} parts, "
        f"{len(record.zones)} zones"
    )
    if record.zones:
        tell(["the drawings are schematic, their areas estimates, until two points of known distance are set on each"])
    if record.parts and arguments.substrate is None:
        tell(["what the parts are of was not stated (--substrate): put down as other, on which no metal gauge counts"])
    return OK


def take_in_command(arguments: argparse.Namespace) -> int:
    """Make a new record from an open folder."""
    record = _made_from(arguments.folder, arguments.record, arguments.by)
    print(
        f"{arguments.record}: taken in; zones {len(record.zones)}, parts {len(record.parts)}, stacks {len(record.stacks)}, "
        f"readings {len(record.readings)}"
    )
    return OK


def _made_from(folder: Path, path: Path, by: str | None) -> Record:
    from bodymap.exchange.open_folder import read_folder
    from bodymap.store import record_file

    with progress() as step:
        content = read_folder(folder, stretch(step, 0.0, _READ_SHARE))
    tell(content.notes)
    with progress() as step:
        record_file.create(
            path,
            content.record,
            by=by or who(),
            why=f"taken in from the open folder {folder.name}",
            at=now(),
            media=content.media,
            journal=content.journal,
            step=stretch(step, _READ_SHARE, 1.0),
        )
    return content.record


def write_out_command(arguments: argparse.Namespace) -> int:
    """Write a record out as an open folder."""
    from bodymap.exchange.open_folder import read_folder, write_folder

    with progress() as step:
        reading = stretch(step, 0.0, _READ_SHARE)
        if arguments.record.is_dir():
            content = read_folder(arguments.record, reading)
            record, journal, media = content.record, content.journal, content.media
        else:
            from bodymap.store.record_file import RecordFile

            file = RecordFile(arguments.record)
            (record, journal), media = file.whole(reading), file.media_paths()
        write_folder(arguments.folder, record, journal, media, stretch(step, _READ_SHARE, 1.0))
    print(f"{arguments.folder}: written out")
    return OK


def verify_command(arguments: argparse.Namespace) -> int:
    """Check a record, and say what is wrong with it."""
    if arguments.record.is_dir():
        return _verify_folder(arguments)
    from bodymap.store.record_file import RecordFile

    file = RecordFile(arguments.record)
    with progress() as step:
        wrong = file.verify(arguments.head, step)
    if _told(arguments.record, wrong):
        return LOOK
    head = file.head()
    print(f"{arguments.record}: whole; {head.count} entries, last hash {head.hash}")
    return OK


def _verify_folder(arguments: argparse.Namespace) -> int:
    """A folder is whole where its files can be read; where it has a journal, they are what the journal comes to."""
    from bodymap.exchange.open_folder import read_folder

    with progress() as step:
        content = read_folder(arguments.record, step)
    tell(content.notes)
    wrong = list(out_of_step(content.journal, content.record))
    if arguments.head is not None:
        wrong += against_head(arguments.head, content.journal)
    if _told(arguments.record, wrong):
        return LOOK
    rows = sum(1 for _ in content.record.entries())
    journal = f"as its journal of {len(content.journal)} entries says" if content.journal else "without a journal"
    print(f"{arguments.record}: a whole open folder, {rows} rows, features and files, {journal}")
    return OK


def _told(path: Path, wrong: Sequence[str]) -> bool:
    for finding in wrong[:_FINDINGS_MOST]:
        print(f"{path}: {finding}")
    if len(wrong) > _FINDINGS_MOST:
        print(f"{path}: and {len(wrong) - _FINDINGS_MOST} more")
    return bool(wrong)


def backup_command(arguments: argparse.Namespace) -> int:
    """Copy a record while others write."""
    from bodymap.store.record_file import RecordFile

    with progress() as step:
        RecordFile(arguments.record).backup(arguments.copy, step)
    print(f"{arguments.copy}: a copy of {arguments.record}, checked")
    return OK


def bring_up_command(arguments: argparse.Namespace) -> int:
    """Bring a record of an older version up to this one."""
    from bodymap.store.migrations import bring_up
    from bodymap.store.record_file import RecordFile

    with progress() as step:
        backups = bring_up(arguments.record, by=arguments.by or who(), at=now(), step=stretch(step, 0.0, 0.6))
    for backup in backups:
        print(f"{backup}: the record as it was before that step")
    with progress() as step:
        wrong = RecordFile(arguments.record).verify(step=stretch(step, 0.6, 1.0))
    if _told(arguments.record, wrong):
        return LOOK
    print(f"{arguments.record}: {'brought up to this version, whole' if backups else 'of this version, nothing to do'}")
    return OK


def demo_command(arguments: argparse.Namespace) -> int:
    """Build the demo record where it is not there yet, and open the dashboard on it."""
    from demo import VEHICLE_FOLDER

    if not arguments.record.exists():
        _made_from(VEHICLE_FOLDER, arguments.record, "demo")
        print(f"{arguments.record}: the demo vehicle, taken in")
    if arguments.no_open:
        return OK
    return open_dashboard_command(arguments)


def open_dashboard_command(arguments: argparse.Namespace) -> int:
    """Open the dashboard on a record; where there is none yet, on the screen that starts one."""
    if not _may_be_started(arguments.record):
        load(arguments.record)  # a record that cannot be read is told here, not in a browser
    if importlib.util.find_spec("dashboard") is None:
        raise BodymapError("the dashboard is not installed beside bodymap")
    from dashboard.network import Tls
    from dashboard.serve import serve

    cert, key = arguments.cert, arguments.key
    if (cert is None) != (key is None):
        raise BodymapError(f"found {'--key' if cert is None else '--cert'} alone; allowed: --cert and --key together")
    tls = Tls(cert, key) if cert else None
    return serve(arguments.record.resolve(), port=arguments.port, lan=arguments.lan, tls=tls, hosts=arguments.host, say=_say)


def _say(line: str) -> None:
    print(line, flush=True)


def _may_be_started(path: Path) -> bool:
    """Nothing is there, and a record file could be."""
    return not path.exists() and not path.is_symlink() and path.suffix == ".gpkg" and path.resolve().parent.is_dir()
