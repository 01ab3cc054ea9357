"""What a hand-over says of the hash of an entry is what the hash of an entry is."""

from __future__ import annotations

import hashlib

from hypothesis import given
from hypothesis import strategies as st

from bodymap.model.journal import entry_hash
from tests.chain_described import spelt

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
BODIES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | TEXTS,
    lambda held: st.lists(held, max_size=4) | st.dictionaries(TEXTS, held, max_size=4),
    max_leaves=12,
)


@given(TEXTS, st.dictionaries(TEXTS, BODIES, max_size=5), TEXTS)
def test_the_hash_of_an_entry_is_what_the_hand_over_says(before, body, by):
    said = {"seq": 3, "at": "2026-05-01", "by": by, "why": "w", "act": "put", "kind": "coat", "ident": "c", "place": 1}
    assert entry_hash(before, said | {"body": body}) == hashlib.sha256(spelt([before, said | {"body": body}])).hexdigest()
