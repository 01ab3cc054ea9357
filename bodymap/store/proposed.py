"""A proposal as the changes that a record file takes."""

from __future__ import annotations

from collections import defaultdict

from bodymap.geometry.proposal import Proposal
from bodymap.store.changes import Put, Withdraw
from bodymap.store.record_file import RecordFile


def changes_of(proposal: Proposal, file: RecordFile) -> tuple[Put | Withdraw, ...]:
    """What to append for a proposal that was made from the record as this file has it.

    What nothing refers to any more is withdrawn last.
    """
    idents: dict[str, tuple[str, ...]] = defaultdict(tuple)
    for _, entry in proposal.replace:
        if entry.KIND not in idents:
            idents[entry.KIND] = file.idents(entry.KIND)
    return (
        *(Put(entry) for entry in proposal.put),
        *(Put(entry, ident=idents[entry.KIND][number]) for number, entry in proposal.replace),
        *(Withdraw(kind, ident) for kind, ident in proposal.withdraw),
    )
