"""The servers: how the course starts, is found again, and ends."""

import contextlib
import json
import os
import signal
import socket
import subprocess
import sys
import threading

import pytest
from browser.conftest import told_address
from helpers.needs import need_packages
from helpers.stranger import stranger

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


@pytest.mark.parametrize(
    "content",
    [
        {"url": "http://127.0.0.1:9/", "token": "aa", "port": "9"},
        {"token": "aa"},
        {"port": 9, "token": "a/../b"},
        {"port": -1, "token": "aa"},
        {"port": 65536, "token": "aa"},
        {"port": [], "token": {}},
        [],
    ],
)
def test_what_no_start_has_written_down_is_not_believed(tmp_path, content):
    notice = tmp_path / "server.json"
    notice.write_text(json.dumps(content))
    assert server.read_notice(notice) is None
    server.write_notice(notice, 9, "aa")
    assert server.read_notice(notice) == ("http://127.0.0.1:9/", "aa")


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


TAKEN_IN_BETWEEN = """
import sys
from launcher import cli, server
free_port, ports = server.free_port, iter([{port}])
server.free_port = lambda wanted: next(ports, None) or free_port(wanted)
sys.exit(cli.main(sys.argv[1:]))
"""


@pytest.mark.skipif(os.name == "nt", reason="ends the course as Ctrl-C does on Unix")
@pytest.mark.parametrize("command", ["open", "present"])
def test_a_program_that_takes_the_port_in_between_is_left_alone(command, tmp_path):
    need_packages()
    with stranger() as another:
        starter = TAKEN_IN_BETWEEN.format(port=another.server_port)
        process = subprocess.Popen(
            [sys.executable, "-c", starter, command, "--no-browser", "--folder", str(tmp_path)],
            stdout=subprocess.PIPE,
            text=True,
            cwd=paths.ROOT,
        )
        try:
            address, _ = told_address(process.stdout)
            assert address != server.address_of(another.server_port)
        finally:
            process.send_signal(signal.SIGINT)
            process.communicate(timeout=30)
    assert process.returncode == 0
    assert another.asked == []
