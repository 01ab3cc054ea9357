"""Pictures written anew: nothing of the camera's goes along, the picture itself does."""

from __future__ import annotations

import io

import pytest
from PIL import Image, ImageCms

from bodymap.exchange.pictures import LONGEST_PX, looked_at, written_anew
from tests.hand_over_case import OBSERVER, photograph


def laid(tmp_path, data, name="a.jpg"):
    (tmp_path / name).write_bytes(data)
    return tmp_path / name


def encoded(picture, kind, **more):
    out = io.BytesIO()
    picture.save(out, kind, **more)
    return out.getvalue()


def test_position_and_names_are_gone_and_the_time_is_told(tmp_path):
    data = photograph()
    before = Image.open(io.BytesIO(data)).getexif()
    assert before.get_ifd(0x8825)[2] == (51.0, 30.0, 12.0)
    assert OBSERVER.encode() in data
    anew = written_anew(laid(tmp_path, data))
    after = Image.open(io.BytesIO(anew.data))
    assert not after.getexif()
    assert not after.getexif().get_ifd(0x8825)
    assert "comment" not in after.info
    assert OBSERVER.encode() not in anew.data
    assert b"Exif" not in anew.data
    assert anew.taken == "2026-03-02T10:11:12"


def test_a_picture_is_turned_as_it_was_meant(tmp_path):
    # Orientation 6: row 0 is the right side (CIPA DC-008, tag 274; from memory, not seen): turned a quarter clockwise
    anew = written_anew(laid(tmp_path, photograph(80, 40, turned=6)))
    picture = Image.open(io.BytesIO(anew.data)).convert("RGB")
    assert picture.size == (anew.width_px, anew.height_px) == (40, 80)
    red, _, blue = picture.getpixel((35, 5))
    assert blue > red  # the blue corner, upper left in the file, is now upper right
    red, _, blue = picture.getpixel((5, 5))
    assert abs(red - 0x8A) < 12
    assert abs(blue - 0x76) < 12


def test_a_large_picture_is_made_smaller_and_keeps_its_shape(tmp_path):
    data = encoded(Image.new("RGB", (LONGEST_PX * 2, LONGEST_PX)), "JPEG")
    anew = written_anew(laid(tmp_path, data))
    assert (anew.width_px, anew.height_px) == (LONGEST_PX, LONGEST_PX // 2)


def test_a_small_picture_is_not_made_larger(tmp_path):
    assert written_anew(laid(tmp_path, photograph(30, 20))).width_px == 30


def test_the_colour_profile_goes_along(tmp_path):
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    anew = written_anew(laid(tmp_path, encoded(Image.new("RGB", (9, 9)), "JPEG", icc_profile=profile)))
    assert Image.open(io.BytesIO(anew.data)).info["icc_profile"] == profile


@pytest.mark.parametrize(
    ("mode", "kind", "suffix"),
    [("RGBA", "PNG", ".png"), ("P", "PNG", ".png"), ("1", "PNG", ".png"), ("I;16", "PNG", ".png"), ("L", "TIFF", ".jpg"),
     ("CMYK", "JPEG", ".jpg"), ("RGB", "WEBP", ".jpg"), ("RGB", "BMP", ".png"), ("RGBA", "WEBP", ".png")],
)  # fmt: skip
def test_every_usual_kind_of_picture(tmp_path, mode, kind, suffix):
    picture = Image.new("RGB", (6, 4), "#c08040").convert("L" if mode == "I;16" else mode)
    picture = picture.convert("I;16") if mode == "I;16" else picture
    if mode == "RGBA":
        picture.putalpha(128)
    anew = written_anew(laid(tmp_path, encoded(picture, kind), f"a.{kind.lower()}"))
    again = Image.open(io.BytesIO(anew.data))
    again.load()
    assert (anew.suffix, again.size) == (suffix, (6, 4))
    if mode in ("RGBA", "P", "RGB"):
        pairs = zip(again.convert("RGB").getpixel((3, 2)), picture.convert("RGB").getpixel((3, 2)), strict=True)
        assert max(abs(one - other) for one, other in pairs) < 6


def test_the_same_picture_gives_the_same_bytes(tmp_path):
    path = laid(tmp_path, photograph())
    assert written_anew(path) == written_anew(path)


def pages_of_a_scan():
    return encoded(Image.new("L", (5, 5)), "TIFF", save_all=True, append_images=[Image.new("L", (5, 5))])


@pytest.mark.parametrize(
    ("data", "name", "kind"),
    [
        (photograph(), "a.jpg", "picture"),
        (photograph(), "scan without a suffix", "picture"),
        (b"\xff\xd8\xff broken", "a.jpg", "unreadable"),
        (b"anything", "a.HEIC", "unreadable"),
        (b"\x00\x00\x00\x18ftypmp42", "film", "unreadable"),
        (pages_of_a_scan(), "scan.tif", "unreadable"),
        (b"%PDF-1.7 a letter", "letter.pdf", "other"),
        (b"plain words", "letter.txt", "other"),
        (b"", "empty", "other"),
    ],
)
def test_what_may_bear_a_position_is_told_from_papers(tmp_path, data, name, kind):
    path = laid(tmp_path, data, name)
    assert looked_at(path) == (kind, written_anew(path) if kind == "picture" else None)
