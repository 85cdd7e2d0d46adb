"""Pictures that people took at their points: looked at before they are kept, and where and when they were taken."""

from __future__ import annotations

import datetime as dt
import hashlib
import math
import os
import struct
import warnings
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from numbers import Rational
from pathlib import Path

from PIL import ExifTags, Image, UnidentifiedImageError

from planner.domain.errors import InputError, RuleError
from planner.domain.geo import Place
from planner.exchange.faults import refused
from planner.exchange.letters import unkept_letter, unseen_letter
from planner.exchange.source_text import opened

MOST_PHOTO_BYTES = 60 * 1024 * 1024
"""A telephone's largest pictures come to about half of it; our own bound."""
KINDS = ("JPEG", "PNG", "WEBP", "TIFF")
ENDINGS = {"JPEG": ".jpg", "MPO": ".jpg", "PNG": ".png", "WEBP": ".webp", "TIFF": ".tif"}
"""What Pillow calls the pictures that are kept, and the ending of each; MPO is a JPEG with a second picture in it."""
WANTED = "a photo (JPEG, PNG, WebP or TIFF)"
_APPLE = {b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif"}
"""Brands of ISO base media files (ISO/IEC 14496-12, in bytes 8 to 11) that hold pictures Pillow does not read."""
_BROKEN = (
    OSError,
    SyntaxError,
    ValueError,
    TypeError,
    KeyError,
    IndexError,
    AttributeError,
    ArithmeticError,
    EOFError,
    RuntimeError,
    MemoryError,
    struct.error,
)
"""What Pillow is known to raise on pictures that are cut off or made up."""
_LOOKED_AT_SHARE = 8
"""JPEG pictures are decoded at an eighth of their size to see that they are whole: 1/64 of the memory."""


@dataclass(frozen=True, slots=True)
class PhotoFile:
    """A picture that was looked at and is whole."""

    data: bytes
    content_hash: str
    """SHA-256, in hexadecimal."""
    name: str
    """What the file is called, with the ending of its kind."""
    place: Place | None
    """Where the camera says it was, as Exif has it (WGS84); None: it does not say."""
    taken: str
    """When the camera says it was: '2027-05-14 21:07:33', without a time zone; empty: it does not say."""
    said: str = ""
    """What could not be read of it, in words."""
    uncertain_m: float | None = None
    """How far off the camera says its position may be; None: it does not say."""


def read_photo(path: Path) -> PhotoFile:
    """Read a picture that is handed in; one larger than 60 MB is not read at all.

    Raises:
        InputError: it is missing, no file, too large, of another kind, damaged, or of too many pixels.
    """
    data = _bytes(path)
    if data[4:8] == b"ftyp" and data[8:12] in _APPLE:
        todo = "Save or send it as JPEG (a telephone calls it 'most compatible'), and choose that."
        raise refused(path, "", WANTED, "a HEIC or AVIF picture, which is not read here", todo)
    Image.init()
    with _looked_at(path):
        with Image.open(BytesIO(data), formats=KINDS) as image:
            _refuse_cut_off(image)
            kind = image.format or ""
        with Image.open(BytesIO(data), formats=KINDS) as image:
            told = _of_camera(image)
    code = hashlib.sha256(data).hexdigest()
    return PhotoFile(data, code, _name(path, kind), told.place, told.taken, told.said, told.uncertain_m)


def photo_ending(name: str) -> str:
    """Return the ending that a picture of that name is kept with."""
    ending = Path(name).suffix.casefold()
    return {".jpeg": ".jpg", ".jpe": ".jpg", ".tiff": ".tif"}.get(ending, ending)


def _bytes(path: Path) -> bytes:
    with opened(path, WANTED) as file:
        size = os.fstat(file.fileno()).st_size
        if size > MOST_PHOTO_BYTES:
            expected = f"{WANTED} of at most {MOST_PHOTO_BYTES // 2**20} MB"
            todo = "It was not read. Save it smaller, as JPEG, and choose that."
            raise refused(path, "", expected, f"{size / 2**20:.0f} MB", todo)
        data = file.read(MOST_PHOTO_BYTES + 1)
    if not data:
        raise refused(path, "", WANTED, "an empty file", "Copy it from the camera again.")
    return data


@contextmanager
def _looked_at(path: Path) -> Iterator[None]:
    """Say in words what Pillow finds wrong with a picture.

    It warns of pictures of more pixels than it takes for harmless: those are refused. What else it warns of concerns
    what the camera wrote into a picture, and is found again where that is read.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            yield
    except InputError:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        most = f"{WANTED} of at most {(Image.MAX_IMAGE_PIXELS or 0) // 1_000_000} million pixels"
        raise refused(path, "", most, "more than that", "Save it smaller, and choose that.") from error
    except UnidentifiedImageError as error:
        raise refused(path, "", WANTED, "something else", "Choose the picture itself.") from error
    except _BROKEN as error:
        todo = "Copy it from the camera again, or leave it out."
        raise refused(path, "", WANTED, "a damaged picture, or half of one", todo) from error


def _refuse_cut_off(image: Image.Image) -> None:
    """Go through the whole picture once: what is cut off, or was made to look like a picture, shows then."""
    if image.format == "PNG":
        image.verify()
        return
    image.draft("RGB", (max(1, image.width // _LOOKED_AT_SHARE), max(1, image.height // _LOOKED_AT_SHARE)))
    image.load()


def _name(path: Path, kind: str) -> str:
    """Return what a picture is called, without what would break a line or turn the direction of reading."""
    kept = "".join(letter for letter in path.name if not (unkept_letter(letter) or unseen_letter(letter)))
    name, ending = " ".join(kept.split()) or "photo", ENDINGS[kind]
    return name if photo_ending(name) == ending else f"{name}{ending}"


@dataclass(frozen=True, slots=True)
class _Told:
    """What the camera wrote into a picture."""

    place: Place | None = None
    taken: str = ""
    said: str = ""
    """What of that could not be read."""
    uncertain_m: float | None = None


def _of_camera(image: Image.Image) -> _Told:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            exif = image.getexif()
            own, position = exif.get_ifd(ExifTags.IFD.Exif), exif.get_ifd(ExifTags.IFD.GPSInfo)
        taken = _moment(own.get(ExifTags.Base.DateTimeOriginal) or exif.get(ExifTags.Base.DateTime))
    except (*_BROKEN, UserWarning):
        return _Told(said="what the camera wrote into it is damaged, so where it was taken is not known")
    try:
        return _Told(_place(position), taken, uncertain_m=_uncertain_m(position.get(ExifTags.GPS.GPSHPositioningError)))
    except _BROKEN:
        return _Told(taken=taken, said="the position that the camera wrote into it is damaged")


def _uncertain_m(error: object) -> float | None:
    """Return the horizontal error of a position in metres (CIPA DC-008, tag 31); None where it is not said."""
    metres = float(error) if isinstance(error, int | float | Rational) else math.nan
    return metres if math.isfinite(metres) and metres > 0.0 else None


def _moment(text: object) -> str:
    """Return an Exif moment ('2027:05:14 21:07:33') as people write it; empty for anything else."""
    date, _, time = str(text).strip("\0 ").partition(" ")
    try:
        return str(dt.datetime.fromisoformat(f"{date.replace(':', '-')} {time}"))
    except ValueError:
        return ""


def _place(position: Mapping[int, object]) -> Place | None:
    """Return an Exif position (CIPA DC-008, GPS IFD); None where there is none, or the zeros of a camera without a fix.

    Raises:
        ValueError: it is half there, or no position on the earth.
    """
    tags = ExifTags.GPS
    wanted = (tags.GPSLatitude, tags.GPSLatitudeRef, tags.GPSLongitude, tags.GPSLongitudeRef)
    if not any(tag in position for tag in wanted):
        return None
    values = [position.get(tag) for tag in wanted]
    latitude, longitude = _degrees(values[0], values[1], "NS"), _degrees(values[2], values[3], "EW")
    if latitude == longitude == 0.0:
        return None
    return Place(latitude, longitude)


def _degrees(parts: object, letter: object, letters: str) -> float:
    word = str(letter).strip("\0 ").upper()
    if not isinstance(parts, tuple):
        raise RuleError("no angle that Exif knows")
    degrees, minutes, seconds = (float(part) for part in parts)
    angle = degrees + minutes / 60.0 + seconds / 3600.0
    if word not in tuple(letters) or not math.isfinite(angle) or min(degrees, minutes, seconds) < 0.0:
        raise RuleError("no angle that Exif knows")
    return angle if word == letters[0] else -angle
