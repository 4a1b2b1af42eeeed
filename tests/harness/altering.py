"""Signed files with something changed."""

import io
import random

from pyhanko.pdf_utils.generic import pdf_name, pdf_string
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

from harness.signatures import parts

HEX = b"0123456789ABCDEF"


def changed(content: bytes, place: int, chance: random.Random) -> bytes:
    """The file with one byte changed; a digit of the signature to another digit."""
    begin, end, _ = parts(content)
    old = content[place]
    others = HEX if begin < place < end - 1 else range(256)
    is_same = {old, ord(chr(old).lower()), ord(chr(old).upper())} if others is HEX else {old}
    new = chance.choice([byte for byte in others if byte not in is_same])
    return content[:place] + bytes([new]) + content[place + 1 :]


def regions(content: bytes) -> dict[str, range]:
    """Parts of the file that a byte is changed in."""
    begin, end, _ = parts(content)
    # A sequence whose length takes two bytes (X.690, 8.1.3): 30 82 xx xx.
    assert content[begin : begin + 5] == b"<3082"
    length = int(content[begin + 5 : begin + 9], 16)
    ranges = content.index(b"/ByteRange[")
    catalog = content.index(b"/AcroForm")
    return {
        "anywhere before the signature": range(0, begin),
        "the header": range(0, 12),
        "the text of a page": range(content.index(b"stream\n") + 7, content.index(b"stream\n") + 2000),
        "an attached file": range(content.index(b"/EmbeddedFile"), content.index(b"/EmbeddedFile") + 600),
        "the catalogue": range(catalog, catalog + 40),
        "name, time and reason": range(content.index(b"/Type/Sig/"), ranges),
        "the range of bytes": range(ranges, begin),
        "the certificates": range(begin + 1, begin + 1 + 2 * length - 200),
        # ECDSA of P-256 (RFC 5753): 64 bytes and what frames them, the last of the message.
        "the signature": range(begin + 1 + 2 * (length + 4) - 100, begin + 1 + 2 * (length + 4)),
        "after the signature": range(end, len(content)),
        "the end": range(len(content) - 8, len(content)),
    }


def with_update(content: bytes) -> bytes:
    """An incremental update as pyHanko writes it: the title is another."""
    writer = IncrementalPdfFileWriter(io.BytesIO(content))
    writer.trailer["/Info"][pdf_name("/Title")] = pdf_string("RELEASED")
    writer.update_container(writer.trailer["/Info"])
    out = io.BytesIO()
    writer.write(out)
    assert out.getvalue().startswith(content) and len(out.getvalue()) > len(content) + 100
    return out.getvalue()
