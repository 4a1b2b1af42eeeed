"""A network that does what networks do: a TCP proxy on the loopback that can be slow, silent, or cut."""

import asyncio
import contextlib
import socket
import struct
import threading

from harness.ports import free_port

CHUNK = 65536
# SO_LINGER on and of no length: closing sends a reset, see socket(7).
RESET = struct.pack("ii", 1, 0)


class Proxy:
    """Passes on whatever comes to `port` to another port of this machine, as well as it is told to.

    `delay`: seconds each piece waits, in both directions. `slices`: the most bytes of a piece, 0 for as they come.
    `rate`: bytes a second and direction, 0 for as fast as they come. They hold for connections that are there, too."""

    def __init__(self, target: int):
        self.target, self.port = target, free_port()
        self.delay, self.slices, self.rate = 0.0, 0, 0
        # How many came, and how many pieces wait until it flows again.
        self.connections = self.held = 0
        self._open: set[asyncio.StreamWriter] = set()
        self._loop = asyncio.new_event_loop()
        self._flowing = asyncio.Event()
        self._server: asyncio.Server | None = None
        self._thread = threading.Thread(target=self._loop.run_forever, daemon=True, name=f"proxy to {target}")
        self._thread.start()
        self.flow()
        self.back()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def silence(self) -> None:
        """Accepts whoever comes, and passes nothing on; what was sent waits."""
        self._loop.call_soon_threadsafe(self._flowing.clear)

    def flow(self) -> None:
        """Passes on again, first what had to wait."""
        self._loop.call_soon_threadsafe(self._flowing.set)

    def cut(self) -> int:
        """Resets every connection that is there; returns how many."""
        return self._do(self._cut())

    def away(self) -> None:
        """Nobody is there any more: connections are reset, new ones refused."""
        self._do(self._away())

    def back(self) -> None:
        """Listens again."""
        self._do(self._listen())

    def heal(self) -> None:
        """As new: fast, whole, and there."""
        self.delay, self.slices, self.rate = 0.0, 0, 0
        self.flow()
        self.back()

    def close(self) -> None:
        self.away()
        self._do(self._end())
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(10)
        self._loop.close()

    def _do(self, what):
        return asyncio.run_coroutine_threadsafe(what, self._loop).result(30)

    async def _listen(self) -> None:
        if self._server is None:
            self._server = await asyncio.start_server(self._serve, "127.0.0.1", self.port)

    async def _away(self) -> None:
        if self._server is not None:
            self._server.close()
            self._server = None
        await self._cut()

    async def _cut(self) -> int:
        there = list(self._open)
        for writer in there:
            # One that is just being closed has no socket any more.
            with contextlib.suppress(OSError):
                writer.get_extra_info("socket").setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, RESET)
            writer.transport.abort()
        return len(there) // 2

    async def _end(self) -> None:
        """Nothing is left to be awaited by nobody."""
        left = asyncio.all_tasks(self._loop) - {asyncio.current_task()}
        for task in left:
            task.cancel()
        await asyncio.gather(*left, return_exceptions=True)

    async def _serve(self, from_client: asyncio.StreamReader, to_client: asyncio.StreamWriter) -> None:
        self.connections += 1
        try:
            from_server, to_server = await asyncio.open_connection("127.0.0.1", self.target)
        except OSError:
            to_client.transport.abort()
            return
        both = {to_client, to_server}
        self._open |= both
        try:
            await asyncio.gather(self._pass(from_client, to_server), self._pass(from_server, to_client))
        finally:
            self._open -= both
            for writer in both:
                writer.transport.abort()

    async def _pass(self, source: asyncio.StreamReader, sink: asyncio.StreamWriter) -> None:
        """One direction, until its source has ended or either side is gone: then the other side is gone as well."""
        try:
            while piece := await source.read(self.slices or CHUNK):
                if self.delay:
                    await asyncio.sleep(self.delay)
                if self.rate:
                    await asyncio.sleep(len(piece) / self.rate)
                self.held += 1
                try:
                    await self._flowing.wait()
                finally:
                    self.held -= 1
                sink.write(piece)
                await sink.drain()
            sink.write_eof()
        except OSError:
            sink.transport.abort()
