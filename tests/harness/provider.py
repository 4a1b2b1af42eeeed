"""A small identity provider on this machine: keys, tokens, and its key set over HTTP."""

import json
import threading
import time
from base64 import urlsafe_b64encode
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from cryptography.hazmat.primitives import hashes, hmac, serialization
from cryptography.hazmat.primitives.asymmetric import ec, padding, rsa, utils

ISSUER = "https://identity.example/realms/demo"
AUDIENCE = "headproof"


def base64url(content: bytes) -> str:
    """RFC 7515, 2."""
    return urlsafe_b64encode(content).rstrip(b"=").decode()


def number(value: int, size: int) -> str:
    return base64url(value.to_bytes(size, "big"))


class EllipticKey:
    """A key on P-256, the same for the same seed."""

    algorithm = "ES256"

    def __init__(self, name: str, seed: int):
        self.name, self.private = name, ec.derive_private_key(seed, ec.SECP256R1())

    def described(self) -> dict:
        """RFC 7518, 6.2."""
        point = self.private.public_key().public_numbers()
        where = {"x": number(point.x, 32), "y": number(point.y, 32)}
        return {"kty": "EC", "crv": "P-256", "kid": self.name, "use": "sig", "alg": "ES256", **where}

    def signature(self, content: bytes) -> bytes:
        """RFC 7518, 3.4."""
        r, s = utils.decode_dss_signature(self.private.sign(content, ec.ECDSA(hashes.SHA256())))
        return r.to_bytes(32, "big") + s.to_bytes(32, "big")


class RsaKey:
    """A new key."""

    algorithm = "RS256"

    def __init__(self, name: str):
        self.name, self.private = name, rsa.generate_private_key(65537, 2048)

    def described(self) -> dict:
        """RFC 7518, 6.3."""
        public = self.private.public_key().public_numbers()
        where = {"n": number(public.n, 256), "e": number(public.e, 3)}
        return {"kty": "RSA", "kid": self.name, "use": "sig", "alg": "RS256", **where}

    def signature(self, content: bytes) -> bytes:
        """RFC 7518, 3.3."""
        return self.private.sign(content, padding.PKCS1v15(), hashes.SHA256())


class SharedSecret:
    """HS256 with any bytes for a secret."""

    algorithm = "HS256"

    def __init__(self, name: str, secret: bytes):
        self.name, self.secret = name, secret

    def signature(self, content: bytes) -> bytes:
        sealed = hmac.HMAC(self.secret, hashes.SHA256())
        sealed.update(content)
        return sealed.finalize()


def public_forms(key) -> list[bytes]:
    """The public key in every form that a careless service may take for a secret."""
    public, pem = key.private.public_key(), serialization.Encoding.PEM
    info = serialization.PublicFormat.SubjectPublicKeyInfo
    written = public.public_bytes(pem, info)
    return [written, written.strip(), public.public_bytes(serialization.Encoding.DER, info)]


def claims(**changed: object) -> dict:
    """What a good token says, with changes; what is changed to None is left out."""
    now = int(time.time())
    good = {"iss": ISSUER, "aud": AUDIENCE, "sub": "somebody", "iat": now, "exp": now + 300}
    good |= {"shop": "shop", "scope": "submit read", **changed}
    return {name: value for name, value in good.items() if value is not None}


def token(key, said: dict | None = None, **header: object) -> str:
    """A signed token (RFC 7515, 3.1); what the header is given as None is left out of it."""
    header = {"alg": key.algorithm, "typ": "at+jwt", "kid": key.name, **header}
    header = {name: value for name, value in header.items() if value is not None}
    parts = [base64url(json.dumps(part).encode()) for part in (header, claims() if said is None else said)]
    content = ".".join(parts)
    return f"{content}.{base64url(key.signature(content.encode()))}"


class Provider:
    """Serves the key set; counts how often it was asked."""

    def __init__(self, *keys):
        self.keys = [key.described() for key in keys]
        self.answer: tuple[int, bytes] | None = None
        self.asked: list[str] = []
        self.held = threading.Event()
        self.held.set()
        self.server = ThreadingHTTPServer(("127.0.0.1", 0), self._handler())
        self.server.daemon_threads = True
        self.url = f"http://127.0.0.1:{self.server.server_port}/keys"
        threading.Thread(target=self.server.serve_forever, args=(0.05,), daemon=True).start()

    def _handler(self):
        provider = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self):
                provider.asked.append(self.path)
                provider.held.wait(60)
                status, body = provider.answer or (200, json.dumps({"keys": provider.keys}).encode())
                self.send_response(status)
                if status == 302:
                    self.send_header("Location", "/elsewhere")
                self.send_header("Content-Length", str(len(body)))
                self.end_headers()
                try:
                    self.wfile.write(body)
                except (BrokenPipeError, ConnectionResetError):
                    pass

            def log_message(self, *_):
                pass

        return Handler

    def settings(self, **changed: object) -> dict:
        """The configuration of a service that takes its tokens."""
        described = {"issuer": ISSUER, "audience": AUDIENCE, "keys_url": self.url, "algorithm": "ES256", **changed}
        provider = {f"oidc_{name}": value for name, value in described.items() if value is not None}
        return {"api_access": "keys", **provider}

    def stop(self) -> None:
        self.held.set()
        self.server.shutdown()
        self.server.server_close()
