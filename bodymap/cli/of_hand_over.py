"""The command that makes a hand-over folder."""

from __future__ import annotations

import argparse
from pathlib import Path

from bodymap.cli.common import OK, now, tell, who
from bodymap.cli.stopping import progress


def hand_over_arguments(sub: argparse.ArgumentParser) -> None:
    """What the command is asked besides the record."""
    sub.add_argument("folder", type=Path, metavar="FOLDER", help="a folder that is not there yet, or empty")
    which = sub.add_mutually_exclusive_group()
    which.add_argument(
        "--without-names", action="store_true", help="persons become person 1, person 2, …; the journal then begins anew"
    )
    which.add_argument(
        "--with-originals", action="store_true", help="pictures as they are, camera data (place, owner) and all"
    )
    sub.add_argument("--by", default=None, metavar="NAME", help="who hands over (default: the name you are logged in with)")


def hand_over_command(arguments: argparse.Namespace) -> int:
    """Make the hand-over folder."""
    from bodymap.cli.hand_over import hand_over

    with progress() as step:
        made = hand_over(
            arguments.record,
            arguments.folder,
            by=arguments.by or who(),
            at=now(),
            without_names=arguments.without_names,
            with_originals=arguments.with_originals,
            step=step,
        )
    tell(made.notes)
    print(f"{arguments.folder}: hand-over file, {made.files} files; begin with index.html")
    print(f"its journal ends at {made.ends.count}·{made.ends.sha256}")
    return OK
