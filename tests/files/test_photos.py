"""Which files are taken for pictures: made by other programs' own writers, and by the formats' papers."""

from __future__ import annotations

import struct
import zlib
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.files.photos import photo_digest, picture_format
from fitup.model.refusal import Refused


def _png() -> bytes:
    """One grey pixel, put together as ISO/IEC 15948 says."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(b"\0\x80")) + chunk(b"IEND", b"")


PICTURES = [
    ("PNG", _png()),
    ("JPEG", b"\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x01"),
    ("JPEG", b"\xff\xd8\xff\xe1\x00\x18Exif\x00\x00"),
    ("GIF", b"GIF89a\x01\x00\x01\x00"),
    ("TIFF", b"II*\x00\x08\x00\x00\x00"),
    ("TIFF", b"MM\x00*\x00\x00\x00\x08"),
    ("WebP", b"RIFF\x24\x00\x00\x00WEBPVP8 "),
    ("BMP", b"BM" + bytes(12) + b"\x28\x00\x00\x00"),
    ("HEIC or AVIF", b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"),
    ("HEIC or AVIF", b"\x00\x00\x00\x18ftypXXXX\x00\x00\x00\x00mif1heic"),
    ("HEIC or AVIF", b"\x00\x00\x00\x1cftypavif\x00\x00\x00\x00avifmif1miaf"),
]


@pytest.mark.parametrize(("name", "head"), PICTURES)
def test_the_formats_that_cameras_and_telephones_write_are_pictures(name: str, head: bytes) -> None:
    assert picture_format(head) == name


@pytest.mark.parametrize(
    "head",
    [
        b"",
        b"fitup = 1\n",
        b"BMW is not a bitmap, nor is this text",
        b"%PDF-1.7",
        b"PK\x03\x04",
        b"SQLite format 3\x00",
        b"RIFF\x24\x00\x00\x00WAVEfmt ",
        b"\x00\x00\x00\x18ftypmp42\x00\x00\x00\x00isommp42",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
    ],
)
def test_what_else_lies_about_on_a_disk_is_no_picture(head: bytes) -> None:
    assert picture_format(head) is None


@settings(deadline=None)
@given(st.text(max_size=80))
def test_no_text_is_a_picture_unless_it_begins_like_one(text: str) -> None:
    assert picture_format(text.encode()) is None or text.startswith(("GIF", "BM", "II", "MM", "RIFF")) or "ftyp" in text


def test_a_picture_is_read_whole_for_its_digest(tmp_path: Path) -> None:
    big = _png() + bytes(3 << 20)
    (tmp_path / "a.png").write_bytes(big)
    assert photo_digest(tmp_path / "a.png") == sha256(big).hexdigest()


@pytest.mark.parametrize(("content", "says"), [(b"", "is empty"), (b"hello", "is no picture")])
def test_a_file_that_is_no_picture_is_refused_in_one_sentence(tmp_path: Path, content: bytes, says: str) -> None:
    (tmp_path / "a.jpg").write_bytes(content)
    with pytest.raises(Refused, match=says) as refused:
        photo_digest(tmp_path / "a.jpg")
    assert "\n" not in str(refused.value)
