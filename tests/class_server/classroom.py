"""A class server as the guide sets it up, on loopback, and what runs for it on this machine.

Learners' accounts can read neither every checkout nor every Python, so the course is copied to
where they can. Installed packages stay there from one run to the next.
"""

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace

import httpx
import psutil

from class_server.learner import Learner
from launcher import common, environment, paths

PLACE = Path("/var/cache/course-class-test")  # only root can write there
CONTAINED = (paths.ROOT / ".dockerignore").read_text(encoding="utf-8").splitlines()
COPIED = [line[1:] for line in CONTAINED if line.startswith("!")]  # as into the container
SCRIPTS = PLACE / "lessons" / "instructor" / "class"
ONLY_ROOTS = "/root/course-test-bin"  # on the path of whoever starts the class
PATIENCE = 120  # seconds

# The learners of the tests.
IN_CLASS = {"ann": "course-test-ann", "ben": "course-test-ben", "cem": "course-test-cem"}
NAMES = SimpleNamespace(**IN_CLASS, dan="course-test-dan")  # Dan comes late


def what_is_missing() -> str:
    """What this machine lacks for a class server, in a sentence; nothing if all is there."""
    if not sys.platform.startswith("linux") or os.geteuid() != 0:
        return "The class server is tested on Linux, by root: it needs accounts for its learners."
    if not shutil.which("node") or not shutil.which("npm"):
        return "The class server needs Node and npm. On Debian: sudo apt install nodejs npm"
    if not python_for_all():
        return "The class server needs a Python that all accounts can run, such as Debian's."
    return ""


def python_for_all() -> str | None:
    """The path of a Python that every account of this machine can run."""
    for python in (environment.base_python(), "/usr/bin/python3"):
        folders = Path(python).resolve().parents
        if os.path.exists(python) and all(folder.stat().st_mode & 0o001 for folder in folders):
            return python
    return None


class Classroom:
    """A class server. `log` is all that it said."""

    def __init__(self):
        self.passwords = {}
        self.log = PLACE.with_suffix(".log")
        self._proxy, self._proxy_api, self._hub = free_ports(3)
        self.address = f"http://127.0.0.1:{self._proxy}"
        self.proxy_api = f"http://127.0.0.1:{self._proxy_api}"
        self._server = None

    def install(self) -> None:
        """Lay the course of now, and what it needs if that has changed."""
        PLACE.mkdir(mode=0o755, exist_ok=True)
        for name in COPIED:
            if (PLACE / name).exists():
                common.remove(PLACE / name)
            source = paths.ROOT / name
            (shutil.copytree if source.is_dir() else shutil.copy)(source, PLACE / name)
        shutil.rmtree(PLACE / "my-class", ignore_errors=True)
        self.log.unlink(missing_ok=True)
        run(python_for_all(), SCRIPTS / "serve.py", "--install")

    def add(self, *names: str) -> None:
        """Make accounts for learners."""
        said = run(python_for_all(), SCRIPTS / "learners.py", *names)
        self.passwords |= dict(line.split() for line in said.splitlines())

    def start(self, *options: str, commands: Path | None = None) -> None:
        """Start the hub and wait until it answers; `commands` come before those of the machine."""
        command = [python_for_all(), SCRIPTS / "serve.py", f"--JupyterHub.bind_url={self.address}"]
        command += [f"--JupyterHub.hub_port={self._hub}"]
        command += [f"--ConfigurableHTTPProxy.api_url={self.proxy_api}", *options]
        path = [str(commands)] if commands else []
        environment = dict(os.environ, PATH=":".join([*path, ONLY_ROOTS, os.environ["PATH"]]))
        with self.log.open("a") as log:
            self._server = subprocess.Popen(
                list(map(str, command)), stdout=log, stderr=subprocess.STDOUT, env=environment
            )
        give_up = time.monotonic() + PATIENCE
        while not answers(f"{self.address}/hub/health"):
            starting = self._server.poll() is None and time.monotonic() < give_up
            assert starting, self.log.read_text(encoding="utf-8")
            time.sleep(0.2)

    def stop(self) -> None:
        """End it as Ctrl-C does; it ends what it has started."""
        self._server.send_signal(signal.SIGINT)
        self._server.wait(timeout=PATIENCE)

    def kill_hub(self) -> None:
        """End the hub as a fault does, with no time to end anything else."""
        self._server.kill()
        self._server.wait(timeout=PATIENCE)

    def learner(self, name: str, password: str | None = None) -> Learner:
        """A browser of one learner; with another password than theirs if one is given."""
        typed = self.passwords[name] if password is None else password
        return Learner(self.address, name, typed)

    def close(self) -> None:
        """Leave nothing of it on the machine but the installed packages and the learners' group."""
        try:
            if self._server and self._server.poll() is None:
                self.stop()
        finally:
            for name in self.passwords:
                self.remove(name)

    def remove(self, name: str) -> None:
        """End what a learner's account runs, and delete it with its files."""
        for process in processes_of(name):
            process.kill()
        run("userdel", "--remove", "--force", name)

    def processes(self) -> dict[str, list[psutil.Process]]:
        """Everything that runs for the class, by what it is."""
        of_learners = [process for name in self.passwords for process in processes_of(name)]
        return {
            "hub": [psutil.Process(self._server.pid)],
            "proxy": [p for p in psutil.Process(self._server.pid).children() if is_proxy(p)],
            "servers": [process for process in of_learners if not is_kernel(process)],
            "kernels": [process for process in of_learners if is_kernel(process)],
        }


def is_proxy(process: psutil.Process) -> bool:
    """Whether a process is the proxy in front of all servers."""
    return "configurable-http-proxy" in " ".join(process.cmdline())


def is_kernel(process: psutil.Process) -> bool:
    """Whether a process runs a lesson."""
    return "ipykernel_launcher" in process.cmdline()


def processes_of(name: str) -> list[psutil.Process]:
    """What runs under a learner's account."""
    return [each for each in psutil.process_iter(["username"]) if each.info["username"] == name]


def run(*command) -> str:
    """Run a command to its end; return what it printed."""
    result = subprocess.run(list(map(str, command)), capture_output=True, text=True)
    assert result.returncode == 0, f"{command}: {result.stdout}\n{result.stderr}"
    return result.stdout


def answers(url: str) -> bool:
    """Whether a server answers well."""
    try:
        return httpx.get(url, trust_env=False).is_success
    except httpx.HTTPError:
        return False


def free_ports(count: int) -> list[int]:
    """Loopback ports that nobody listens on."""
    sockets = [socket.create_server(("127.0.0.1", 0)) for _ in range(count)]
    ports = [each.getsockname()[1] for each in sockets]
    for each in sockets:
        each.close()
    return ports
