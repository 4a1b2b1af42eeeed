"""Fixtures: a running service, a shop that talks to it, and the summary of what was reached."""

import itertools
import shutil

import pytest

from harness import counts
from harness.access import check_unknown, first_key, fresh_address
from harness.fonts import IDEOGRAPHS, SIGNS
from harness.listening import Listener
from harness.pdf import Pdf
from harness.places import BINARY
from harness.postgres import programs
from harness.program import Program
from harness.shop import Shop

pytest_plugins = ["harness.stores"]


def pytest_configure():
    if not BINARY.is_file():
        raise pytest.UsageError(f"{BINARY} is not there: run cargo build --release, or set HEADPROOF_BIN")
    tools = ("qpdf", "pdfinfo", "pdftotext", "pdffonts", "pdfdetach", "pdfsig", "certutil", "openssl", "java")
    tools += ("haproxy", "node")
    missing = [tool for tool in tools if shutil.which(tool) is None]
    if missing:
        raise pytest.UsageError(f"not installed: {', '.join(missing)}")
    if programs() is None:
        raise pytest.UsageError("no PostgreSQL server is installed: tests/run installs it")
    for font in (IDEOGRAPHS, SIGNS):
        if not font.is_file():
            raise pytest.UsageError(f"{font} is not there: tests/run installs it")


def pytest_sessionfinish(session):
    if hasattr(session.config, "workeroutput"):
        session.config.workeroutput["reached"] = counts.REACHED


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node):
    """What one of several processes has reached, for the summary of the first."""
    counts.REACHED.update(getattr(node, "workeroutput", {}).get("reached", {}))


def pytest_terminal_summary(terminalreporter):
    terminalreporter.section("counts reached: " + ("long" if counts.LONG else "short"))
    for what, figure in counts.REACHED.items():
        terminalreporter.write_line(f"{what}: {figure}")


class Starter:
    """Starts programs; in the end stops them all and looks through their logs."""

    def __init__(self, directory):
        self.directory = directory
        self.programs: list[Program] = []
        self.numbers = itertools.count(1)

    def __call__(self, command: str = "serve", store=None, **settings) -> Program:
        log = self.directory / f"{next(self.numbers)}-{command}.log"
        program = Program(store or self.directory / "store", log, command, **settings)
        self.programs.append(program)
        return program.start()

    def finish(self) -> None:
        try:
            for program in self.programs:
                program.stop()
        finally:
            for program in self.programs:
                program.close()
        for program in self.programs:
            program.check_log()


@pytest.fixture(scope="module")
def settings():
    """The settings of the service of a file, for the file to say otherwise."""
    return {}


@pytest.fixture(scope="module")
def service(request, tmp_path_factory, settings):
    """One service for all tests of a file, or what the file names; its log must be free of errors in the end."""
    starter = Starter(tmp_path_factory.mktemp("service"))
    yield starter(getattr(request.module, "COMMAND", "serve"), **settings)
    starter.finish()


@pytest.fixture(scope="module")
def shop(service):
    """Whoever has the first key, where there is one."""
    with Shop(service.address, first_key(service)) as shop:
        yield shop


@pytest.fixture
def listener():
    """A receiver of webhooks."""
    listener = Listener()
    yield listener
    listener.close()


@pytest.fixture
def stranger(service):
    """Somebody without a key, at an address where nobody has guessed yet."""
    with Shop(service.address, comes_from=fresh_address()) as stranger:
        yield stranger


@pytest.fixture(scope="module")
def unknown(service) -> bytes:
    """What whoever is not known is told."""
    with Shop(service.address) as stranger:
        return check_unknown(stranger.get("/v1/jobs"))


@pytest.fixture(scope="module")
def bearer(service):
    """Makes clients with a key or token, each at an address of its own."""
    clients = []

    def made(text: str) -> Shop:
        clients.append(Shop(service.address, text, fresh_address()))
        return clients[-1]

    yield made
    for client in clients:
        client.http.close()


@pytest.fixture
def start(tmp_path):
    """Starts programs that belong to one test."""
    starter = Starter(tmp_path)
    yield starter
    starter.finish()


@pytest.fixture
def pdf(tmp_path):
    numbers = itertools.count(1)
    return lambda content: Pdf(content, tmp_path / f"{next(numbers)}.pdf")
