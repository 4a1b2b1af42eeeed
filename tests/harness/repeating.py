"""Requests that are sent again under an Idempotency-Key."""

import uuid

import httpx

from harness.shop import Shop


def fresh_key() -> str:
    return str(uuid.uuid4())


def keyed(shop: Shop, path: str, document: object, key: str, **headers: str) -> httpx.Response:
    """Posts a document under a key, quoted as the draft has it."""
    return shop.http.post(path, json=document, headers={"Idempotency-Key": f'"{key}"', **headers})


def keyed_lines(shop: Shop, body: bytes, key: str | None = None, content_type: str = "application/x-ndjson", **more):
    """Posts a batch, under a key if one is given."""
    headers = {"Idempotency_Key": key} if key else {}
    return shop.post_text("/v1/batches", body, content_type, **headers, **more)
