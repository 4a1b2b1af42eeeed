"""The files that start it in containers, as far as that can be checked without an engine."""

import json
import os
import re
import shutil
import socket
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from harness.documents import request
from harness.places import ROOT
from harness.program import PATIENCE, run, until
from harness.shop import Shop

DOCKER = ROOT / "docker"
COMPOSE = yaml.safe_load((DOCKER / "compose.yaml").read_text())
SERVICES = COMPOSE["services"]
DOCKERFILE = re.sub(r"\\\n\s*", "", (DOCKER / "Dockerfile").read_text())
OURS = [name for name, service in SERVICES.items() if service["image"].startswith("headproof:")]
# A name, and a version of at least two numbers.
PINNED = re.compile(r"[a-z/]+:\d+\.\d+(\.\d+)?(-[a-z]+)*")


def instructions(word: str) -> list[str]:
    return re.findall(rf"^{word} (.*)$", DOCKERFILE, re.MULTILINE)


def test_the_compose_file_is_one():
    """By the schema of the Compose Specification, as check-jsonschema brings it along."""
    command = [sys.executable, "-m", "check_jsonschema", "--builtin-schema", "vendor.compose-spec"]
    finished = subprocess.run([*command, DOCKER / "compose.yaml"], capture_output=True, text=True, timeout=60)
    assert finished.returncode == 0, finished.stdout + finished.stderr


def test_versions_are_pinned():
    images = [service["image"] for name, service in SERVICES.items() if name not in OURS]
    images += [words.split()[0] for words in instructions("FROM")]
    assert len(images) == 6
    for image in images:
        assert PINNED.fullmatch(image), image


def test_every_service_starts_again_within_limits_and_knows_how_it_is():
    for name, service in SERVICES.items():
        limits = service["deploy"]["resources"]["limits"]
        assert {"cpus", "memory", "pids"} <= set(limits), name
        assert "no-new-privileges:true" in service.get("security_opt", []) or name == "database", name
        if name == "bucket":
            assert service["restart"] == "no"
        else:
            assert service["restart"] == "unless-stopped", name
            assert "healthcheck" in service or name.startswith("api-"), name
        for before in service.get("depends_on", {}):
            assert before in SERVICES, (name, before)
    assert len(instructions("HEALTHCHECK")) == 1, "that of the two APIs"


def test_only_the_proxy_is_reached_and_from_this_machine_alone():
    published = {name: service["ports"] for name, service in SERVICES.items() if "ports" in service}
    assert published == {"proxy": ["127.0.0.1:8080:8080"]}
    assert COMPOSE["networks"]["inside"]["internal"] is True
    for name in ("database", "objects", "bucket"):
        assert SERVICES[name]["networks"] == ["inside"]


def test_no_password_is_written_down(tmp_path):
    text = (DOCKER / "compose.yaml").read_text()
    passwords = {name for name in re.findall(r"\$\{(\w+)", text)} - {"PUBLIC_URL"}
    assert passwords == {"POSTGRES_PASSWORD", "S3_ACCESS_KEY_ID", "S3_SECRET_ACCESS_KEY"}
    for name in passwords:
        assert set(re.findall(rf"\${{{name}([^}}]*)}}", text)) == {":?see README.md"}, name
    # Made twice, they differ; one that is there is left alone.
    made = []
    for number in range(2):
        directory = tmp_path / str(number)
        directory.mkdir()
        for name in ("make-env", ".env.example"):
            shutil.copy(DOCKER / name, directory)
        subprocess.run([directory / "make-env"], check=True, timeout=60)
        assert (directory / ".env").stat().st_mode & 0o777 == 0o600
        assert subprocess.run([directory / "make-env"], capture_output=True, timeout=60).returncode == 1
        lines = (directory / ".env").read_text().splitlines()
        made.append(dict(line.split("=", 1) for line in lines if line and not line.startswith("#")))
    assert set(made[0]) == {*passwords, "PUBLIC_URL"}
    for name in passwords:
        assert re.fullmatch(r"[0-9a-f]{20,}", made[0][name]) and made[0][name] != made[1][name], name


def test_the_program_knows_every_setting(tmp_path):
    named = {name for service in OURS for name in SERVICES[service]["environment"]}
    named |= set(re.findall(r"\b(HEADPROOF_[A-Z0-9_]+)=", " ".join(instructions("ENV"))))
    assert len(named) >= 14 and all(name.startswith("HEADPROOF_") for name in named)
    for name in named:
        finished = run("serve", settings={"store_dir": tmp_path, "api_threads": "0", name: "\x01"})
        said = finished.stderr.decode()
        assert finished.returncode == 2 and "is no setting of headproof" not in said, said


def test_the_program_takes_the_settings_together(tmp_path):
    """All of a service but one that is wrong on purpose, which is named; so the others were understood."""
    for service in OURS:
        given = {name: re.sub(r"\$\{[^}]*\}", "", value) for name, value in SERVICES[service]["environment"].items()}
        wrong = {"HEADPROOF_STORE_DIR": str(tmp_path), "HEADPROOF_STORE_MAX_ATTEMPTS": "0"}
        finished = run(*SERVICES[service]["command"], settings=given | wrong)
        assert finished.returncode == 2 and "store.max_attempts" in finished.stderr.decode(), finished


def test_everybody_has_the_same_secret_and_first_key():
    for service in OURS:
        assert SERVICES[service]["volumes"] == ["first-key:/data", "signing-secret:/secret"]
    assert json.loads(instructions("VOLUME")[0]) == ["/data", "/secret"]
    environment = dict(pair.split("=") for pair in instructions("ENV")[0].split())
    assert environment["HEADPROOF_STORE_DIR"] == "/data"
    assert environment["HEADPROOF_SIGNING_SECRET_FILE"].startswith("/secret/")


def test_the_image_runs_as_nobody_in_particular():
    assert instructions("USER") == ["10001:10001"]
    assert instructions("USER")[-1] in DOCKERFILE.partition("\nFROM debian")[2]


def context(into: Path) -> None:
    """What an engine would be sent: .dockerignore takes all away and lets some of it in again."""
    first, *rules = [
        line for line in (ROOT / ".dockerignore").read_text().splitlines() if line and not line.startswith("#")
    ]
    assert first == "*"
    hidden = [rule.removeprefix("**/") for rule in rules if rule.startswith("**/")]
    for let_in in (rule[1:] for rule in rules if rule.startswith("!")):
        source, target = ROOT / let_in, into / let_in
        target.parent.mkdir(parents=True, exist_ok=True)
        if source.is_dir():
            shutil.copytree(source, target, ignore=lambda _, names: [n for n in names if n in hidden])
        else:
            shutil.copy(source, target)
    assert all(rule.startswith(("!", "**/")) for rule in rules)


def test_the_image_is_built_from_what_is_sent(tmp_path):
    context(tmp_path)
    copied = [words.split() for words in instructions("COPY") if not words.startswith("--from")]
    sources = [word for words in copied for word in words[:-1] if not word.startswith("--")]
    assert len(sources) >= 5
    for source in sources:
        assert (tmp_path / source).exists(), source
    # The manifests of the workspace, and all that they name, are there.
    command = ["cargo", "metadata", "--no-deps", "--offline", "--format-version", "1"]
    finished = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=120)
    assert finished.returncode == 0, finished.stderr
    members = {package["name"] for package in json.loads(finished.stdout)["packages"]}
    folders = {path.parent.name for folder in ("crates", "services") for path in (ROOT / folder).glob("*/Cargo.toml")}
    assert members == {"headproof"} | {f"headproof-{folder}" for folder in folders - {"headproof"}}


def test_everything_that_is_mounted_is_there():
    mounted = [volume.split(":") for service in SERVICES.values() for volume in service.get("volumes", [])]
    files = {source for source, *_ in mounted if source.startswith("./")}
    assert {"./haproxy.cfg", "./start-objects", "./make-bucket"} <= files
    for source in files:
        assert (DOCKER / source).is_file(), source
    assert {source for source, *_ in mounted} - files == set(COMPOSE["volumes"])


@pytest.mark.parametrize("name", ["answers", "make-env", "start-objects", "make-bucket"])
def test_the_scripts_are_scripts(name):
    path = DOCKER / name
    assert os.access(path, os.X_OK)
    shell = path.read_text().splitlines()[0].removeprefix("#!")
    subprocess.run([shell, "-n", path], check=True, timeout=60)


def answers(address: str, path: str) -> bool:
    command = ["bash", DOCKER / "answers", address.rpartition(":")[2], path]
    return subprocess.run(command, capture_output=True, timeout=60).returncode == 0


def test_the_health_check_tells_whether_it_answers(start):
    program = start("api")
    assert answers(program.address, "/readyz") and answers(program.address, "/livez")
    assert not answers(program.address, "/nowhere")
    program.stop()
    assert not answers(program.address, "/readyz")


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


@pytest.fixture
def proxy(tmp_path):
    """Starts the proxy as configured, but for the addresses, before two APIs; returns its address."""
    running = []

    def started(first: str, second: str) -> str:
        text, port = (DOCKER / "haproxy.cfg").read_text(), free_port()
        changes = {
            "bind :8080": f"bind 127.0.0.1:{port}",
            "api-1:8080": first.removeprefix("http://"),
            "api-2:8080": second.removeprefix("http://"),
        }
        for configured, here in changes.items():
            assert text.count(configured) == 1, configured
            text = text.replace(configured, here)
        path = tmp_path / "haproxy.cfg"
        path.write_text(text)
        log = (tmp_path / "proxy.log").open("wb")
        running.append((subprocess.Popen(["haproxy", "-f", path], stdout=log, stderr=log), log))
        return f"http://127.0.0.1:{port}"

    yield started
    for process, log in running:
        process.terminate()
        process.wait(PATIENCE)
        log.close()


def test_behind_the_proxy_one_api_may_go(start, proxy):
    first, second = start("api"), start("api")
    start("worker")
    address = proxy(first.address, second.address)
    with Shop(address) as shop:
        until(lambda: answers(address, "/readyz"), "the proxy")
        before = shop.sheet(request(serial="PROXY-1"))
        first.stop()
        # From the first request on: whoever is gone is not chosen, or the other one is tried.
        assert {shop.get("/v1/profiles").status_code for _ in range(20)} == {200}
        assert shop.sheet(request(serial="PROXY-2")) != before
