"""The bytes of a text file as text: UTF-8, with or without a byte-order mark, and nothing that hides in it."""

from __future__ import annotations

import codecs

from bodymap.errors import Fault, Faults

# A whole record of a large vehicle is some megabytes. A text file beyond this is no record, and reading it would only
# take the memory of the machine.
TEXT_MOST_BYTES = 200_000_000


def decoded(name: str, data: bytes) -> str:
    """The text of a file, without its byte-order mark.

    Raises:
        Faults: too long, not UTF-8 (with the position of the first wrong byte), or with a NUL byte.
    """
    if len(data) > TEXT_MOST_BYTES:
        raise Faults(name, [Fault(name, found=f"{len(data)} bytes", allowed=f"at most {TEXT_MOST_BYTES} bytes of text")])
    try:
        text = data.removeprefix(codecs.BOM_UTF8).decode("utf-8")
    except UnicodeDecodeError as error:
        at = error.start + (len(codecs.BOM_UTF8) if data.startswith(codecs.BOM_UTF8) else 0)
        line = data.count(b"\n", 0, at) + 1
        found = f"byte 0x{data[at]:02x} at position {at} (line {line}), which is no UTF-8"
        raise Faults(name, [Fault(name, found=found, allowed="text in UTF-8")]) from error
    if "\x00" in text:
        at = data.index(b"\x00")
        line = data.count(b"\n", 0, at) + 1
        found = f"a NUL byte at position {at} (line {line})"
        raise Faults(name, [Fault(name, found=found, allowed="text in UTF-8 without NUL bytes")])
    return text
