"""Looks at a photo that goes on file: is it a picture, and what is its SHA-256.

Only the first bytes are looked at, by the signatures that the formats' own papers give: JPEG (ISO/IEC
10918-1, markers SOI and the next), PNG (ISO/IEC 15948, 5.2), GIF (GIF89a, 17), TIFF 6.0 (section 2) and
the camera files built on it, WebP (RFC 9649, 2.4), BMP (Windows BITMAPFILEHEADER), JPEG XL (ISO/IEC
18181-2), HEIC and AVIF (ISO/IEC 14496-12, 4.3: the brand in the first box).
"""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

from fitup.model.amounts import clean
from fitup.model.refusal import Refused

_HEAD = 64
_SIGNATURES: tuple[tuple[str, bytes], ...] = (
    ("JPEG", b"\xff\xd8\xff"),
    ("PNG", b"\x89PNG\r\n\x1a\n"),
    ("GIF", b"GIF87a"),
    ("GIF", b"GIF89a"),
    ("TIFF", b"II*\x00"),
    ("TIFF", b"MM\x00*"),
    ("TIFF", b"II+\x00"),
    ("TIFF", b"MM\x00+"),
    ("JPEG XL", b"\xff\x0a"),
    ("JPEG XL", b"\x00\x00\x00\x0cJXL \r\n\x87\n"),
)
_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif", b"avis", b"crx "}
"""Brands of still pictures in a box file; a film has others."""


def picture_format(head: bytes) -> str | None:
    """Return the name of the picture format that a file's first bytes show, or None for no picture."""
    for name, signature in _SIGNATURES:
        if head.startswith(signature):
            return name
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "WebP"
    # a bitmap file names its own header's length, which no text that begins with BM does
    if head[:2] == b"BM" and head[14:18] in (b"\x0c\0\0\0", b"\x28\0\0\0", b"\x6c\0\0\0", b"\x7c\0\0\0"):
        return "BMP"
    if head[4:8] == b"ftyp":
        size = min(int.from_bytes(head[:4], "big"), len(head))
        brands = {head[8:12], *(head[place : place + 4] for place in range(16, size - 3, 4))}
        return "HEIC or AVIF" if brands & _BRANDS else None
    return None


def photo_digest(path: Path) -> str:
    """Return the SHA-256 of a photo; raises `Refused` where it cannot be read or is no picture."""
    name = clean(str(path))
    try:
        if path.exists() and not path.is_file() and not path.is_dir():
            raise Refused(f"the photo {name} is not an ordinary file; give the path of a file")
        with path.open("rb") as photo:
            head = photo.read(_HEAD)
            if picture_format(head) is None:
                what = "is empty" if not head else "is no picture"
                raise Refused(f"the photo {name} {what}; give a JPEG, PNG, HEIC, WebP, TIFF or other picture file")
            digest = sha256(head)
            while block := photo.read(1 << 20):
                digest.update(block)
            return digest.hexdigest()
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else "that is no file name"
        raise Refused(f"the photo {name} cannot be read: {why}; give the path of a file") from None
