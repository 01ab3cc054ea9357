"""Pictures for a print: as large as the print shows, upright, and as they were, though read at a part of their size."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image, ImageFilter, ImageOps

from bodymap.briefs.photographs import PRINT_DPI, print_ready
from tests.hand_over_case import OBSERVER


def camera_picture(wide, high, turned):
    """A JPEG with soft patches, as a camera gives it: 2.5 to 10 times finer than the print."""
    random = np.random.default_rng(5)
    patches = Image.fromarray(random.integers(0, 255, (6, 8, 3), dtype=np.uint8)).resize((wide, high))
    exif = Image.Exif()
    exif[0x0112], exif[0x013B] = turned, OBSERVER
    out = io.BytesIO()
    patches.filter(ImageFilter.GaussianBlur(3)).save(out, "JPEG", quality=92, exif=exif)
    return out.getvalue()


@pytest.mark.parametrize("turned", [1, 3, 6, 8])
@pytest.mark.parametrize(("wide", "high"), [(1700, 1200), (3000, 2000), (2000, 3000), (700, 500), (60, 40)])
def test_a_picture_is_sized_for_its_frame_and_looks_as_if_all_of_it_had_been_read(wide, high, turned):
    data = camera_picture(wide, high, turned)
    most = (round(86 / 25.4 * PRINT_DPI), round(62 / 25.4 * PRINT_DPI))
    whole = ImageOps.exif_transpose(Image.open(io.BytesIO(data))).convert("RGB")
    whole.thumbnail(most, Image.Resampling.LANCZOS)
    ready = Image.open(io.BytesIO(print_ready(data, 86, 62)))
    assert max(abs(one - other) for one, other in zip(ready.size, whole.size, strict=True)) <= 1
    assert all(one <= limit for one, limit in zip(ready.size, most, strict=True))
    apart = np.abs(np.asarray(ready.resize(whole.size), float) - np.asarray(whole, float))
    assert apart.mean() < 3
    assert OBSERVER.encode() not in print_ready(data, 86, 62)
