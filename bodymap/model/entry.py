"""What every noun of a record has in common: frozen, with a key, knowing its file, keeping what it does not know."""

from __future__ import annotations

from typing import Any, ClassVar

from pydantic import BaseModel, ConfigDict, Field


class Entry(BaseModel):
    """One row or feature of a record.

    Class attributes:
        KIND: name of the kind, as journal, store and messages say it.
        FILE: its file in the open folder (empty: it has none of its own).
        KEY: the fields that together tell one entry from another; empty: its place in the file does.
        SHAPES: geometry types allowed, for kinds that have a `shape`; empty: any.

    A field left blank in the folder is None here and stays blank: defaults are given by properties, never stored.
    `more` keeps unknown columns and properties by name, to be written back.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    KIND: ClassVar[str] = ""
    FILE: ClassVar[str] = ""
    KEY: ClassVar[tuple[str, ...]] = ()
    SHAPES: ClassVar[tuple[str, ...]] = ()

    more: dict[str, Any] = Field(default_factory=dict)

    @property
    def ident(self) -> str:
        """Tells this entry from the others of its kind; empty where only its place does."""
        return "/".join(str(getattr(self, name)) for name in self.KEY)
