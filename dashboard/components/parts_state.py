"""What the parts screen keeps for one browser window."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass
class PartForm:
    """A part as it is typed. `part_id` of one that is amended is fixed; `begun_for`: the part it was begun for."""

    part_id: str = ""
    name: str = ""
    substrate: str | None = None
    removable: str | None = None
    first_coat: str | None = None
    marks: str = ""
    why: str = ""
    begun_for: str | None = None


@dataclass
class PartsScreen:
    """Choices and unfinished work of the screen.

    `chosen`: the part that is looked at; empty: none, or a new one. `label_parts`: which get a label, None: all that come
    off. `cover_zone`, `cover_gap`: a face that is being added to what the part hides. `seen`: revision shown when the form
    was begun. `shown`: which parts are listed. `of_these`, `material`: parts of which it is being said at once what they are
    of, None: all that it is not stated of; `asks_material`: that is what somebody came for.
    """

    chosen: str = ""
    shown: str = "all"
    adding: bool = False
    form: PartForm = field(default_factory=PartForm)
    lies: str = ""
    cover_zone: str | None = None
    cover_gap: str | None = None
    label_parts: list[str] | None = None
    label_size: str = "tie"
    sticker_kind: str = "stack"
    sticker_count: int = 140
    seen: int = 0
    of_these: list[str] | None = None
    material: str | None = None
    asks_material: bool = False
