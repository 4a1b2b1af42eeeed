"""An object store that speaks the S3 protocol: the server of moto, in a process of its own.

How real it is: an imitation. It keeps objects in its memory, checks no signatures and no access keys, is one process
that never fails half way, and loses everything when it ends. It answers as the real protocol does where the tests
need it: that conditional creation works (`If-None-Match: *` is answered with 412 where there is an object) is held by
`test_servers_of_the_tests.py`. Whether signatures are right it cannot tell."""

import os
import re
import subprocess
import sys
from pathlib import Path
from urllib.parse import unquote
from xml.etree import ElementTree

import httpx

from harness.ports import free_port, wait_for

REGION, ACCESS_KEY, SECRET_KEY = "eu-central-1", "key-of-a-test", "secret-of-a-test"
# Who is not signed may not read a private bucket; that the signature is right, nobody checks.
SIGNED = (
    f"AWS4-HMAC-SHA256 Credential={ACCESS_KEY}/20260101/{REGION}/s3/aws4_request, "
    "SignedHeaders=host, Signature=00"
)
NAMESPACE = {"s3": "http://s3.amazonaws.com/doc/2006-03-01/"}


class Objects:
    """One server with any number of buckets."""

    def __init__(self, log: Path):
        self.port = free_port()
        self.endpoint = f"http://127.0.0.1:{self.port}"
        command = [sys.executable, "-W", "ignore", "-m", "moto.server", "-H", "127.0.0.1", "-p", str(self.port)]
        # A library of moto looks at these; none of them may be of a real account.
        kept = {name: value for name, value in os.environ.items() if not name.startswith("AWS_")}
        with log.open("wb") as file:
            self.process = subprocess.Popen(command, env=kept, stdout=file, stderr=file, stdin=subprocess.DEVNULL)
        wait_for(self.port, self.process)
        transport = httpx.HTTPTransport(verify=False, trust_env=False)
        self.http = httpx.Client(
            base_url=self.endpoint, headers={"Authorization": SIGNED}, transport=transport, timeout=60
        )

    def close(self) -> None:
        self.http.close()
        self.process.terminate()
        self.process.wait(60)

    def make_bucket(self, name: str) -> None:
        place = (
            '<CreateBucketConfiguration xmlns="http://s3.amazonaws.com/doc/2006-03-01/">'
            f"<LocationConstraint>{REGION}</LocationConstraint></CreateBucketConfiguration>"
        )
        made = self.http.put(f"/{name}", content=place)
        assert made.status_code == 200, made.text

    def put(self, bucket: str, key: str, content: bytes, **headers: str) -> httpx.Response:
        headers = {name.replace("_", "-"): value for name, value in headers.items()}
        return self.http.put(f"/{bucket}/{key}", content=content, headers=headers)

    def get(self, bucket: str, key: str) -> bytes:
        found = self.http.get(f"/{bucket}/{key}")
        assert found.status_code == 200, found.text
        return found.content

    def keys(self, bucket: str, prefix: str = "", page: int = 1000) -> list[str]:
        """The keys of all objects below a prefix; ListObjectsV2 gives at most a thousand at a time."""
        keys, more = [], {}
        while True:
            answer = self.http.get(f"/{bucket}", params={"list-type": "2", "prefix": prefix, "max-keys": page, **more})
            assert answer.status_code == 200, answer.text
            listed = ElementTree.fromstring(answer.content)
            keys += [unquote(found.text) for found in listed.iterfind("s3:Contents/s3:Key", NAMESPACE)]
            token = listed.findtext("s3:NextContinuationToken", None, NAMESPACE)
            if token is None:
                return keys
            more = {"continuation-token": token}

    def settings(self, bucket: str, endpoint: str | None = None) -> dict[str, str]:
        """What a program is told to keep its files here, or at another address that leads here."""
        assert re.fullmatch(r"[a-z0-9-]{3,63}", bucket), bucket
        return {
            "store_objects": f"s3://{bucket}/sheets",
            "store_s3_endpoint": endpoint or self.endpoint,
            "store_s3_region": REGION,
            "store_s3_access_key_id": ACCESS_KEY,
            "store_s3_secret_access_key": SECRET_KEY,
        }
