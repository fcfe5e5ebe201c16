"""The servers of the course: JupyterLab for a learner, Voilà for a projector."""

import collections
import http.client
import os
import secrets
import signal
import socket
import subprocess
import sys
import time
import urllib.parse
import urllib.request
import webbrowser
from pathlib import Path

from launcher import environment, lesson_copies, paths
from launcher.common import CourseError, read_json, say, state_folder, wait

FIRST_PORT = 8870

# A server: the Python module that runs it, with options; the option that sets its port; the page
# to begin with; a page that it answers to its token; and the name of its log.
Server = collections.namedtuple("Server", "command port page status log")


def open_course(folder: Path, browser: bool) -> int:
    """Install what is missing, copy the lessons, and serve them until Ctrl-C."""
    state = state_folder(folder)
    first = f"doc/tree/{urllib.parse.quote(lesson_copies.lessons()[0].name)}"

    environment.prepare(environment.LEARNER_PACKAGES)
    running = running_server(state)
    if running:
        say("The course is already running in another window; this shows it again.")
        address, token = running
        show(folder, address + first, token, browser)
        return 0
    for message in lesson_copies.copy_lessons(folder):
        say(message)
    lesson_copies.list_course_code(state)
    lab = Server(
        ["jupyterlab", f"--ServerApp.root_dir={folder}"],
        port="--ServerApp.port",
        page=first,
        status="api/status",
        log="server.log",
    )
    return serve(lab, folder, browser)


def present(folder: Path, browser: bool, lesson: str | None) -> int:
    """Serve the panels of the lessons, as pages for a projector, until Ctrl-C."""
    page = ""
    if lesson:
        page = f"voila/render/{urllib.parse.quote(lesson_copies.find_lesson(lesson).name)}"

    environment.prepare(environment.LEARNER_PACKAGES)
    lesson_copies.check_lessons()
    panels = Server(
        ["launcher.present"],
        port="--Voila.port",
        page=page,
        status="voila/api/contents",
        log="present.log",
    )
    return serve(panels, folder, browser)


def running_server(state):
    """Return the address and the token of this learner's server if one answers, else None."""
    for path in (state / "runtime").glob("jpserver-*.json"):
        server = read_json(path)
        if server and ask(server["url"] + "api/status", server["token"]):
            return server["url"], server["token"]
    return None


def serve(server, folder, browser):
    """Run a server until it ends or Ctrl-C ends it; return the exit code."""
    token = secrets.token_hex(24)
    log = state_folder(folder) / server.log
    for _ in range(3):  # another program may take the port in between
        port = free_port()
        address = f"http://127.0.0.1:{port}/"
        command = [*server.command, f"{server.port}={port}"]
        process = start_server(command, folder, token, log)
        try:
            if answers_in_time(process, address + server.status, token, log):
                show(folder, address + server.page, token, browser)
                say("Press Ctrl-C here to end the course.")
                wait(process)
                if process.returncode != 0:
                    raise CourseError(
                        f"The server broke off; what it said is in {log}. Start the course again."
                    )
                say("The course has ended.")
                return 0
        except KeyboardInterrupt:
            say("", "Ending the course ...")
            return 0
        finally:
            stop(process, address, token)
            if open_page(folder).exists():
                open_page(folder).unlink()
    (environment.site_packages() / environment.INSTALL_RECORD).unlink()
    raise CourseError(
        f"The server ended as soon as it started; what it said is in {log}. "
        "Start the course again: it will install its packages anew."
    )


def start_server(command, folder, token, log):
    """Start a server; its settings in launcher/jupyter/ bind it to loopback.

    The token goes where other users cannot read it. The server does not hear the terminal's Ctrl-C:
    `stop` ends it in order, and its kernels with it.
    """
    with log.open("w") as output:
        return subprocess.Popen(
            [paths.VENV_PYTHON, "-m", *command],
            cwd=paths.ROOT,
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=subprocess.STDOUT,
            env=environment.jupyter_environment(state_folder(folder), JUPYTER_TOKEN=token),
            start_new_session=os.name != "nt",
            creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0),
        )


def free_port():
    """Return a loopback port that nobody listens on, the same one again where possible."""
    for port in [*range(FIRST_PORT, FIRST_PORT + 100), 0]:
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


def answers_in_time(process, url, token, log):
    """Wait until the server answers; return False if it ended instead.

    Until its log says that it serves, another program may have the port: it would be sent the
    token, and whatever it answers would pass for ours.
    """
    deadline = time.monotonic() + 120
    while process.poll() is None:
        if SERVES in log.read_bytes() and ask(url, token):
            return True
        if time.monotonic() > deadline:
            raise CourseError("The server did not answer for two minutes. Start the course again.")
        time.sleep(0.1)
    return False


def ask(url, token, method="GET"):
    """Send a request to our own server, past any proxy; return whether it was granted."""
    headers = {"Authorization": f"token {token}"}
    request = urllib.request.Request(url, method=method, headers=headers)
    direct = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    try:
        with direct.open(request, timeout=10):
            return True
    except (OSError, http.client.HTTPException):
        return False


def show(folder, url, token, browser):
    """Open a page of a server in the browser, and print its address."""
    url = f"{url}?token={token}"
    if browser and has_screen():
        # Not the address itself: a browser's command line can be read by every user.
        page = open_page(folder)
        page.touch(mode=0o600)
        page.write_text(f'<meta http-equiv="refresh" content="0; url={url}">', encoding="utf-8")
        webbrowser.open(page.as_uri())
    say("The course is open at this address; copy it if no page came up:", f"    {url}")


def open_page(folder):
    """Return the page that leads a browser to the course. Some may not read hidden folders."""
    return folder / "open-course.html"


def has_screen():
    """Tell whether a browser could show here, so that none starts in the terminal instead."""
    if os.name == "nt" or sys.platform == "darwin":
        return True
    return any(name in os.environ for name in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER"))


def stop(process, address, token):
    """End the server; it ends its kernels."""
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)  # impatience would leave kernels behind
    try:
        if process.poll() is None and not ask(address + "api/shutdown", token, method="POST"):
            process.terminate()
        process.wait(timeout=10)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
    finally:
        signal.signal(signal.SIGINT, before)
