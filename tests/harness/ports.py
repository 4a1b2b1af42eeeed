"""Ports of this machine's own loopback that stay ours while a server is stopped and started again."""

import random
import socket
import time

# Below those that Linux gives to whoever connects (net.ipv4.ip_local_port_range begins at 32768): a connection that
# goes out must not take the port of a server that is away for a moment.
OURS = range(20000, 32000)
_chance = random.SystemRandom()


def free_port() -> int:
    """A port that nobody listens on now."""
    while True:
        port = _chance.choice(OURS)
        with socket.socket() as probe:
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port


def answers(port: int) -> bool:
    """Whether somebody listens."""
    with socket.socket() as probe:
        probe.settimeout(1)
        return probe.connect_ex(("127.0.0.1", port)) == 0


def wait_for(port: int, process, patience: float = 60.0) -> None:
    """Waits until a process listens; fails at once when it ends instead."""
    deadline = time.monotonic() + patience
    while not answers(port):
        assert process.poll() is None, f"it ended with {process.returncode}: {process.args}"
        assert time.monotonic() < deadline, f"nobody listens on {port}: {process.args}"
        time.sleep(0.02)
