"""What stands before a service and spoils answers, as networks and busy services do."""

import socket
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer


class Between(ThreadingHTTPServer):
    """What stands before a service and spoils the first answers: a scene for each request, then it only hands on."""

    daemon_threads = True

    def __init__(self, address: str, *scenes: str):
        super().__init__(("127.0.0.1", 0), Handler)
        self.behind, self.scenes, self.seen = address.removeprefix("http://"), list(scenes), []

    def __enter__(self) -> "Between":
        self.thread = threading.Thread(target=self.serve_forever)
        self.thread.start()
        return self

    def __exit__(self, *_) -> None:
        self.shutdown()
        self.thread.join()
        self.server_close()

    @property
    def address(self) -> str:
        return "http://127.0.0.1:{}".format(self.server_address[1])


class Handler(BaseHTTPRequestHandler):
    """Hands a request on, or does what the scene says: `busy`, `cut`, or `lose` the answer of the service."""

    def do_POST(self):
        body = self.rfile.read(int(self.headers["Content-Length"]))
        self.server.seen.append((self.headers, body))
        scene = self.server.scenes.pop(0) if self.server.scenes else "hand on"
        self.close_connection = True
        if scene == "cut":
            self.connection.shutdown(socket.SHUT_RDWR)
        elif scene == "busy":
            self.send_response(503)
            self.send_header("Retry-After", "0")
            self.send_header("Content-Length", "0")
            self.end_headers()
        else:
            answer = self.asked(body)
            if scene == "lose":
                self.connection.shutdown(socket.SHUT_RDWR)
            else:
                self.connection.sendall(answer)

    def asked(self, body: bytes) -> bytes:
        """The whole answer of the service, as it is."""
        host, port = self.server.behind.split(":")
        kept = [f"{name}: {value}" for name, value in self.headers.items() if name.lower() != "connection"]
        head = "\r\n".join([self.requestline, *kept, "Connection: close", "", ""])
        with socket.create_connection((host, int(port))) as connection:
            connection.sendall(head.encode() + body)
            answer = b""
            while piece := connection.recv(65536):
                answer += piece
        return answer

    def log_message(self, *_):
        pass
