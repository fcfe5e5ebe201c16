"""Another program on this machine, where the course might take it for its own server."""

import contextlib
import http.server
import threading


class _Grant(http.server.BaseHTTPRequestHandler):
    def do_GET(self):
        self.server.asked.append(f"{self.requestline} {self.headers}")
        self.send_response(200)
        self.end_headers()

    def do_POST(self):
        self.do_GET()


@contextlib.contextmanager
def stranger():
    """A program that grants whatever it is asked: its `server_port`, and what it was `asked`."""
    with http.server.HTTPServer(("127.0.0.1", 0), _Grant) as program:
        program.asked = []
        threading.Thread(target=program.serve_forever).start()
        yield program
        program.shutdown()
