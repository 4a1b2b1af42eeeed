"""A shop system with a client that was generated: posts a head twice under one key, waits, and keeps its sheet."""

import json
import sys
from pathlib import Path
from typing import Any, TypeVar

from headproof_client import AuthenticatedClient
from headproof_client.api.jobs import get_v1_jobs_id, get_v1_jobs_id_evaluation, get_v1_jobs_id_sheet, post_v1_jobs
from headproof_client.models import Evaluation, Job, JobRequest, TaskState
from headproof_client.types import File, Response

T = TypeVar("T")


def expect(response: Response[Any], kind: type[T], status: int) -> T:
    """What was answered, if it is what was asked for; else the problem is shown."""
    if response.status_code != status or not isinstance(response.parsed, kind):
        raise SystemExit(f"{response.status_code}: {response.content.decode(errors='replace')}")
    return response.parsed


def main(address: str, key_file: str, request_file: str, post_key: str, sheet_file: str) -> None:
    key = Path(key_file).read_text().strip()
    request = JobRequest.from_dict(json.loads(Path(request_file).read_text()))
    with AuthenticatedClient(base_url=address, token=key, raise_on_unexpected_status=True) as client:
        posts = [
            expect(post_v1_jobs.sync_detailed(client=client, body=request, idempotency_key=post_key), Job, 202)
            for _ in range(2)
        ]
        job = posts[0]
        while job.state in (TaskState.QUEUED, TaskState.RUNNING):
            job = expect(get_v1_jobs_id.sync_detailed(job.id, client=client, prefer="wait=2"), Job, 200)
        evaluation = expect(get_v1_jobs_id_evaluation.sync_detailed(job.id, client=client), Evaluation, 200)
        sheet = expect(get_v1_jobs_id_sheet.sync_detailed(job.id, client=client), File, 200)
    Path(sheet_file).write_bytes(sheet.payload.read())
    told = {"jobs": [str(post.id) for post in posts], "state": job.state, "disposition": evaluation.disposition}
    print(json.dumps(told))


if __name__ == "__main__":
    main(*sys.argv[1:])
