"""A small file system of its own, to be filled."""

import contextlib
import errno
import os
import shutil
import subprocess
from pathlib import Path


def as_root(*command: object) -> None:
    """Only root mounts; whoever is not asks sudo. Where neither can, this fails and does not skip."""
    prefix = [] if os.geteuid() == 0 else ["sudo", "-n"]
    finished = subprocess.run([*prefix, *map(str, command)], capture_output=True, text=True, timeout=30)
    assert finished.returncode == 0, f"this test needs a mount: {command}: {finished.stderr}"


@contextlib.contextmanager
def mounted(directory: Path, size: int):
    """A file system in memory of this many bytes."""
    directory.mkdir()
    options = f"size={size},mode=0700,uid={os.geteuid()},gid={os.getegid()}"
    as_root("mount", "-t", "tmpfs", "-o", options, "headproof-test", directory)
    try:
        yield directory
    finally:
        as_root("umount", "--lazy", directory)


def fill_up(path: Path) -> None:
    """Writes until there is no room left."""
    with path.open("wb", buffering=0) as file:
        with contextlib.suppress(OSError):
            os.posix_fallocate(file.fileno(), 0, max(shutil.disk_usage(path.parent).free - 65536, 1))
        file.seek(0, os.SEEK_END)
        for size in (65536, 4096, 1):
            try:
                while True:
                    file.write(bytes(size))
            except OSError as error:
                assert error.errno == errno.ENOSPC, error
