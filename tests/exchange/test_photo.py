"""Photos as a record keeps them: no place in them unless it is asked for, the picture untouched, bad files refused.

Tags by number as in Exif (CIPA DC-008; from memory, not seen): 0x8825 is the GPS directory, 0x9003 the time of taking,
0x9011 its offset, 0x927C the maker's note. Pillow decodes the pictures here; the code under test encodes no JPEG with it.
"""

from __future__ import annotations

import io
import struct

import pytest
from PIL import Image

from bodymap.errors import BodymapError
from bodymap.exchange.photo import MOST_MB, prepared
from bodymap.exchange.pictures import written_anew

PLACE = {1: "N", 2: (52.0, 31.0, 7.0), 3: "E", 4: (13.0, 24.0, 37.0)}
XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf exif:GPSLatitude="52,31.12N"/></x:xmpmeta>'


def noise(size=(160, 120)) -> Image.Image:
    return Image.effect_noise(size, 80).convert("RGB")


def exif(place=True, taken="2025:10:06 14:03:22", offset="+02:00") -> Image.Exif:
    tags = Image.Exif()
    tags[0x0112], tags[0x010F] = 6, "a camera"
    tags[0x8769] = {0x9003: taken, 0x9011: offset, 0x927C: b"hidden note 52.5186"}
    if place:
        tags[0x8825] = PLACE
    read_back = Image.Exif()
    read_back.load(tags.tobytes())
    return read_back


def saved(form: str, picture: Image.Image | None = None, **how) -> bytes:
    out = io.BytesIO()
    (picture or noise()).save(out, form, **how)
    return out.getvalue()


def read(data: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(data))
    picture.load()
    return picture


@pytest.mark.parametrize("progressive", [False, True])
def test_a_jpeg_loses_its_place_and_keeps_every_pixel_its_time_and_which_way_is_up(progressive):
    data = saved("JPEG", exif=exif(), xmp=XMP, comment=b"taken at 52.5186 N", quality=83, progressive=progressive)
    assert read(data).getexif().get_ifd(0x8825), "the specimen has a place"
    photo = prepared(data + b"what a telephone hangs on: 52.5186")
    after = read(photo.data)
    assert (photo.had_place, photo.kept_place, photo.suffix) == (True, False, ".jpg")
    assert not after.getexif().get_ifd(0x8825)
    assert 0x927C not in after.getexif().get_ifd(0x8769)
    for word in (b"GPS", b"52.5186", b"52,31", b"hidden note"):
        assert word not in photo.data
    assert after.tobytes() == read(data).tobytes(), "the coded picture is not touched"
    assert after.getexif()[0x0112] == 6
    assert photo.taken == "2025-10-06T14:03:22+02:00"


def test_the_place_stays_where_it_is_asked_for_and_then_the_file_is_the_same_to_the_byte():
    data = saved("JPEG", exif=exif())
    photo = prepared(data, keep_place=True)
    assert photo.data == data
    assert photo.kept_place


def test_a_photo_without_a_place_says_so():
    photo = prepared(saved("JPEG", exif=exif(place=False)), keep_place=True)
    assert (photo.had_place, photo.kept_place) == (False, False)


@pytest.mark.parametrize("form", ["PNG", "WEBP", "TIFF"])
def test_other_pictures_come_out_as_png_upright_and_without_a_place(form):
    picture = noise((80, 40))
    how = {"lossless": True, "exact": True} if form == "WEBP" else {}
    photo = prepared(saved(form, picture, exif=exif(), **how))
    after = read(photo.data)
    assert photo.suffix == ".png"
    assert photo.had_place
    assert not dict(after.getexif())
    # Orientation 6: the camera was turned; upright it is turned a quarter to the right (Exif, tag 0x0112; from memory).
    assert after.tobytes() == picture.rotate(-90, expand=True).tobytes()


def test_a_colour_profile_stays_for_colours_are_evidence():
    from PIL import ImageCms

    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    assert read(prepared(saved("JPEG", icc_profile=profile)).data).info["icc_profile"] == profile


@pytest.mark.parametrize(
    ("taken", "offset", "told"),
    [
        ("2025:10:06 14:03:22", "", "2025-10-06T14:03:22"),
        ("2025:10:06 14:03:22", "local", "2025-10-06T14:03:22"),
        ("0000:00:00 00:00:00", "+02:00", None),
        ("    :  :     :  :  ", "", None),
    ],
)
def test_a_time_that_is_none_is_not_stated(taken, offset, told):
    assert prepared(saved("JPEG", exif=exif(taken=taken, offset=offset))).taken == told


@pytest.mark.parametrize(
    "data",
    [b"", b"no picture at all", b"%PDF-1.7 a paper", saved("JPEG")[:700], saved("PNG")[:2000], b"\xff\xd8\xff\xe1\x00\x02"],
    ids=["nothing", "words", "a paper", "half a JPEG", "half a PNG", "a head alone"],
)
def test_what_is_no_whole_picture_is_refused_in_words(data):
    with pytest.raises(BodymapError, match="found no picture that can be read, or one cut off; allowed: a photo or scan"):
        prepared(data)


def page_without_a_size():
    """A TIFF whose second page says no width and no height (found by fuzzing): IFDs by TIFF 6.0, section 2."""
    data = bytearray(saved("TIFF"))
    (at,) = struct.unpack_from("<I", data, 4)
    (count,) = struct.unpack_from("<H", data, at)
    data += bytes(len(data) % 2)
    one_tag = struct.pack("<HHHIII", 1, 0x0103, 3, 1, 1, 0)
    struct.pack_into("<I", data, at + 2 + 12 * count, len(data))
    return bytes(data) + one_tag


def test_a_page_without_a_size_is_refused_in_words(tmp_path):
    with pytest.raises(BodymapError, match="found no picture that can be read"):
        prepared(page_without_a_size())
    path = tmp_path / "page.tif"
    path.write_bytes(page_without_a_size())
    assert written_anew(path) is None


def test_of_a_telephones_pair_of_pictures_the_first_is_kept_and_nothing_rides_along():
    first, second = noise(), noise((40, 30))
    data = saved("MPO", first, save_all=True, append_images=[second], exif=exif())
    photo = prepared(data)
    assert photo.suffix == ".jpg"
    assert len(photo.data) < len(data) - len(saved("JPEG", second)) / 2
    after = read(photo.data)
    assert after.format == "JPEG"
    assert after.tobytes() == read(data).tobytes()
    assert b"MPF" not in photo.data


def test_a_page_description_is_no_picture_for_it_would_run_as_a_program():
    with pytest.raises(BodymapError, match="found no picture"):
        prepared(saved("EPS"))


def test_too_large_a_file_is_refused_with_both_figures():
    with pytest.raises(BodymapError, match=r"found 26\.0 MB; allowed: up to 25 MB"):
        prepared(b"\xff\xd8" + bytes((MOST_MB + 1) * 1_000_000 - 2))


def test_several_pictures_in_one_file_are_refused_so_that_none_is_lost():
    pages = [noise(), noise()]
    with pytest.raises(BodymapError, match="found 2 pictures in one file"):
        prepared(saved("TIFF", pages[0], save_all=True, append_images=pages[1:]))
