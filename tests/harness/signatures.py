"""Signatures in files, seen by programs that share no code with ours: poppler's pdfsig on NSS, and pyHanko."""

import asyncio
import io
import re
import subprocess
from dataclasses import dataclass
from pathlib import Path

from asn1crypto import pem, x509
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation import SignatureCoverageLevel, validate_pdf_signature
from pyhanko.sign.validation.ades import ades_basic_validation, ades_with_time_validation
from pyhanko.sign.validation.policy_decl import (
    RevinfoOnlineFetchingRule,
    RevocationInfoGatheringSpec,
    SignatureValidationSpec,
)
from pyhanko_certvalidator import ValidationContext
from pyhanko_certvalidator.context import CertValidationPolicySpec
from pyhanko_certvalidator.policy_decl import CertRevTrustPolicy, RevocationCheckingPolicy
from pyhanko_certvalidator.registry import SimpleTrustManager


def certificates(text: bytes | str) -> list[x509.Certificate]:
    """The certificates of a PEM text (RFC 7468)."""
    content = text.encode() if isinstance(text, str) else text
    return [x509.Certificate.load(der) for _, _, der in pem.unarmor(content, multiple=True)]


def parts(content: bytes) -> tuple[int, int, int]:
    """Where the signature in hexadecimal digits begins and ends, with its brackets, and how much follows.

    ISO 32000-1, 12.8.1: /ByteRange.
    """
    ranges = re.search(rb"/ByteRange\[(\d+) (\d+) (\d+) (\d+) *\]", content)
    zero, begin, end, rest = map(int, ranges.groups())
    assert zero == 0
    return begin, end, rest


class Poppler:
    """pdfsig with a database of its own, in which these authorities are trusted."""

    def __init__(self, directory: Path, *authorities: bytes | str):
        directory.mkdir()
        self.directory, self.database = directory, f"sql:{directory}"
        self._certutil("-N", "--empty-password")
        for number, authority in enumerate(a for text in authorities for a in certificates(text)):
            path = directory / f"authority-{number}.der"
            path.write_bytes(authority.dump())
            self._certutil("-A", "-n", f"authority {number}", "-t", "C,C,C", "-i", str(path))

    def _certutil(self, *arguments: str) -> None:
        command = ["certutil", "-d", self.database, *arguments]
        subprocess.run(command, check=True, capture_output=True, timeout=60)

    def says(self, content: bytes) -> str:
        path = self.directory / "seen.pdf"
        path.write_bytes(content)
        command = ["pdfsig", "-nssdir", self.database, str(path)]
        return subprocess.run(command, capture_output=True, timeout=120).stdout.decode(errors="replace")

    def is_valid(self, content: bytes, trusted: bool = True) -> bool:
        """One valid signature over the whole file, by somebody who is trusted."""
        said = self.says(content)
        wanted = ["Signature is Valid.", "Total document signed"] + ["Certificate is Trusted."] * trusted
        return said.count("Signature #") == 1 and all(words in said for words in wanted)


@dataclass
class Seen:
    """What pyHanko finds of a signature."""

    is_whole: bool
    """Intact, valid, and over the whole file."""
    trusted: bool
    ades: str
    """What PAdES basic validation comes to (ETSI EN 319 102-1)."""
    status: object


def hanko(content: bytes, authority: bytes | str, timestamps: bytes | str | None = None) -> Seen:
    """The signature of a file as pyHanko sees it, with these as the only roots."""
    (signature,) = PdfFileReader(io.BytesIO(content)).embedded_signatures
    context = ValidationContext(trust_roots=certificates(authority), allow_fetching=False, revocation_mode="soft-fail")
    of_time = timestamps and ValidationContext(trust_roots=certificates(timestamps), allow_fetching=False)
    # Whether what was appended matters is not asked: nothing may be.
    status = validate_pdf_signature(signature, context, ts_validation_context=of_time, skip_diff=True)
    whole = status.coverage == SignatureCoverageLevel.ENTIRE_FILE and status.intact and status.valid
    signature.compute_integrity_info(skip_diff=True)
    specification = SignatureValidationSpec(
        _trusting(authority),
        ts_cert_validation_policy=_trusting(timestamps) if timestamps else None,
        revinfo_gathering_policy=RevocationInfoGatheringSpec(RevinfoOnlineFetchingRule.LOCAL_ONLY),
    )
    validate = ades_with_time_validation if timestamps else ades_basic_validation
    found = asyncio.run(validate(signature.signed_data, specification, raw_digest=signature.compute_digest()))
    return Seen(bool(whole), status.trusted, str(found.ades_subindic), status)


def _trusting(roots: bytes | str) -> CertValidationPolicySpec:
    return CertValidationPolicySpec(
        trust_manager=SimpleTrustManager.build(trust_roots=certificates(roots)),
        revinfo_policy=CertRevTrustPolicy(RevocationCheckingPolicy.from_legacy("soft-fail")),
    )


def hanko_accepts(content: bytes, authority: bytes | str) -> bool:
    """Whether pyHanko reads the file, and finds one good signature by somebody trusted over all of it."""
    try:
        seen = hanko(content, authority)
    except Exception:
        # Whatever it cannot make sense of it does not accept.
        return False
    return seen.is_whole and seen.trusted and seen.ades == "AdESPassed.OK"
