"""Certificates made with openssl, as a shop may have them from elsewhere."""

import subprocess
from dataclasses import dataclass
from pathlib import Path

KINDS = {"p-256": ["ec", "-pkeyopt", "ec_paramgen_curve:P-256"], "rsa-2048": ["rsa:2048"]}
AUTHORITY = ["basicConstraints=critical,CA:TRUE", "keyUsage=critical,keyCertSign,cRLSign,digitalSignature"]
PERSON = ["basicConstraints=critical,CA:FALSE", "keyUsage=critical,digitalSignature,nonRepudiation"]
TIMESTAMPS = ["keyUsage=critical,digitalSignature", "extendedKeyUsage=critical,timeStamping"]
PASSWORD = "geheim ß"


def openssl(*arguments: object, **options) -> bytes:
    command = ["openssl", *map(str, arguments)]
    finished = subprocess.run(command, capture_output=True, timeout=120, **options)
    assert finished.returncode == 0, f"{command}: {finished.stderr.decode()}"
    return finished.stdout


@dataclass
class Made:
    """A key and its certificate, with those above it."""

    key: Path
    certificate: Path
    above: tuple[Path, ...] = ()

    @property
    def pem(self) -> bytes:
        return self.certificate.read_bytes()

    @property
    def chain(self) -> bytes:
        return b"".join(path.read_bytes() for path in (self.certificate, *self.above))

    def as_pem(self, password: str | None = None) -> Path:
        """Everything in one PEM file, the key encrypted if there is a password (RFC 7468, RFC 5958)."""
        path = self.key.with_suffix(".all.pem")
        locked = ["-passout", f"pass:{password}"] if password else ["-nocrypt"]
        key = openssl("pkcs8", "-topk8", "-in", self.key, *locked)
        path.write_bytes(key + self.chain)
        return path

    def as_pkcs12(self, password: str = PASSWORD, *options: str, with_key: bool = True) -> Path:
        """The same as PKCS#12 (RFC 7292)."""
        path, above = self.key.with_suffix(".p12"), self.key.with_suffix(".above.pem")
        above.write_bytes(b"".join(one.read_bytes() for one in self.above))
        command = ["pkcs12", "-export", "-in", self.certificate, "-out", path, "-passout", f"pass:{password}", *options]
        command += ["-inkey", self.key] if with_key else ["-nokeys"]
        openssl(*command, *(["-certfile", above] if self.above else []))
        return path


def made(
    directory: Path,
    name: str,
    extensions: list[str],
    by: Made | None = None,
    kind: str = "p-256",
    organisation: str = "An Invented Authority",
) -> Made:
    """A certificate for a name: by itself, or under another one."""
    directory.mkdir(exist_ok=True)
    stem = "".join(letter if letter.isalnum() else "-" for letter in f"{name} {kind}")
    key, certificate = directory / f"{stem}.key", directory / f"{stem}.pem"
    subject = f"/CN={name}/O={organisation}"
    command = ["req", "-x509", "-utf8", "-newkey", *KINDS[kind], "-noenc", "-keyout", key, "-out", certificate]
    command += ["-subj", subject, "-sha256", "-days", 30]
    for extension in extensions:
        command += ["-addext", extension]
    if by is not None:
        command += ["-CA", by.certificate, "-CAkey", by.key]
    openssl(*command)
    return Made(key, certificate, () if by is None else (by.certificate, *by.above))


def ended(one: Made) -> Made:
    """The same, signed by itself, and its time ended yesterday."""
    openssl("x509", "-in", one.certificate, "-signkey", one.key, "-days", "-1", "-out", one.certificate)
    return Made(one.key, one.certificate)
