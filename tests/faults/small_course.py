"""A course that installs in seconds: the real launcher, with a stand-in for all packages.

The stand-in is a real wheel, which the real pip installs from a folder. Its JupyterLab is a few
lines that answer, log and fail as the real one does. An empty .venv is a copy of one that the real
venv has made, since that takes pip's own installation each time: `make_venv_really` undoes this.
"""

import os
import re
import shutil
import signal
import subprocess
import sys
import zipfile
from pathlib import Path

from launcher import paths

MODULES = {
    **dict.fromkeys(("ipywidgets", "numpy", "pint", "scipy", "matplotlib/font_manager"), ""),
    "matplotlib/__init__": "",
    "jupyterlab/__init__": "",
    "jupyterlab/__main__": "from jupyterlab.labapp import main\nmain()\n",
    "jupyterlab/labapp": """
import http.server, json, os, pathlib, re, sys, time

def main():
    if sys.flags.optimize:
        sys.exit("does not start without docstrings")
    runtime = pathlib.Path(os.environ["JUPYTER_RUNTIME_DIR"])
    runtime.mkdir(parents=True, exist_ok=True)
    (runtime / "jupyter_cookie_secret").write_text("secret")
    port = int(re.search(r"ServerApp.port=(\\d+)", " ".join(sys.argv))[1])
    time.sleep(float(os.environ.get("SLOW", 0)))
    try:
        server = http.server.HTTPServer(("127.0.0.1", port), Answer)
    except OSError:
        sys.exit(f"The port {port} is already in use.")
    print(f"is running at: {port}", flush=True)
    server.serve_forever()

class Answer(http.server.BaseHTTPRequestHandler):
    def do_GET(self):
        ours = self.headers["Authorization"] == "token " + os.environ["JUPYTER_TOKEN"]
        self.send_response(200 if ours else 403)
        self.end_headers()

    def do_POST(self):
        self.do_GET()
        os._exit(0)
""",
}

MAKE_VENV = 'run_installer([base_python(), "-m", "venv", paths.VENV])'


class SmallCourse:
    """A course in a folder of its own, to be started as a newcomer does."""

    def __init__(self, root: Path, index: Path, empty_venv: Path):
        self.root, self._index = root, index
        self.venv = root / ".venv"
        self.environment = {}
        self.go_online()
        self._started = []
        ignore = shutil.ignore_patterns("__pycache__")
        shutil.copytree(paths.ROOT / "launcher", root / "launcher", ignore=ignore)
        self.change(
            "environment", MAKE_VENV, f'run_installer(["cp", "-a", "{empty_venv}", paths.VENV])'
        )
        shutil.copy(paths.COURSE, root)
        (root / "lessons").mkdir()
        shutil.copy(paths.LESSONS / "00-start-here.ipynb", root / "lessons")
        self.release("1")

    def release(self, version: str, **more: bytes) -> None:
        """Bring out a version whose packages are pinned to it, and put these on the index."""
        (self.root / "requirements.txt").write_text(f"stand-in=={version}\n")
        folder = self._index / "stand-in"
        folder.mkdir(parents=True, exist_ok=True)
        name = f"stand_in-{version}-py3-none-any.whl"
        files = {f"{module}.py": text.encode() for module, text in MODULES.items()} | more
        info = f"stand_in-{version}.dist-info"
        files[f"{info}/METADATA"] = (
            f"Metadata-Version: 2.1\nName: stand-in\nVersion: {version}".encode()
        )
        files[f"{info}/WHEEL"] = b"Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any"
        files["version.txt"] = version.encode()
        files[f"{info}/RECORD"] = "".join(f"{path},,\n" for path in files).encode()
        with zipfile.ZipFile(folder / name, "w", zipfile.ZIP_DEFLATED) as wheel:
            for path, content in files.items():
                wheel.writestr(path, content)
        wheels = sorted(path.name for path in folder.glob("*.whl"))
        links = "".join(f'<a href="{name}">{name}</a>\n' for name in wheels)
        (folder / "index.html").write_text(f"<!DOCTYPE html><html><body>{links}</body></html>")

    def change(self, module: str, old: str, new: str) -> None:
        """Change a line of the launcher."""
        path = self.root / "launcher" / f"{module}.py"
        text = path.read_text()
        assert old in text
        path.write_text(text.replace(old, new))

    def make_venv_really(self) -> None:
        """Take back that an empty .venv is a copy."""
        shutil.copy(paths.ROOT / "launcher" / "environment.py", self.root / "launcher")

    def go_online(self) -> None:
        """Let the network answer."""
        self.environment["PIP_INDEX_URL"] = self._index.as_uri()

    def go_offline(self) -> None:
        """Let the network no longer answer."""
        self.environment["PIP_INDEX_URL"] = "http://127.0.0.1:9/simple"

    def start(self, folder="my-course", *, prefix=(), **environment) -> "Start":
        """Start the course."""
        started = Start(
            [*prefix, sys._base_executable, "course.py", "--no-browser", "--folder", folder],
            self.root,
            os.environ | self.environment | environment,
        )
        self._started.append(started)
        return started

    def installed_version(self) -> str:
        """The version of the packages that are installed."""
        return next(self.venv.rglob("version.txt")).read_text()

    def close(self) -> None:
        """End all that was started."""
        for started in self._started:
            started.end()


class Start:
    """One start of the course: `address` and `token` once it is there; else `said` says why."""

    def __init__(self, command, root, environment):
        self.process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            cwd=root,
            env=environment,
        )
        self.said = ""

    def wait(self) -> "Start":
        """Wait until it is there, or has ended."""
        for line in self.process.stdout:
            self.said += line
            if found := re.search(r"(http://\S+:(\d+)/)\S*token=(\w+)", line):
                self.address, self.port, self.token = found.groups()
                return self
        self.process.wait(timeout=10)
        return self

    def hear(self, word: str) -> None:
        """Wait until it has said this."""
        for line in self.process.stdout:
            self.said += line
            if word in line:
                return

    @property
    def serves(self) -> bool:
        """Whether it is there."""
        return hasattr(self, "address")

    def interrupt(self) -> int:
        """Press Ctrl-C, and wait; the exit code."""
        self.process.send_signal(signal.SIGINT)
        self.said += self.process.communicate(timeout=30)[0]
        return self.process.returncode

    def end(self) -> None:
        """End it if it runs."""
        if self.process.poll() is None:
            self.interrupt()
        self.process.stdout.close()
