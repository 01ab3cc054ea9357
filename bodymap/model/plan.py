"""The finish that is wanted, and the steps to it."""

from __future__ import annotations

from typing import ClassVar, Literal

from bodymap.model.columns import Id, Ids, Text, Whole
from bodymap.model.entry import Entry
from bodymap.model.stack import Extent

Action = Literal["remove", "fit", "mask", "unmask", "strip", "coat"]
StripMethod = Literal["blast", "soft_media", "chemical", "blade", "hand"]
ONLY = "only"


class Goal(Entry):
    """One layer of the finish wanted on a zone; position 1 is nearest the substrate."""

    KIND: ClassVar[str] = "goal"
    FILE: ClassVar[str] = "goals.csv"
    KEY: ClassVar[tuple[str, ...]] = ("zone_id", "position")

    zone_id: Id
    position: Whole
    coat_id: Id
    extent: Extent


class Step(Entry):
    """One step of the planned repaint.

    `target`: a part (remove, fit), an area (mask, unmask), zones (strip) or a coat (coat).
    `parts`: the removed parts painted beside the vehicle in this step; beginning with `only`: not the vehicle itself.
    `method`: how the zones of a strip step are stripped; blank: not stated.
    `batch`: the mix a coat is sprayed from, as the shop calls it; blank: not stated.
    """

    KIND: ClassVar[str] = "step"
    FILE: ClassVar[str] = "steps.csv"
    KEY: ClassVar[tuple[str, ...]] = ("step",)

    step: Whole
    action: Action
    target: Ids = ()
    parts: Ids = ()
    note: Text | None = None
    method: StripMethod | None = None
    batch: Text | None = None

    @property
    def parts_beside(self) -> tuple[str, ...]:
        """The removed parts that are painted beside the vehicle."""
        return self.parts[1:] if self.parts_only else self.parts

    @property
    def parts_only(self) -> bool:
        """Only the parts are painted, not the vehicle itself."""
        return self.parts[:1] == (ONLY,)
