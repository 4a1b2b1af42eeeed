"""What a service counts, read by prometheus-client."""

import httpx
from prometheus_client.parser import text_string_to_metric_families

from harness.program import Program, until

LISTEN = {"metrics_listen": "127.0.0.1:0"}


def address(program: Program) -> str:
    """Where a program says in its log that its figures are."""

    def look() -> str | None:
        said = (entry["fields"] for entry in program.log_entries())
        return next((fields["address"] for fields in said if fields.get("message") == "metrics listen"), None)

    return f"http://{until(look, 'the address of the figures')}"


def scrape(program: Program) -> str:
    with httpx.Client(trust_env=False) as client:
        response = client.get(f"{address(program)}/metrics")
    assert response.status_code == 200
    assert response.headers["content-type"] == "text/plain; version=0.0.4; charset=utf-8"
    return response.text


def families(program: Program) -> list:
    return list(text_string_to_metric_families(scrape(program)))


class Figures:
    """Every figure at one time, by its name and labels."""

    def __init__(self, program: Program):
        samples = [sample for family in families(program) for sample in family.samples]
        self.all = {(one.name, frozenset(one.labels.items())): one.value for one in samples}
        assert len(self.all) == len(samples)

    def value(self, name: str, **labels: str) -> float:
        return self.all.get((f"headproof_{name}", frozenset(labels.items())), 0)

    def since(self, earlier: "Figures", name: str) -> dict[frozenset, float]:
        """By how much each figure of that name has grown, where it has."""
        grown = {}
        for (known, labels), value in self.all.items():
            more = value - earlier.all.get((known, labels), 0)
            if known == f"headproof_{name}" and more:
                grown[labels] = more
        return grown
