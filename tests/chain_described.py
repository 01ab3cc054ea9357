"""The chain of a journal, read with nothing of the project: only what READ-ME.txt of a hand-over says of it."""

from __future__ import annotations

import csv
import hashlib
import json
import struct


def spelt(value) -> bytes:
    """The bytes that spell a value."""
    if value is None or value is True or value is False:
        return {None: b"n", True: b"t", False: b"f"}[value]
    if isinstance(value, float):
        return b"d" + struct.pack(">d", value)
    if isinstance(value, int):
        return f"i{len(str(value))}:{value}".encode()
    if isinstance(value, str):
        return f"s{len(value.encode())}:{value}".encode()
    if isinstance(value, list):
        return f"l{len(value)}:".encode() + b"".join(map(spelt, value))
    return f"m{len(value)}:".encode() + b"".join(spelt(name) + spelt(value[name]) for name in sorted(value))


def last_hash(journal_csv) -> tuple[int, str]:
    """Count and last hash of a journal.csv, each row held against the one above it and its own hash."""
    csv.field_size_limit(10**8)
    count, before = 0, "0" * 64
    with journal_csv.open(newline="", encoding="utf-8-sig") as file:
        for row in csv.DictReader(file):
            said = {name: row[name] for name in ("at", "by", "why", "act", "kind", "ident")}
            said |= {"seq": int(row["seq"]), "place": int(row["place"]), "body": json.loads(row["body"])}
            assert row["before"] == before
            before = hashlib.sha256(spelt([before, said])).hexdigest()
            assert row["hash"] == before
            count += 1
    return count, before
