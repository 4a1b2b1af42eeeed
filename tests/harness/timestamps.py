"""A timestamp authority (RFC 3161, by HTTP): openssl behind a server of this machine's own loopback."""

import http.server
import tempfile
import threading
from pathlib import Path

from harness.certificates import AUTHORITY, TIMESTAMPS, made, openssl

SETTINGS = """
[tsa]
default_tsa = t
[t]
serial = {directory}/serial
crypto_device = builtin
signer_cert = {signer.certificate}
certs = {root.certificate}
signer_key = {signer.key}
signer_digest = sha256
default_policy = 1.2.3.4.1
digests = sha256, sha384, sha512
ess_cert_id_chain = no
ess_cert_id_alg = sha256
"""


class TimestampAuthority:
    """Answers as it is told to: `good`, `garbage`, `refused`, `another` (imprint), `broken` (status 500), `nothing`."""

    def __init__(self, directory: Path, kind: str = "p-256"):
        directory.mkdir()
        self.directory, self.mode, self.asked = directory, "good", 0
        self.root = made(directory, "Root of Time", AUTHORITY)
        self.signer = made(directory, "Zeitstempel Süd", TIMESTAMPS, self.root, kind)
        (directory / "serial").write_text("01")
        (directory / "tsa.cnf").write_text(SETTINGS.format(directory=directory, signer=self.signer, root=self.root))
        self.lock = threading.Lock()
        self.server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), self._handler())
        self.thread = threading.Thread(target=self.server.serve_forever, daemon=True)
        self.thread.start()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.server.server_port}/tsa"

    @property
    def settings(self) -> dict[str, object]:
        """What a service that asks it is started with."""
        return {"signing_timestamp_url": self.url, "signing_timestamp_authority": self.root.certificate}

    def __enter__(self) -> "TimestampAuthority":
        return self

    def __exit__(self, *_) -> None:
        self.server.shutdown()
        self.server.server_close()
        self.thread.join(30)

    def answer(self, query: bytes, mode: str) -> bytes:
        """RFC 3161, 2.4.2, by openssl."""
        if mode == "garbage":
            return b"0\x03\x02\x01\x00 this is no timestamp" * 20
        if mode == "refused":
            query = b"no query"
        with self.lock, tempfile.TemporaryDirectory(dir=self.directory) as scratch:
            asked, reply = Path(scratch, "q.tsq"), Path(scratch, "r.tsr")
            if mode == "another":
                openssl("ts", "-query", "-data", self.signer.certificate, "-sha256", "-cert", "-out", asked)
            else:
                asked.write_bytes(query)
            settings = self.directory / "tsa.cnf"
            openssl("ts", "-reply", "-config", settings, "-queryfile", asked, "-out", reply)
            return reply.read_bytes()

    def _handler(authority):
        class Handler(http.server.BaseHTTPRequestHandler):
            def do_POST(self):
                # One mode for the whole answer, whatever is set meanwhile.
                mode = authority.mode
                query = self.rfile.read(int(self.headers["Content-Length"]))
                assert self.headers["Content-Type"] == "application/timestamp-query"
                content = b"" if mode == "nothing" else authority.answer(query, mode)
                authority.asked += 1
                if mode == "nothing":
                    self.close_connection = True
                    return
                self.send_response(500 if mode == "broken" else 200)
                self.send_header("Content-Type", "application/timestamp-reply")
                self.send_header("Content-Length", str(len(content)))
                self.end_headers()
                self.wfile.write(content)

            def log_message(self, *_):
                pass

        return Handler
