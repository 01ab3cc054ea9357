"""The chain over journal entries finds every change but a cut tail."""

from __future__ import annotations

import hashlib
import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.model.journal import FIRST_HASH, JournalEntry, _canonical, broken_links, chained, entry_hash, head_of

WORDS = st.text(max_size=12)
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**20), 10**20) | st.floats(allow_nan=False) | WORDS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3),
    max_leaves=8,
)


def journal(bodies):
    before, entries = FIRST_HASH, []
    for seq, body in enumerate(bodies, 1):
        entry = chained(
            before,
            seq=seq,
            at="2026-01-01T00:00:00Z",
            by="a",
            why="w",
            act="put",
            kind="zone",
            ident=f"z{seq}",
            place=seq,
            body=body,
        )
        entries.append(entry)
        before = entry.hash
    return entries


def test_a_hash_is_sha_256_of_length_prefixed_bytes():
    assert (
        entry_hash("x", {"seq": 1, "by": "ü", "hash": "left out"})
        == hashlib.sha256(b"l2:" + b"s1:x" + b"m2:" + b"s2:by" + b"s2:" + "ü".encode() + b"s3:seq" + b"i1:1").hexdigest()
    )


def by_the_rule(value):
    """The canonical bytes, each type by itself and nothing in one step: a letter, a length, the content."""
    if value is None or isinstance(value, bool):
        return {None: b"n", True: b"t", False: b"f"}[value]
    if isinstance(value, float):
        return b"d" + struct.pack(">d", value)
    if isinstance(value, (int, str)):
        content = str(value).encode("utf-8", "surrogatepass")
        return (b"i" if isinstance(value, int) else b"s") + str(len(content)).encode() + b":" + content
    if isinstance(value, dict):
        pairs = b"".join(by_the_rule(name) + by_the_rule(value[name]) for name in sorted(value))
        return b"m" + str(len(value)).encode() + b":" + pairs
    return b"l" + str(len(value)).encode() + b":" + b"".join(map(by_the_rule, value))


@given(VALUES | st.lists(st.tuples(st.floats(allow_nan=False), st.floats() | st.integers(0, 9)).map(list)))
def test_the_bytes_are_those_of_the_rule(value):
    assert _canonical(value) == by_the_rule(value)


@given(VALUES, VALUES)
def test_values_that_differ_have_bytes_that_differ(one, other):
    same = repr(one) == repr(other) or (one == other and _types(one) == _types(other))
    assert (_canonical(one) == _canonical(other)) is (same and _signs(one) == _signs(other))


def _types(value):
    if isinstance(value, dict):
        return {key: _types(item) for key, item in value.items()}
    return [_types(item) for item in value] if isinstance(value, list) else type(value)


def _signs(value):
    if isinstance(value, dict):
        return {key: _signs(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_signs(item) for item in value]
    return str(value)


@given(st.lists(st.dictionaries(WORDS, VALUES, max_size=3), max_size=5))
def test_an_untouched_journal_holds(bodies):
    entries = journal(bodies)
    assert not list(broken_links(entries))
    assert head_of(entries).count == len(bodies)


@pytest.mark.parametrize("field", ["at", "by", "why", "kind", "ident"])
def test_a_changed_word_is_found_and_the_entry_named(field):
    entries = journal([{"name": "a"}, {"name": "b"}, {"name": "c"}])
    entries[1] = entries[1].model_copy(update={field: "forged"})
    broken = list(broken_links(entries))
    assert [entry.seq for entry, _ in broken] == [2]
    assert "content was changed" in broken[0][1]


def test_a_changed_body_with_a_hash_made_to_fit_breaks_the_next_link():
    entries = journal([{"name": "a"}, {"name": "b"}, {"name": "c"}])
    said = entries[1].model_dump() | {"body": {"name": "forged"}}
    entries[1] = JournalEntry(**said | {"hash": entry_hash(entries[1].before, said)})
    assert [entry.seq for entry, _ in broken_links(entries)] == [3]


def test_a_removed_entry_and_swapped_entries_are_found():
    entries = journal([{}, {}, {}, {}])
    assert list(broken_links(entries[:1] + entries[2:]))
    assert list(broken_links([entries[0], entries[2], entries[1], entries[3]]))


def test_a_cut_tail_shows_only_against_a_printed_head():
    entries = journal([{}, {}, {}])
    assert not list(broken_links(entries[:2]))
    assert head_of(entries[:2]) != head_of(entries)
