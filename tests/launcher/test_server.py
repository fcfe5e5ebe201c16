"""The servers: how the course starts, is found again, and ends."""

import contextlib
import http.server
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import urllib.request
from pathlib import Path

import pytest

from launcher import common, paths, server


def test_a_busy_port_is_passed_over():
    with socket.socket() as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        port = busy.getsockname()[1]
        assert server.free_port([port]) != port


def test_the_token_reaches_the_browser_through_a_file_only_the_learner_can_read(
    tmp_path, monkeypatch, capsys
):
    opened = []
    monkeypatch.setattr(server.webbrowser, "open", opened.append)
    monkeypatch.setattr(server, "has_screen", lambda: True)
    server.show(tmp_path, "http://127.0.0.1:9/lesson", "secret", browser=True)
    page = tmp_path / "open-course.html"
    url = "http://127.0.0.1:9/lesson?token=secret"
    assert opened == [page.as_uri()]
    assert url in page.read_text()
    assert url in capsys.readouterr().out
    assert os.name == "nt" or page.stat().st_mode & 0o077 == 0


@pytest.mark.skipif(os.name == "nt", reason="Popen has no lock on Windows")
def test_ctrl_c_at_the_worst_moment_leaves_a_process_that_can_be_waited_for():
    class LockThatIsInterrupted:
        """Popen's own lock; Ctrl-C comes just when it was taken."""

        def __init__(self, lock):
            self.lock, self.release = lock, lock.release

        def __enter__(self):
            self.lock.acquire()

        def __exit__(self, *_):
            self.lock.release()

        def acquire(self, *arguments):
            taken = self.lock.acquire(*arguments)
            # As in a start, which has no other thread that a signal could reach.
            signal.pthread_kill(threading.main_thread().ident, signal.SIGINT)
            return taken

    process = subprocess.Popen(["sleep", "60"])
    own = process._waitpid_lock
    process._waitpid_lock = LockThatIsInterrupted(own)
    with pytest.raises(KeyboardInterrupt):
        common.wait(process)
    process._waitpid_lock = own
    process.kill()
    assert process.wait(timeout=5) == -signal.SIGKILL


@pytest.mark.parametrize("kind", ["installs", "opens"])
def test_who_waits_long_for_another_start_is_told_what_to_do(tmp_path, monkeypatch, kind):
    said = []
    other = contextlib.ExitStack()

    def say(line):
        said.append(line)
        if line == common.HANGS:
            other.close()  # as the reader does then

    monkeypatch.setattr(common, "LONG", 0.5)
    monkeypatch.setattr(common, "say", say)
    lock = tmp_path / "install.lock"
    if kind == "opens":
        lock = common.state_folder(tmp_path) / "server.lock"
    assert other.enter_context(common.open_lock(lock))()
    if kind == "installs":
        with common.locked(lock, "waiting"):
            pass
    else:
        monkeypatch.setattr(server, "serve", lambda *arguments: 0)
        lab = server.Server([], port="", page="", status="", name="server")
        assert server.serve_alone(lab, tmp_path, browser=False, make_ready=list) == 0
    assert [("waiting" in line, line == common.HANGS) for line in said] == [
        (True, False),
        (False, True),
    ]


# The real server, but with the packages that run this test: nothing is installed here.
STARTER = """
import sys
from launcher import cli, environment, paths
environment.prepare = lambda *names: None
paths.VENV_PYTHON = sys.executable
sys.exit(cli.main(sys.argv[1:]))
"""


def start_course(folder):
    command = [sys.executable, "-c", STARTER, "--no-browser", "--folder", str(folder)]
    return subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=paths.ROOT
    )


def address_of(process):
    for line in process.stdout:
        if found := re.search(r"(http://127\.0\.0\.1:\d+/)doc/tree/.*token=(\w+)", line):
            return found.groups()
    raise AssertionError("the course printed no address")


def command_lines():
    found = {}
    for process in Path("/proc").glob("[0-9]*"):
        try:
            found[int(process.name)] = (process / "cmdline").read_bytes().decode()
        except OSError:  # it ended meanwhile
            continue
    return found


@pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="reads Linux's process list")
def test_the_course_serves_one_learner_and_ctrl_c_ends_all_of_it(tmp_path):
    folder = tmp_path / "my-course"
    process = start_course(folder)
    try:
        address, token = address_of(process)
        request = urllib.request.Request(
            address + "api/kernels", b"{}", {"Authorization": f"token {token}"}
        )
        assert urllib.request.urlopen(request).status == 201
        of_this_course = [line for line in command_lines().values() if str(folder) in line]
        assert sum("ipykernel" in line for line in of_this_course) == 1
        assert not any(token in line for line in command_lines().values())
        assert not server.ask(address + "api/contents", "a wrong token")

        second = start_course(folder)
        assert address_of(second) == (address, token)
        assert second.wait() == 0
    finally:
        process.send_signal(signal.SIGINT)
        rest, _ = process.communicate(timeout=30)
    assert process.returncode == 0
    assert "Traceback" not in rest
    assert not [line for line in command_lines().values() if str(folder) in line]


@pytest.fixture
def another_program():
    """A program that grants whatever it is asked: its `server_port`, and what it was `asked`."""

    class Grant(http.server.BaseHTTPRequestHandler):
        def do_GET(self):
            self.server.asked.append(f"{self.requestline} {self.headers}")
            self.send_response(200)
            self.end_headers()

        def do_POST(self):
            self.do_GET()

    with http.server.HTTPServer(("127.0.0.1", 0), Grant) as program:
        program.asked = []
        threading.Thread(target=program.serve_forever).start()
        yield program
        program.shutdown()


TAKEN_IN_BETWEEN = """
from launcher import server
free_port, ports = server.free_port, iter([{port}])
server.free_port = lambda wanted: next(ports, None) or free_port(wanted)
"""


@pytest.mark.skipif(os.name == "nt", reason="ends the course as Ctrl-C does on Unix")
@pytest.mark.parametrize("command", ["open", "present"])
def test_a_program_that_takes_the_port_in_between_is_left_alone(command, another_program, tmp_path):
    starter = TAKEN_IN_BETWEEN.format(port=another_program.server_port) + STARTER
    arguments = [command, "--no-browser", "--folder", str(tmp_path)]
    process = subprocess.Popen(
        [sys.executable, "-c", starter, *arguments],
        stdout=subprocess.PIPE,
        text=True,
        cwd=paths.ROOT,
    )
    try:
        found = (re.search(r"http://127\.0\.0\.1:(\d+)/.*token=", line) for line in process.stdout)
        address = next(filter(None, found))
        assert int(address[1]) != another_program.server_port
    finally:
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=30)
    assert process.returncode == 0
    assert another_program.asked == []
