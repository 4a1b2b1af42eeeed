"""Whether it lives, whether it is ready, and what it says of itself."""

import json
import re
import shutil

import pytest

from harness.documents import CONFORMING, demo_profile, request
from harness.places import OPENAPI
from harness.problems import check_problem
from harness.program import until
from harness.shop import Shop
from harness.signing import Signer, judged


def test_it_lives_and_is_ready(shop):
    for path in ("/livez", "/readyz"):
        response = shop.get(path)
        assert response.status_code == 200 and response.headers["content-type"].startswith("text/plain")


def test_without_its_directory_for_sheets_it_lives_but_is_not_ready(start, tmp_path):
    store = tmp_path / "store"
    program = start(store=store)
    with Shop(program.address) as shop:
        assert shop.get("/readyz").status_code == 200
        shutil.move(store / "artifacts", tmp_path / "elsewhere")
        check_problem(shop.get("/readyz"), 503, "unavailable")
        assert shop.get("/livez").status_code == 200
        shutil.move(tmp_path / "elsewhere", store / "artifacts")
        until(lambda: shop.get("/readyz").status_code == 200, "it to be ready again")


def test_every_answer_names_its_request(shop):
    ids = {shop.get(path).headers["x-request-id"] for path in ("/livez", "/nowhere", "/v1/profiles") * 3}
    assert len(ids) == 9


def test_the_description_it_serves_is_the_one_in_the_repository(shop):
    served = shop.get("/openapi.json")
    assert served.headers["content-type"] == "application/json"
    assert served.json() == json.loads((OPENAPI / "openapi.json").read_text())


def test_every_example_of_a_request_is_accepted(shop):
    tried = 0
    for path, item in shop.get("/openapi.json").json()["paths"].items():
        for media_type, content in item.get("post", {}).get("requestBody", {}).get("content", {}).items():
            if "example" in content:
                if path == "/v1/jobs/{id}/sign-offs":
                    response = Signer(shop).ask(judged(shop, request(CONFORMING))[0], **content["example"])
                else:
                    response = shop.post_text(path, json.dumps(content["example"]), media_type)
                assert response.status_code in (200, 201, 202), (path, response.text)
                tried += 1
    assert tried >= 8


def test_the_schemas_it_serves_are_those_in_the_repository(shop):
    names = shop.get("/v1/schemas").json()
    assert {f"{name}.schema.json" for name in names} == {
        path.name for path in (OPENAPI / "schemas").iterdir()
    }
    for name in names:
        served = shop.get(f"/v1/schemas/{name}")
        assert served.headers["content-type"] == "application/schema+json"
        assert served.json() == json.loads((OPENAPI / "schemas" / f"{name}.schema.json").read_text())


def test_profiles_can_limit_every_characteristic_that_is_listed_and_no_other(shop):
    listed = shop.get("/v1/characteristics").json()
    assert len({one["id"] for one in listed}) == len(listed) > 40
    for one in listed:
        assert one["title"] and one["formula"] and one["source"] and one["uncertainty"]
        assert one["belongs_to"] in ("head", "cylinder", "port")
        bounds = {"upper": 1} if "unit" in one else {}
        if one["needs_window"]:
            bounds["window"] = {"length": 75, "width": 75}
        entry = {
            "characteristic": one["id"],
            "use": "build",
            "if_outside": "rework",
            "source": "invented",
            **bounds,
        }
        profile = demo_profile() | {"id": "listed", "limits": [entry]}
        assert shop.post("/v1/evaluate", request() | {"profile": profile}).status_code == 200, one["id"]


@pytest.fixture(scope="module")
def page(shop):
    response = shop.get("/docs/")
    assert response.status_code == 200 and response.headers["content-type"].startswith("text/html")
    return response.text


def test_the_page_for_people_needs_nothing_from_elsewhere(shop, page):
    assert not re.search(r"""(?:src|href)\s*=\s*["']?(?:https?:)?//""", page)
    linked = re.findall(r"""(?:src|href)="([^"]+)\"""", page)
    assert len(linked) >= 5
    for name in linked:
        response = shop.get("/docs/" + name.removeprefix("./"))
        assert response.status_code == 200 and response.content, name
    entry = shop.get("/docs/swagger-initializer.js").text
    assert "//" not in re.sub(r"^\s*//.*$", "", entry, flags=re.MULTILINE)
    assert '"/openapi.json"' in entry
    style = shop.get("/docs/swagger-ui.css").text
    assert not re.search(r"@import|url\(\s*[\"']?(?:https?:)?//", style)
