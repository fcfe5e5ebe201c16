"""The servers of the course: JupyterLab for a learner, Voilà for a projector."""

import collections
import http.client
import json
import os
import re
import secrets
import signal
import socket
import subprocess
import sys
import time
import urllib.parse
import urllib.request
import webbrowser
from collections.abc import Callable, Iterable
from pathlib import Path

from launcher import environment, lesson_copies, paths
from launcher.common import (
    DISK_FULL,
    NO_RIGHT,
    CourseError,
    has_ended,
    last_words,
    open_lock,
    read_json,
    refuse_special,
    say,
    state_folder,
    wait,
    waiting,
)

PORTS = range(8870, 8970)

# A server: the Python module that runs it, with options; the option that sets its port; the page
# to begin with; a page that it answers to its token; and the name of its files in the state folder.
Server = collections.namedtuple("Server", "command port page status name")


def open_course(folder: Path, browser: bool) -> int:
    """Install what is missing, copy the lessons, and serve them until Ctrl-C."""
    state = state_folder(folder)
    lab = Server(
        ["launcher.lab", f"--ServerApp.root_dir={folder}"],
        port="--ServerApp.port",
        page=f"doc/tree/{urllib.parse.quote(lesson_copies.lessons()[0].name)}",
        status="api/status",
        name="server",
    )

    def copy():
        for message in lesson_copies.copy_lessons(folder):
            say(message)
        lesson_copies.list_course_code(state)

    environment.prepare(environment.LEARNER_PACKAGES)
    return serve_alone(lab, folder, browser, copy)


def present(folder: Path, browser: bool, lesson: str | None) -> int:
    """Serve the panels of the lessons, as pages for a projector, until Ctrl-C."""
    page = ""
    if lesson:
        page = f"voila/render/{urllib.parse.quote(lesson_copies.find_lesson(lesson).name)}"
    panels = Server(
        ["launcher.present"],
        port="--Voila.port",
        page=page,
        status="voila/api/contents",
        name="present",
    )
    environment.prepare(environment.LEARNER_PACKAGES)
    return serve_alone(panels, folder, browser, lesson_copies.check_lessons)


# --- one server a folder --------------------------------------------------------------------


def serve_alone(server: Server, folder: Path, browser: bool, make_ready: Callable[[], None]) -> int:
    """Serve a folder, or show the server of another start that does; return the exit code.

    Who holds the lock is alive and serves this folder; so only what that start wrote is believed.
    """
    state = state_folder(folder)
    notice = state / f"{server.name}.json"
    with open_lock(state / f"{server.name}.lock") as lock:
        if not lock():
            for _ in waiting("Another start is opening this folder; waiting for it."):
                # The turn began with a pause, in which what was written before its time is gone.
                if running := read_notice(notice):
                    say("The course is already running in another window. Showing it again.")
                    address, token = running
                    show(folder, address + server.page, token, browser)
                    return 0
                if lock():
                    break
        notice.unlink(missing_ok=True)
        make_ready()
        return serve(server, folder, notice, browser)


def address_of(port: int) -> str:
    """Return the address of a server, which is always on this machine."""
    return f"http://127.0.0.1:{port}/"


def read_notice(notice: Path) -> tuple[str, str] | None:
    """Return the address and the token of the server that a start wrote down, if it has."""
    content = read_json(notice)
    port, token = content.get("port"), content.get("token")
    if isinstance(port, int) and 0 < port < 65536 and isinstance(token, str) and token.isalnum():
        return address_of(port), token
    return None


def write_notice(notice: Path, port: int, token: str) -> None:
    """Write down for other starts where the server is; nobody else can read it."""
    notice.touch(mode=0o600)
    notice.write_text(json.dumps({"port": port, "token": token}), encoding="utf-8")


# --- from its start to its end --------------------------------------------------------------


def serve(server: Server, folder: Path, notice: Path, browser: bool) -> int:
    """Run a server until it ends or Ctrl-C ends it; return the exit code."""
    token = secrets.token_hex(24)
    log = notice.with_suffix(".log")
    for ports in [PORTS] + 9 * [()]:  # another program may take the port in between
        port = free_port(ports)
        process = start_server([*server.command, f"{server.port}={port}"], folder, token, log)
        try:
            if answers_in_time(process, address_of(port) + server.status, token, log):
                write_notice(notice, port, token)
                show(folder, address_of(port) + server.page, token, browser)
                say("Press Ctrl-C here to end the course.")
                wait(process)
                if process.returncode != 0:
                    raise CourseError(
                        f"The server stopped; its messages are in {log}. Start the course again."
                    )
                say("The course has ended.")
                return 0
        except KeyboardInterrupt:
            say("", "Ending the course ...")
            return 0
        finally:
            stop(process)
            notice.unlink(missing_ok=True)
            open_page(folder).unlink(missing_ok=True)
        if not PORT_TAKEN.search(log.read_text(encoding="utf-8", errors="replace")):
            break
    raise CourseError(explain_end(log))


PORT_TAKEN = re.compile("already in use|no available port")
REFUSED = re.compile("(?:PermissionError|Permission denied|Read-only file system).*'(.+)'")


def explain_end(log: Path) -> str:
    """Tell why a server ended as soon as it started."""
    said = log.read_text(encoding="utf-8", errors="replace")
    if no_right := REFUSED.search(said):
        return f"{no_right[1]} {NO_RIGHT}"
    if "No space left" in said:
        return DISK_FULL
    if PORT_TAKEN.search(said):
        return "Other programs took every port that was tried. Start the course again."
    environment.forget_damaged()
    words = last_words(said.splitlines())
    return f"The server ended as soon as it started. Its last words, from {log}:{words}"


def start_server(command: list[str], folder: Path, token: str, log: Path) -> subprocess.Popen:
    """Start a server; its settings in launcher/jupyter/ bind it to loopback.

    The token goes where other users cannot read it. The server does not hear the terminal's Ctrl-C:
    `stop` ends it in order, and its kernels with it. Its standard input tells it that we live.
    """
    with log.open("w") as output:
        return subprocess.Popen(
            [paths.VENV_PYTHON, "-m", *command],
            cwd=paths.ROOT,
            stdin=subprocess.PIPE,
            stdout=output,
            stderr=subprocess.STDOUT,
            env=environment.jupyter_environment(state_folder(folder), JUPYTER_TOKEN=token),
            start_new_session=os.name != "nt",
            creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0),
        )


def free_port(wanted: Iterable[int] = PORTS) -> int:
    """Return a loopback port that nobody listens on: the first one wanted, or else any."""
    for port in [*wanted, 0]:
        with socket.socket() as probe:
            # Elsewhere than on Windows this means that a port which was just let go is free.
            if os.name != "nt":
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return probe.getsockname()[1]
    raise CourseError("No port is free on this machine.")


SERVES = b"is running at:"  # what both servers log once they have found their port free


def answers_in_time(process: subprocess.Popen, url: str, token: str, log: Path) -> bool:
    """Wait until the server answers; return False if it ended instead.

    Until its log says that it serves, another program may have the port: it would be sent the
    token, and whatever it answers would pass for ours.
    """
    deadline = time.monotonic() + 120
    while not has_ended(process):
        if SERVES in log.read_bytes() and ask(url, token):
            return True
        if time.monotonic() > deadline:
            raise CourseError("The server did not answer for two minutes. Start the course again.")
        time.sleep(0.1)
    return False


def ask(url: str, token: str) -> bool:
    """Send a request to our own server, past any proxy; return whether it was granted."""
    headers = {"Authorization": f"token {token}"}
    request = urllib.request.Request(url, headers=headers)
    direct = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    try:
        with direct.open(request, timeout=10):
            return True
    except (OSError, http.client.HTTPException):
        return False


def show(folder: Path, url: str, token: str, browser: bool) -> None:
    """Open a page of a server in the browser, and print its address."""
    url = f"{url}?token={token}"
    if browser and has_screen():
        # Not the address itself: a browser's command line can be read by every user.
        page = open_page(folder)
        refuse_special(page)
        page.touch(mode=0o600)
        page.write_text(f'<meta http-equiv="refresh" content="0; url={url}">', encoding="utf-8")
        webbrowser.open(page.as_uri())
    say("The course is open at this address; copy it if no page came up:", f"    {url}")


def open_page(folder: Path) -> Path:
    """Return the page that leads a browser to the course. Some may not read hidden folders."""
    return folder / "open-course.html"


def has_screen() -> bool:
    """Tell whether a browser could show here, so that none starts in the terminal instead."""
    if os.name == "nt" or sys.platform == "darwin":
        return True
    return any(name in os.environ for name in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER"))


def stop(process: subprocess.Popen) -> None:
    """End the server; it ends its kernels."""
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)  # impatience would leave kernels behind
    try:
        process.stdin.close()
        process.wait(timeout=10)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
    finally:
        signal.signal(signal.SIGINT, before)
