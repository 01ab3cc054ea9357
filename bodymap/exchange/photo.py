"""A photo as a record keeps it: the picture untouched, its time of taking read, the place it was taken at left out.

Where a vehicle stands is nobody's business who reads its record, so every word of position is taken out of a file
unless its owner wants it kept. Of a JPEG (ITU-T T.81, annex B: marker segments) the coded picture is copied byte for byte
and only the segments beside it are made anew; Exif (CIPA DC-008; from memory, not seen) keeps a short list of tags, and
with XMP, IPTC, maker's notes, embedded previews and whatever follows the end of the picture all else goes. Any other picture
is written again as PNG, without loss and upright.
"""

from __future__ import annotations

import hashlib
import io
import re
import struct
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from PIL import Image, ImageOps

from bodymap.errors import BodymapError

MOST_MB = 25
_MB = 1_000_000
_EXIF_IFD, _GPS_IFD = 0x8769, 0x8825
_TAKEN, _DIGITIZED, _OFFSET = 0x9003, 0x9004, 0x9011
# Make, model, orientation, date and time; then exposure, aperture, sensitivity, times with their offsets, focal length,
# colour space.
_KEPT_TAGS = (0x010F, 0x0110, 0x0112, 0x0132)
_KEPT_OF_EXIF = (0x829A, 0x829D, 0x8827, 0x9003, 0x9004, 0x9010, 0x9011, 0x9012, 0x9291, 0x920A, 0xA001, 0xA405)
_ORIENTATION = 0x0112
_JPEG = ("JPEG", "MPO")
# Only these are opened: others (a page description, say) would run a program to be shown.
OPENED = ("JPEG", "PNG", "TIFF", "WEBP")
_PIXELS_MOST = 80_000_000
_SOI, _EOI, _SOS, _APP0, _APP1, _APP2, _APP14, _APP15, _COM = 0xD8, 0xD9, 0xDA, 0xE0, 0xE1, 0xE2, 0xEE, 0xEF, 0xFE
_NEXT_MARKER = re.compile(rb"\xff+([^\x00\xd0-\xd7\xff])", re.DOTALL)
_OFFSET_WORDS = re.compile(r"[+-]\d{2}:\d{2}")
_ALLOWED = "a photo or scan: JPEG, PNG, TIFF or WebP"


@dataclass(frozen=True)
class Photo:
    """A picture ready to be kept.

    Attributes:
        suffix: of its file name, with the dot.
        taken: when, as the camera says: ISO 8601, with an offset where the camera knows one; None: it does not say.
        had_place: the file said where it was taken. kept_place: it still does.
    """

    data: bytes
    suffix: str
    taken: str | None
    had_place: bool
    kept_place: bool

    @property
    def sha256(self) -> str:
        """SHA-256 of the bytes that are kept, as 64 hexadecimal digits."""
        return hashlib.sha256(self.data).hexdigest()


def prepared(data: bytes, *, keep_place: bool = False) -> Photo:
    """A photo or scan to be kept. `keep_place`: the file stays as it is, to the byte.

    Raises:
        BodymapError: more than 25 MB, no picture, a picture that is cut off, or several pictures in one file.
    """
    if len(data) > MOST_MB * _MB:
        raise BodymapError(f"the picture: found {len(data) / _MB:.1f} MB; allowed: up to {MOST_MB} MB")
    try:
        with Image.open(io.BytesIO(data), formats=OPENED) as picture:
            _check_single(picture)
            _check_size(picture)
            picture.load()
            return _prepared(data, picture, keep_place=keep_place)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise BodymapError(f"the picture: found more pixels than can be read; allowed: {_ALLOWED}") from error
    except BodymapError:
        raise
    except Exception as error:  # the library raises whatever it stumbles on in a broken file, TypeError for one
        raise BodymapError(f"the file: found no picture that can be read, or one cut off; allowed: {_ALLOWED}") from error


def _check_size(picture: Image.Image) -> None:
    if picture.width * picture.height > _PIXELS_MOST:
        found = f"{picture.width} × {picture.height} pixels"
        raise BodymapError(f"the picture: found {found}; allowed: up to {_PIXELS_MOST // 1_000_000} million pixels")


def _check_single(picture: Image.Image) -> None:
    frames = getattr(picture, "n_frames", 1)
    if frames > 1 and picture.format not in _JPEG:
        raise BodymapError(f"the picture: found {frames} pictures in one file; allowed: one, so that none is lost")


def _prepared(data: bytes, picture: Image.Image, *, keep_place: bool) -> Photo:
    exif = picture.getexif()
    had_place = bool(exif.get_ifd(_GPS_IFD)) or b"GPSLatitude" in data
    suffix = {"JPEG": ".jpg", "MPO": ".jpg", "PNG": ".png", "TIFF": ".tif", "WEBP": ".webp"}.get(picture.format or "", "")
    taken = _taken(exif)
    if keep_place and suffix:
        return Photo(data, suffix, taken, had_place, had_place)
    if picture.format in _JPEG:
        return Photo(_without_place(data, _short(exif)), ".jpg", taken, had_place, kept_place=False)
    out = io.BytesIO()
    upright = ImageOps.exif_transpose(picture)
    if upright.mode in ("CMYK", "YCbCr", "LAB", "HSV"):
        upright = upright.convert("RGB")
    upright.save(out, "PNG", exif=b"", icc_profile=picture.info.get("icc_profile"))
    return Photo(out.getvalue(), ".png", taken, had_place, kept_place=False)


def _taken(exif: Image.Exif) -> str | None:
    """The moment of taking; None where the camera does not say it, or says what is no moment."""
    told = exif.get_ifd(_EXIF_IFD)
    said = str(told.get(_TAKEN) or told.get(_DIGITIZED) or "").strip().strip("\x00")
    try:
        moment = datetime.strptime(said, "%Y:%m:%d %H:%M:%S").isoformat()
    except ValueError:
        return None
    offset = str(told.get(_OFFSET, "")).strip().strip("\x00")
    return moment + (offset if _OFFSET_WORDS.fullmatch(offset) else "")


def _short(exif: Image.Exif) -> bytes:
    """The tags that are kept, as the content of an Exif segment; empty where there are none."""
    short, told = Image.Exif(), exif.get_ifd(_EXIF_IFD)
    for tag in _KEPT_TAGS:
        if tag in exif:
            short[tag] = exif[tag]
    kept = {tag: told[tag] for tag in _KEPT_OF_EXIF if tag in told}
    if kept:
        short[_EXIF_IFD] = kept
    return short.tobytes() if len(short) else b""


def _without_place(data: bytes, exif: bytes) -> bytes:
    """The JPEG up to the end of its first picture, with only the segments that its looks need, and `exif`."""
    out = [b"\xff\xd8"]
    pending = exif if exif.startswith(b"Exif") or not exif else b"Exif\x00\x00" + exif
    for marker, content in _segments(data):
        if marker == _APP0 and content.startswith(b"JFIF\x00"):
            out.append(_segment(marker, content))
            continue
        if pending:
            out.append(_segment(_APP1, pending))
            pending = b""
        if marker == _SOS:
            out.append(content)
        elif _is_needed(marker, content):
            out.append(_segment(marker, content))
    return b"".join(out)


def _is_needed(marker: int, content: bytes) -> bool:
    if marker == _APP2:
        return content.startswith(b"ICC_PROFILE\x00")
    if marker == _APP14:
        return content.startswith(b"Adobe")
    return marker != _COM and not _APP0 <= marker <= _APP15


def _segment(marker: int, content: bytes) -> bytes:
    return struct.pack(">BBH", 0xFF, marker, len(content) + 2) + content


def _segments(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Marker and content of each segment; last the scans with all that is between them, marker and all, up to the end."""
    at = 2
    while True:
        found = _NEXT_MARKER.match(data, at)
        if not found:
            raise ValueError("no marker where one belongs")
        marker, at = found[1][0], found.end()
        if marker == _EOI:
            return
        if marker == _SOS:
            yield marker, data[found.start() : _end_of_picture(data, at)]
            return
        (length,) = struct.unpack_from(">H", data, at)
        yield marker, data[at + 2 : at + length]
        at += length


def _end_of_picture(data: bytes, at: int) -> int:
    """Where the picture ends whose first scan header begins at `at`; tables may stand between its scans."""
    while True:
        (length,) = struct.unpack_from(">H", data, at)
        found = _NEXT_MARKER.search(data, at + length)
        if not found:
            raise ValueError("the picture has no end")
        if found[1][0] == _EOI:
            return found.end()
        at = found.end()
