"""Signatures by somebody who is nobody of the shop, made with pyHanko."""

import asyncio
import hashlib
import io

from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import signers
from pyhanko.sign.fields import SigSeedSubFilter

from harness.certificates import Made
from harness.signatures import parts


def signer(one: Made) -> signers.SimpleSigner:
    above = [str(path) for path in one.above]
    return signers.SimpleSigner.load(str(one.key), str(one.certificate), ca_chain_files=above)


def signed_over(content: bytes, one: Made, pades: bool = True, field: str = "Signature1") -> bytes:
    """The file with a signature, or a further one, in an incremental update."""
    kind = SigSeedSubFilter.PADES if pades else SigSeedSubFilter.ADOBE_PKCS7_DETACHED
    metadata = signers.PdfSignatureMetadata(field_name=field, subfilter=kind, md_algorithm="sha256")
    out = io.BytesIO()
    writer = IncrementalPdfFileWriter(io.BytesIO(content))
    signers.PdfSigner(metadata, signer(one)).sign_pdf(writer, output=out)
    return out.getvalue()


def put_in(content: bytes, der: bytes) -> bytes:
    """The signed file with another signature in the place of its own."""
    begin, end, _ = parts(content)
    digits = der.hex().encode().ljust(end - begin - 2, b"0")
    assert len(digits) == end - begin - 2, "there is no room for it"
    return content[: begin + 1] + digits + content[end - 1 :]


def signed_instead(content: bytes, one: Made) -> bytes:
    """The signed file, signed by this one instead: a signature that is right for every byte of it."""
    begin, end, _ = parts(content)
    digest = hashlib.sha256(content[:begin] + content[end:]).digest()
    made = asyncio.run(signer(one).async_sign(digest, "sha256", use_pades=True))
    return put_in(content, made.dump())
