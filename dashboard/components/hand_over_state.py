"""What the hand-over screen keeps for a window: which side of it is shown, what was made when, which entries are read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from dashboard.loaders.hand_over import BACKUP, FOLDER, NAMED, NAMELESS, ORIGINALS, TABLES, ZONES

SIDES = {
    "make": "Make the file",
    "retained": "Retained and made again",
    "entries": "History of entries",
    "out": "Take out and verify",
}
NAMES = {NAMED: "As it is kept", NAMELESS: "Without names", ORIGINALS: "With original pictures"}
OUT = {
    FOLDER: "Open folder (.zip)",
    BACKUP: "Backup copy (.zip)",
    TABLES: "Tables (.xlsx)",
    ZONES: "Zones on their drawings (.geojson)",
}


@dataclass(frozen=True)
class Asked:
    """Something that was asked for of the record in one state (`stamp`, `count` of its entries), at a moment."""

    stamp: str
    count: int
    at: str
    what: str
    by: str = ""


@dataclass(frozen=True)
class Checked:
    """A check asked for at a moment; `head`: what it is held against; `wrong`: what it found, None until then."""

    stamp: str
    at: str
    head: str
    wrong: tuple[str, ...] | None = None


@dataclass
class HandOver:
    """The screen as a whole. `entry`: number of the entry that is read; `against`: of the one it is compared with."""

    side: str = "make"
    names: str = NAMED
    made: Asked | None = None
    what: str = FOLDER
    taken: Asked | None = None
    by: str = ""
    kind: str = ""
    about: str = ""
    since: date | None = None
    entry: int | None = None
    against: int | None = None
    head: str = ""
    checked: Checked | None = None
