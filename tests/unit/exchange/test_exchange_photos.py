"""Pictures are looked at before they are kept: too large, damaged, of another kind, or with a broken position."""

from __future__ import annotations

import contextlib
import datetime as dt
import random
import struct
import zlib
from pathlib import Path

import piexif
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from PIL import Image

from planner.domain.errors import InputError
from planner.domain.geo import Place
from planner.exchange import photo_ending, read_photo
from tests.unit.usecases.sheet_seasons import picture


def found(path: Path) -> str:
    """What is said of a picture that is refused."""
    with pytest.raises(InputError) as refused:
        read_photo(path)
    (fault,) = refused.value.faults
    assert fault.source == str(path)
    return f"{fault.expected}; {fault.found}; {fault.todo}"


@given(
    latitude=st.floats(-89.9, 89.9),
    longitude=st.floats(-179.9, 179.9),
    moment=st.integers(631_152_000, 4_102_444_800).map(lambda second: dt.datetime.fromtimestamp(second, dt.UTC)),
)
def test_that_position_and_moment_are_those_another_library_wrote(
    tmp_path_factory: pytest.TempPathFactory, latitude: float, longitude: float, moment: dt.datetime
) -> None:
    # Written by piexif.
    assume(abs(latitude) + abs(longitude) > 1e-6)
    path = tmp_path_factory.getbasetemp() / "camera.jpg"
    photo = read_photo(picture(path, Place(latitude, longitude), taken=moment))
    assert photo.place is not None
    assert photo.place.latitude == pytest.approx(latitude, abs=1e-8)
    assert photo.place.longitude == pytest.approx(longitude, abs=1e-8)
    assert (photo.taken, photo.said) == (f"{moment:%Y-%m-%d %H:%M:%S}", "")


def test_that_a_picture_without_exif_has_neither(tmp_path: Path) -> None:
    photo = read_photo(picture(tmp_path / "plain.jpg"))
    assert (photo.place, photo.taken, photo.said) == (None, "", "")


@pytest.mark.parametrize(("kind", "ending"), [("PNG", ".png"), ("WEBP", ".webp"), ("TIFF", ".tif"), ("JPEG", ".jpg")])
def test_that_a_picture_is_named_by_what_it_is(tmp_path: Path, kind: str, ending: str) -> None:
    path = tmp_path / "field.data"
    Image.new("RGB", (8, 8), "tan").save(path, kind)
    assert read_photo(path).name == f"field.data{ending}"
    right = path.rename(tmp_path / f"field{ending.upper()}")
    assert read_photo(right).name == f"field{ending.upper()}"
    assert photo_ending(right.name) == ending


def test_that_the_endings_of_one_kind_are_kept_as_one() -> None:
    assert [photo_ending(name) for name in ("a.JPEG", "b.jpg", "c.tiff", "d")] == [".jpg", ".jpg", ".tif", ""]


def test_that_a_picture_of_200_megabytes_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "huge.jpg"
    with path.open("wb") as file:
        file.truncate(200 * 2**20)  # a hole: it takes no room
    said = found(path)
    assert "at most 60 MB; 200 MB; It was not read." in said


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "an empty file"),
        (b"point,TH\n1,100\n", "something else"),
        (b"\0\0\0\x20ftypheic" + bytes(64), "HEIC or AVIF picture, which is not read here; Save or send it as JPEG"),
        (b"\xff\xd8\xff\xe0" + bytes(64), "something else"),
        (b"GIF89a" + bytes(32), "something else"),
    ],
)
def test_that_what_is_no_photo_is_said(tmp_path: Path, data: bytes, words: str) -> None:
    path = tmp_path / "photo.jpg"
    path.write_bytes(data)
    assert words in found(path)


def test_that_a_missing_picture_and_a_folder_are_said(tmp_path: Path) -> None:
    assert "No such file" in found(tmp_path / "gone.jpg")
    assert "directory" in found(tmp_path)


@pytest.mark.parametrize("size", [(1, 1), (7, 300), (300, 7)])
def test_that_a_picture_however_small_is_taken(tmp_path: Path, size: tuple[int, int]) -> None:
    path = tmp_path / "small.jpg"
    Image.new("RGB", size).save(path)
    assert read_photo(path).data == path.read_bytes()


@pytest.mark.parametrize(
    ("given", "kept"),
    [("r\u202egnp.exe.png", "rgnp.exe.png"), ("two\nlines\t.png", "two lines .png"), ("\u200b", "photo.png")],
)
def test_that_the_name_of_a_picture_is_kept_without_letters_that_hide_or_turn_it(
    tmp_path: Path, given: str, kept: str
) -> None:
    path = tmp_path / given
    Image.new("RGB", (9, 9)).save(path, "PNG")
    assert read_photo(path).name == kept


def _noise(path: Path, kind: str) -> bytes:
    image = Image.frombytes("RGB", (64, 64), random.Random(1).randbytes(64 * 64 * 3))
    image.save(
        path, kind, exif=piexif.dump({"GPS": {}, "Exif": {piexif.ExifIFD.DateTimeOriginal: "2027:05:14 21:07:33"}})
    )
    return path.read_bytes()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_that_half_a_picture_is_said_to_be_damaged(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "half.jpg"
    data = _noise(path, kind)
    path.write_bytes(data[: len(data) // 2])
    assert "a damaged picture, or half of one" in found(path)


def test_that_a_picture_that_would_swell_is_refused(tmp_path: Path) -> None:
    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    for side in (12_000, 60_000):  # beyond what Pillow warns of, and what it refuses
        header = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
        path = tmp_path / f"{side}.png"
        path.write_bytes(
            b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"0")) + chunk(b"IEND", b"")
        )
        assert "million pixels; more than that" in found(path)


def _with_gps(path: Path, gps: dict[int, object], taken: str = "2027:05:14 21:07:33") -> Path:
    exif = piexif.dump({"GPS": gps, "Exif": {piexif.ExifIFD.DateTimeOriginal: taken}})
    Image.new("RGB", (8, 8)).save(path, "JPEG", exif=exif)
    return path


GPS = piexif.GPSIFD
NORTH = ((51, 1), (0, 1), (0, 1))


@pytest.mark.parametrize(
    "gps",
    [
        {GPS.GPSLatitude: NORTH, GPS.GPSLatitudeRef: "N"},
        {GPS.GPSLatitude: NORTH, GPS.GPSLatitudeRef: "X", GPS.GPSLongitude: NORTH, GPS.GPSLongitudeRef: "E"},
        {
            GPS.GPSLatitude: ((91, 1), (0, 1), (0, 1)),
            GPS.GPSLatitudeRef: "N",
            GPS.GPSLongitude: NORTH,
            GPS.GPSLongitudeRef: "E",
        },
        {
            GPS.GPSLatitude: ((51, 0), (0, 1), (0, 1)),
            GPS.GPSLatitudeRef: "N",
            GPS.GPSLongitude: NORTH,
            GPS.GPSLongitudeRef: "E",
        },
        {GPS.GPSLatitude: ((51, 1),), GPS.GPSLatitudeRef: "N", GPS.GPSLongitude: NORTH, GPS.GPSLongitudeRef: "E"},
    ],
)
def test_that_a_damaged_position_is_said_and_the_picture_taken(tmp_path: Path, gps: dict[int, object]) -> None:
    photo = read_photo(_with_gps(tmp_path / "camera.jpg", gps))
    assert photo.place is None
    assert photo.said == "the position that the camera wrote into it is damaged"
    assert photo.taken == "2027-05-14 21:07:33"


def test_that_the_zeros_of_a_camera_without_a_fix_are_no_position(tmp_path: Path) -> None:
    zero = ((0, 1), (0, 1), (0, 1))
    gps: dict[int, object] = {
        GPS.GPSLatitude: zero,
        GPS.GPSLatitudeRef: "N",
        GPS.GPSLongitude: zero,
        GPS.GPSLongitudeRef: "E",
    }
    photo = read_photo(_with_gps(tmp_path / "camera.jpg", gps, "0000:00:00 00:00:00"))
    assert (photo.place, photo.said, photo.taken) == (None, "", "")


def test_that_a_picture_with_bytes_turned_is_taken_or_refused_in_words(tmp_path: Path) -> None:
    chance = random.Random(4)
    for kind in ("JPEG", "PNG", "WEBP", "TIFF"):
        data = _noise(tmp_path / "whole", kind)
        for _ in range(60):
            turned = bytearray(data)
            for _ in range(chance.randint(1, 6)):
                turned[chance.randrange(min(len(turned), 600))] = chance.randrange(256)
            path = tmp_path / "turned"
            path.write_bytes(turned)
            with contextlib.suppress(InputError):
                read_photo(path)
