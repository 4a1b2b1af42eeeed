"""Keys, the people they speak for, and strangers."""

import itertools
from pathlib import Path

from harness.problems import check_problem
from harness.program import Program, run
from harness.shop import Shop

KEYS = {"api_access": "keys"}
SCOPES = ("submit", "read", "sign", "admin")
UNKNOWN = "0190a5c8-0000-7000-8000-000000000000"

_lasts = itertools.count(2)


def first_key(program: Program) -> str | None:
    """The key that the first start made, if it made one."""
    path = Path(program.store) / "first-key"
    return path.read_text().removesuffix("\n") if path.is_file() else None


def fresh_address() -> str:
    """An address of the loopback (127.0.0.0/8) that no other test comes from: guesses are counted by address."""
    return "127.1.{}.{}".format(*divmod(next(_lasts), 250))


def enter(shop: Shop, name: str = "Petra Muster", role: str = "inspector", **more: str) -> dict:
    """Enters a person."""
    response = shop.post("/v1/people", {"name": name, "role": role, **more})
    assert response.status_code == 201, response.text
    return response.json()


def make_key(shop: Shop, *scopes: str, label: str = "a test", **more: str) -> dict:
    """Makes a key: its secret, and the key."""
    response = shop.post("/v1/keys", {"label": label, "scopes": list(scopes), **more})
    assert response.status_code == 201, response.text
    return response.json()


def make_key_here(store: Path, name_of_shop: str, *scopes: str) -> str:
    """Makes a key at the machine itself."""
    named = [word for scope in scopes for word in ("--scope", scope)]
    made = run(
        "key", "make", "--shop", name_of_shop, "--label", "a test", *named, settings={"store_dir": store}
    )
    assert made.returncode == 0, made
    return made.stdout.decode().strip()


def with_key(shop: Shop, *scopes: str, **more: str) -> Shop:
    """A client with a key of these scopes; with `sign`, of a new person unless one is named."""
    if "sign" in scopes and "person" not in more:
        more["person"] = enter(shop)["id"]
    return Shop(str(shop.http.base_url), make_key(shop, *scopes, **more)["secret"])


def check_unknown(response) -> bytes:
    """The one refusal of whoever is not known; returns its body."""
    check_problem(response, 401, "unauthenticated")
    assert response.headers["www-authenticate"] == "Bearer"
    return response.content


def operations(description: dict) -> list[tuple[str, str, dict]]:
    """Every method and path of a description, with what is said of it; parameters are filled in."""
    return [
        (method.upper(), path, operation)
        for path, item in description["paths"].items()
        for method, operation in item.items()
    ]


def filled(path: str) -> str:
    """A path of the description that names something unknown."""
    for name in ("{id}", "{name}", "{revision}", "{message}"):
        path = path.replace(name, UNKNOWN)
    assert "{" not in path, path
    return path
