"""Font files: two of Debian's, and ones made from them."""

import struct
from pathlib import Path

# Ideographs, kana and Korean syllables, with TrueType outlines: package fonts-droid-fallback.
IDEOGRAPHS = Path("/usr/share/fonts-droid-fallback/truetype/DroidSansFallback.ttf")
# Signs of position, profile and cylindricity, with CFF outlines: package fonts-stix.
SIGNS = Path("/usr/share/fonts/opentype/stix/STIXGeneral-Regular.otf")


def _tables(font: bytes) -> list[tuple[int, bytes, int]]:
    """Place of each entry of the table directory, its tag and the offset of its table."""
    (count,) = struct.unpack_from(">H", font, 4)
    places = range(12, 12 + 16 * count, 16)
    return [(at, font[at : at + 4], struct.unpack_from(">I", font, at + 8)[0]) for at in places]


def with_permissions(font: bytes, bits: int) -> bytes:
    """The font with other permissions: fsType is at byte 8 of the table OS/2."""
    (table,) = [offset for _, tag, offset in _tables(font) if tag == b"OS/2"]
    return font[: table + 8] + struct.pack(">H", bits) + font[table + 10 :]


def collection(*fonts: bytes) -> bytes:
    """A font collection (OpenType 1.9, "Font collections") of whole fonts, one after the other."""
    header = 12 + 4 * len(fonts)
    offsets, body = [], b""
    for font in fonts:
        begin = header + len(body)
        moved = bytearray(font)
        for at, _, offset in _tables(font):
            struct.pack_into(">I", moved, at + 8, begin + offset)
        offsets.append(begin)
        body += bytes(moved) + bytes(-len(font) % 4)
    return struct.pack(f">4sHHI{len(fonts)}I", b"ttcf", 1, 0, len(fonts), *offsets) + body
