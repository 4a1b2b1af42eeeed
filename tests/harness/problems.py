"""What every refusal must look like: RFC 9457, and nothing of the inside."""

import re

import httpx

INSIDE = re.compile(
    r"sqlx|sqlite|panicked|headproof_|crates/|src/|\.rs\b|/tmp/|/home/|/root/|/proc/|errno|os error|Error \{|backtrace",
    re.IGNORECASE,
)


def check_problem(response: httpx.Response, status: int, kind: str) -> dict:
    """The answer is this problem; returns its body."""
    assert response.status_code == status, (
        f"{response.status_code} instead of {status}: {response.text[:500]}"
    )
    assert response.headers["content-type"] == "application/problem+json"
    assert response.headers["x-request-id"]
    problem = response.json()
    assert problem["type"] == f"/problems/{kind}"
    assert problem["title"] and isinstance(problem["title"], str)
    assert problem["status"] == status
    assert set(problem) <= {"type", "title", "status", "detail", "request_id", "errors"}
    assert not INSIDE.search(response.text), response.text
    return problem


def pointers(problem: dict) -> list[str]:
    """The JSON Pointers of all faults, sorted."""
    return sorted(fault["pointer"] for fault in problem.get("errors", []))
