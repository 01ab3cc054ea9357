"""Pictures written anew without what a camera wrote into them: position, owner, serial numbers.

A picture is turned as it was meant to be seen, made no larger than `LONGEST_PX`, and encoded again; nothing of the old
file goes along but its pixels and its colour profile, without which its colours would change. What is a picture or film and
cannot be written anew as a whole is told apart from what is neither: the first may bear a position, the second is a paper.
"""

from __future__ import annotations

import io
import re
import warnings
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Literal

from PIL import Image, ImageOps

# A detail of 0.5 mm shows on a photograph of a side 1.5 m wide; twice what a page or a screen needs.
LONGEST_PX = 3000
# Of 100; differences to the eye begin well below. Chroma is not thinned out: it is colour that is being kept.
JPEG_QUALITY = 88
_ANEW = {"JPEG": ".jpg", "MPO": ".jpg", "PNG": ".png", "WEBP": ".jpg", "TIFF": ".jpg", "BMP": ".png"}
# The reader of JPEG files opens MPO files as well: a JPEG with a second one for the second eye.
_OPENED = tuple(kind for kind in _ANEW if kind != "MPO")
_SUFFIXES = {".jpg": (".jpg", ".jpeg", ".jpe", ".jfif"), ".png": (".png",)}
# Cameras and telephones write these; no library of this package writes them anew.
_CAMERA_SUFFIXES = frozenset(
    (
        ".jpg", ".jpeg", ".jpe", ".jfif", ".mpo", ".png", ".apng", ".webp", ".tif", ".tiff", ".bmp",
        ".gif", ".heic", ".heif",
        ".avif", ".jxl", ".jp2", ".dng", ".cr2", ".cr3", ".nef", ".nrw", ".arw", ".raf", ".orf", ".rw2", ".pef", ".srw",
        ".x3f", ".psd", ".insp", ".mp4", ".mov", ".m4v", ".avi", ".mkv", ".3gp", ".mts", ".m2ts", ".webm", ".wmv", ".mpg",
        ".mpeg",
    )
)  # fmt: skip
_MAGIC = re.compile(rb"\xff\xd8\xff|\x89PNG\r\n|II\*\x00|MM\x00\*|RIFF....WEBP|....ftyp|GIF8|BM......\x00\x00", re.DOTALL)
_TAKEN = re.compile(r"(\d{4}):(\d{2}):(\d{2}) (\d{2}:\d{2}:\d{2})")
_EXIF_IFD, _TAKEN_TAG = 0x8769, 0x9003

# What is warned of is a setting of the whole program: two who set it at once would leave it set.
_OPENING = Lock()

Kind = Literal["picture", "unreadable", "other"]


@dataclass(frozen=True)
class Anew:
    """A picture written anew: its bytes, its suffix, its size, when the camera says it was taken (ISO 8601, or empty)."""

    data: bytes
    suffix: str
    width_px: int
    height_px: int
    taken: str


def looked_at(path: Path) -> tuple[Kind, Anew | None]:
    """Whether a file is a picture that can be written anew (and it, written anew), one or a film that cannot, or neither."""
    with path.open("rb") as file:
        start = file.read(64)
    if path.suffix.lower() not in _CAMERA_SUFFIXES and not _MAGIC.match(start):
        return "other", None
    anew = written_anew(path)
    return ("picture" if anew else "unreadable"), anew


def written_anew(path: Path) -> Anew | None:
    """The picture in a file, written anew; None where it is none, is broken, or is several pictures in one."""
    try:
        with _opened(path) as picture:
            return _written(picture)
    except Exception:  # the library raises whatever it stumbles on in a broken file, TypeError for one
        return None


def _opened(path: Path) -> Image.Image:
    """The picture in a file, of which nothing but its beginning is read yet."""
    with _OPENING, warnings.catch_warnings():
        # Large is not hostile below the library's own limit, at which it raises.
        warnings.simplefilter("ignore")
        picture = Image.open(path, formats=_OPENED)
        with suppress(
            Exception
        ):  # read here, where what is odd in it is not told; what it raises comes again where it is used
            picture.getexif()
        return picture


def suited(name: str, suffix: str) -> str:
    """A file name with a suffix that says what is in it; its own where that says so already.

    >>> suited("left side.jpeg", ".jpg"), suited("scan.tif", ".jpg")
    ('left side.jpeg', 'scan.jpg')
    """
    path = Path(name)
    return name if path.suffix.lower() in _SUFFIXES[suffix] else path.stem + suffix


def _written(picture: Image.Image) -> Anew | None:
    kind = picture.format or ""
    if getattr(picture, "n_frames", 1) > 1 and kind != "MPO":
        return None
    taken = _taken(picture)
    upright = ImageOps.exif_transpose(picture)
    upright.thumbnail((LONGEST_PX, LONGEST_PX), Image.Resampling.LANCZOS)
    see_through = upright.mode in ("RGBA", "LA", "PA") or "transparency" in upright.info
    suffix = ".png" if see_through else _ANEW[kind]
    profile = upright.info.get("icc_profile")
    if suffix == ".jpg" and upright.mode not in ("RGB", "L"):
        upright, profile = upright.convert("RGB"), None if upright.mode == "CMYK" else profile
    clean = Image.frombytes(upright.mode, upright.size, upright.tobytes())
    if upright.mode in ("P", "PA") and (palette := upright.getpalette()):
        clean.putpalette(palette)
    if "transparency" in upright.info:
        clean.info["transparency"] = upright.info["transparency"]
    return Anew(_encoded(clean, suffix, profile), suffix, *clean.size, taken)


def _encoded(picture: Image.Image, suffix: str, profile: bytes | None) -> bytes:
    out = io.BytesIO()
    if suffix == ".jpg":
        # Coded for this very picture it would be some per cent smaller, and take three times as long.
        picture.save(out, "JPEG", quality=JPEG_QUALITY, subsampling=0, icc_profile=profile)
    else:
        picture.save(out, "PNG", optimize=True, icc_profile=profile)
    return out.getvalue()


def _taken(picture: Image.Image) -> str:
    """DateTimeOriginal of the picture's Exif data (CIPA DC-008, tag 0x9003; from memory, not seen), as ISO 8601."""
    told = picture.getexif().get_ifd(_EXIF_IFD).get(_TAKEN_TAG)
    match = _TAKEN.fullmatch(told.strip("\x00 ")) if isinstance(told, str) else None
    return f"{match[1]}-{match[2]}-{match[3]}T{match[4]}" if match else ""
