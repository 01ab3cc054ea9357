"""Pictures made ready for a print: upright, no larger than the print shows, and without what a camera wrote into them."""

from __future__ import annotations

import io

from PIL import Image, ImageOps

from bodymap.units import MM_PER_INCH

# Finer than a print on office paper shows; the record keeps the picture as it was taken.
PRINT_DPI = 200
_QUALITY = 85
# Only these are opened: others (a page description, say) would run a program to be shown.
_OPENED = ("JPEG", "PNG", "TIFF", "WEBP", "GIF", "BMP")
_PIXELS_MOST = 100_000_000
# Exif: how a picture is to be turned; by these it gets as wide as it was high (CIPA DC-008, tag 274; from memory, not seen).
_ORIENTATION, _ON_THEIR_SIDE = 0x0112, (5, 6, 7, 8)


def print_ready(data: bytes, width_mm: float, height_mm: float) -> bytes | None:
    """A picture as JPEG for a frame of that size, nothing of the old file but its pixels in it; None: no picture.

    No place, time, name or comment goes along. The same bytes for the same input. A picture turned by its EXIF orientation
    is turned for good.
    """
    most = (max(1, round(width_mm / MM_PER_INCH * PRINT_DPI)), max(1, round(height_mm / MM_PER_INCH * PRINT_DPI)))
    try:
        with Image.open(io.BytesIO(data), formats=_OPENED) as picture:
            if picture.width * picture.height > _PIXELS_MOST:
                return None
            # A JPEG is read at a half, a quarter or an eighth of its size where that is still as fine as the print.
            picture.draft(None, most[::-1] if picture.getexif().get(_ORIENTATION, 1) in _ON_THEIR_SIDE else most)
            upright = _on_white(ImageOps.exif_transpose(picture))
    except Exception:  # the library raises whatever it stumbles on in a broken file, TypeError for one
        return None
    upright.thumbnail(most, Image.Resampling.LANCZOS)
    upright.info.clear()  # a comment in the old file would be written into the new one
    out = io.BytesIO()
    upright.save(out, "JPEG", quality=_QUALITY)
    return out.getvalue()


def _on_white(picture: Image.Image) -> Image.Image:
    """The picture without transparency: what shows through would print black."""
    if not picture.has_transparency_data:
        return picture.convert("RGB")
    layered = picture.convert("RGBA")
    ground = Image.new("RGBA", layered.size, "white")
    return Image.alpha_composite(ground, layered).convert("RGB")
