"""The packages in .venv, and the environment in which programs of the course run."""

import collections
import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
import time
from pathlib import Path

from launcher import paths
from launcher.common import (
    CourseError,
    check_writable,
    file_hash,
    read_json,
    remove,
    say,
    write_json,
)

NEWEST_PYTHON = (3, 14)  # that was tried; course.py knows the oldest

LEARNER_PACKAGES = "requirements.txt"
TEST_PACKAGES = "tests/requirements.txt"
INSTALL_RECORD = "course-installed.json"
LIBRARY_PATH = "course-library.pth"


def base_python():
    """Return the Python that .venv is made from, also if this runs inside .venv itself."""
    return getattr(sys, "_base_executable", None) or sys.executable


def prepare(*requirement_files):
    """Make .venv hold what these files pin: create, repair or complete it where needed."""
    wanted = {name: file_hash(paths.ROOT / name) for name in requirement_files}
    site = site_packages()
    installed = read_json(site / INSTALL_RECORD) if site else {}
    missing = [name for name in wanted if installed.get(name) != wanted[name]]
    if not missing:
        return

    check_writable(paths.ROOT)
    started = time.monotonic()
    uv = find_uv()
    usable = LEARNER_PACKAGES in installed and (uv or (site / "pip").is_dir())
    if not usable:
        site, installed, missing = create_venv(uv), {}, list(wanted)

    # The record loses an entry before an install and gets it back after: a start that finds the
    # entry missing knows that an install was cut short.
    write_json(site / INSTALL_RECORD, {k: v for k, v in installed.items() if k not in missing})
    install(uv, missing)
    # Relative, so that the folder may be moved.
    (site / LIBRARY_PATH).write_text(os.path.relpath(paths.ROOT, site), encoding="utf-8")
    check_packages()
    write_json(site / INSTALL_RECORD, dict(installed, **wanted))
    say(f"Installed in {time.monotonic() - started:.0f} s.")


def site_packages():
    """Return the folder of .venv's packages, or None if .venv has no working Python of its own."""
    question = "import json, sysconfig; print(json.dumps(sysconfig.get_path('purelib')))"
    try:
        answer = subprocess.run([paths.VENV_PYTHON, "-I", "-c", question], capture_output=True)
        folder = Path(json.loads(answer.stdout.decode("ascii")))
    except (OSError, ValueError):
        return None
    return folder if paths.VENV in folder.parents else None


def is_installed(site):
    """Tell whether a folder of packages holds what learners need, so that a start leaves it."""
    wanted = file_hash(paths.ROOT / LEARNER_PACKAGES)
    return bool(site) and read_json(site / INSTALL_RECORD).get(LEARNER_PACKAGES) == wanted


def find_uv():
    """Return the path of a uv that works, or None."""
    uv = shutil.which("uv")
    if uv and subprocess.run([uv, "--version"], capture_output=True).returncode == 0:
        return uv
    return None


def create_venv(uv):
    """Make an empty .venv, in place of whatever is there; return the folder for its packages."""
    if not uv:
        check_venv_module()
    if os.path.lexists(paths.VENV):
        say("The packages in .venv are incomplete; installing them again.")
        remove(paths.VENV)
    else:
        say("First start: installing the packages in .venv (about 600 MB on disk).")
    if uv:
        run_installer([uv, "venv", "--quiet", "--python", base_python(), paths.VENV])
    else:
        run_installer([base_python(), "-m", "venv", paths.VENV])
    site = site_packages()
    if site is None:
        raise CourseError(f"{base_python()} made no .venv that works; start with another Python.")
    return site


def check_venv_module():
    """Debian splits venv's other half, ensurepip, off into a package of its own."""
    if not all(importlib.util.find_spec(name) for name in ("venv", "ensurepip")):
        raise CourseError(
            "This Python comes without its venv module. On Debian and Ubuntu this adds it: "
            "sudo apt install python3-venv"
        )


def install(uv, requirement_files):
    """Install just the pinned packages, as ready-made wheels, compiled to bytecode."""
    if uv:
        command = [uv, "pip", "install", "--python", paths.VENV_PYTHON, "--compile-bytecode"]
    else:
        command = [paths.VENV_PYTHON, "-m", "pip", "install", "--disable-pip-version-check"]
        command += ["--no-input", "--retries", "2"]
    command += ["--no-deps", "--only-binary", ":all:"]  # DEVELOPERS.md says what is left out
    for name in requirement_files:
        command += ["-r", paths.ROOT / name]
    run_installer(command)


def run_installer(command):
    """Run one step of the installation, showing the line it is at; explain a failure."""
    last_lines = collections.deque(maxlen=200)
    terminal = sys.stdout.isatty()
    process = subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
        env=clean_environment(),
    )
    try:
        for line in process.stdout:
            if line.strip():
                last_lines.append(line.rstrip())
            if terminal:
                print("\r" + line.strip()[:76].ljust(76), end="", flush=True)
        process.wait()
    finally:
        process.terminate()
        process.wait()
        if terminal:
            print("\r" + " " * 76, end="\r", flush=True)
    if process.returncode != 0:
        raise CourseError(explain_installer(last_lines))


NO_NETWORK = re.compile(
    "NewConnectionError|name resolution|getaddrinfo|dns error|timed out|ConnectTimeout"
    "|ReadTimeout|unreachable|error sending request|tcp connect error|ProxyError"
    "|Connection refused|failed to lookup address",
    re.IGNORECASE,
)


def explain_installer(lines):
    """Turn an installer's output into a sentence."""
    output = "\n".join(lines)
    if NO_NETWORK.search(output):
        return (
            "The packages could not be fetched, because the network did not answer. "
            "Connect this machine to the internet and start again."
        )
    if "No space left" in output:
        return "The disk is full: the course needs about 600 MB. Make room and start again."
    last_words = "".join(f"\n    {line}" for line in list(lines)[-8:])
    return f"The packages could not be installed. The installer's last words:{last_words}"


def check_packages():
    """Start the big packages once: this shows that they work, and fills Matplotlib's font cache."""
    imports = "import ipywidgets, jupyterlab, matplotlib.font_manager, numpy, pint, scipy"
    result = subprocess.run(
        [paths.VENV_PYTHON, "-c", imports],
        capture_output=True,
        text=True,
        env=clean_environment(MPLCONFIGDIR=str(paths.FONT_CACHE)),
    )
    if result.returncode != 0:
        last_line = (result.stderr.strip().splitlines() or ["(nothing said)"])[-1]
        raise CourseError(f"The packages are installed but do not start: {last_line}")


def font_cache(state):
    """Return Matplotlib's folder: the one filled on installation, unless that is read-only."""
    return paths.FONT_CACHE if os.access(paths.VENV, os.W_OK) else state / "matplotlib"


def clean_environment(**settings):
    """Return this environment without what would steer our Python, Jupyter or Matplotlib."""
    foreign = ("JUPYTER", "IPYTHON", "MPL", "PYTHONPATH", "PYTHONHOME", "PYTHONSTARTUP")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(foreign)}
    return dict(kept, **settings)


def jupyter_environment(state, **settings):
    """Return an environment in which Jupyter reads and writes only inside the course."""
    return clean_environment(
        MPLCONFIGDIR=str(font_cache(state)),
        JUPYTER_CONFIG_PATH=str(paths.JUPYTER),
        JUPYTER_PATH=str(paths.JUPYTER),
        JUPYTER_CONFIG_DIR=str(state / "config"),
        JUPYTER_DATA_DIR=str(state / "data"),
        JUPYTER_RUNTIME_DIR=str(state / "runtime"),
        JUPYTERLAB_SETTINGS_DIR=str(state / "settings"),
        JUPYTERLAB_WORKSPACES_DIR=str(state / "workspaces"),
        IPYTHONDIR=str(state / "ipython"),
        **settings,
    )
