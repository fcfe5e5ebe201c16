"""The packages in .venv, and the environment in which programs of the course run."""

import collections
import importlib.util
import itertools
import json
import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterable, Sequence
from pathlib import Path

from launcher import paths
from launcher.common import (
    CourseError,
    check_writable,
    explain,
    file_hash,
    last_words,
    locked,
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


def prepare(*requirement_files: str) -> None:
    """Make .venv hold what these files pin. Packages that work are never lost by it.

    Learners go on with those of an earlier version, if the new ones cannot be had.
    """
    if not missing(requirement_files):
        return
    check_writable(paths.ROOT)
    busy = "Another start is installing the packages; waiting for it."
    with locked(paths.ROOT / ".venv.lock", busy):
        finish_exchange()
        try:
            complete(requirement_files)
        except (CourseError, OSError) as problem:
            sentence = explain(problem)
            only_learners = requirement_files == (LEARNER_PACKAGES,)
            if not sentence or not only_learners or LEARNER_PACKAGES not in read_record():
                raise
            say(sentence, "Using the packages of an earlier version instead.")


def missing(requirement_files: Iterable[str]) -> list[str]:
    """Return those of the files whose packages are not in .venv as they are pinned now."""
    record = read_record()
    return [name for name in requirement_files if record.get(name) != file_hash(paths.ROOT / name)]


def read_record() -> dict:
    """Return the hashes of the files whose packages are in .venv."""
    site = site_packages()
    return read_json(site / INSTALL_RECORD) if site else {}


def complete(requirement_files: Sequence[str]) -> None:
    """Add packages to .venv; where the learner's own are to change, make another .venv."""
    todo = missing(requirement_files)
    if not todo:
        return
    started = time.monotonic()
    uv, site = find_uv(), site_packages()
    if LEARNER_PACKAGES in todo or not (uv or (site / "pip").is_dir()):
        exchange(uv, requirement_files)
    else:
        fill(uv, site, todo)
    say(f"Installed in {time.monotonic() - started:.0f} s.")


def exchange(uv: str | None, requirement_files: Sequence[str]) -> None:
    """Make a new .venv; put the former one back if that fails.

    The new one is made in its place and the former set aside, not the other way round: what is
    installed has the path of .venv in it.
    """
    if LEARNER_PACKAGES in read_record():
        try_network(uv, site_packages())
    aside = set_aside()
    try:
        site = create_venv(uv)
        fill(uv, site, requirement_files)
    except BaseException:
        put_back(aside)
        raise
    if aside == paths.OLD_VENV:
        remove(aside)


def set_aside() -> Path | None:
    """Move what is at .venv out of the way; return where it is, or None if there is nothing."""
    if not os.path.lexists(paths.VENV):
        say("First start: installing the packages in .venv (about 600 MB on disk).")
        return None
    if any(paths.VENV.rglob(INSTALL_RECORD)):
        aside = paths.OLD_VENV
        say("The packages in .venv are incomplete or of another version; installing them again.")
    else:
        names = (paths.ROOT / f".venv-{number}" for number in itertools.count(1))
        aside = next(path for path in names if not os.path.lexists(path))
        say(f".venv was not made by the course: it is now {aside.name}, and can be deleted.")
    return paths.VENV.rename(aside)


def put_back(aside: Path | None) -> None:
    """Undo `set_aside`, in place of whatever is at .venv now."""
    if os.path.lexists(paths.VENV):
        remove(paths.VENV)
    if aside:
        aside.rename(paths.VENV)


def finish_exchange() -> None:
    """Bring to its end an exchange that was cut short: the new .venv stays only if it is whole."""
    if not os.path.lexists(paths.OLD_VENV):
        return
    if LEARNER_PACKAGES in read_record():
        remove(paths.OLD_VENV)
    else:
        put_back(paths.OLD_VENV)


def fill(uv: str | None, site: Path, requirement_files: Sequence[str]) -> None:
    """Install the packages that these files pin, and keep a record of it.

    The record loses an entry before an install and gets it back after: a start that finds the
    entry missing knows that an install was cut short.
    """
    record = read_json(site / INSTALL_RECORD)
    others = {name: text for name, text in record.items() if name not in requirement_files}
    write_json(site / INSTALL_RECORD, others)
    install(uv, requirement_files)
    # Relative, so that the folder may be moved.
    (site / LIBRARY_PATH).write_text(os.path.relpath(paths.ROOT, site), encoding="utf-8")
    check_packages()
    installed = {name: file_hash(paths.ROOT / name) for name in requirement_files}
    write_json(site / INSTALL_RECORD, others | installed)


def forget_damaged() -> None:
    """Let the next start install all packages again, if they do not start; say so."""
    try:
        check_packages()
    except CourseError as problem:
        write_json(site_packages() / INSTALL_RECORD, {})
        raise CourseError(
            f"The packages in .venv are damaged ({problem}). Start the course again, with the "
            "internet: it will install them anew."
        ) from None


def site_packages():
    """Return the folder of .venv's packages, or None if .venv has no working Python of its own."""
    question = "import json, sysconfig; print(json.dumps(sysconfig.get_path('purelib')))"
    try:
        command = [paths.VENV_PYTHON, "-I", "-c", question]
        answer = subprocess.run(command, capture_output=True, env=clean_environment())
        folder = Path(json.loads(answer.stdout.decode("ascii")))
    except (OSError, ValueError):
        return None
    return folder if paths.VENV in folder.parents else None


def find_uv():
    """Return the path of a uv that works, or None."""
    uv = shutil.which("uv")
    if uv is None:
        return None
    tried = subprocess.run([uv, "--version"], capture_output=True, env=clean_environment())
    return uv if tried.returncode == 0 else None


def create_venv(uv: str | None) -> Path:
    """Make an empty .venv, known as the course's; return the folder for its packages."""
    if uv:
        run_installer([uv, "venv", "--quiet", "--python", base_python(), paths.VENV])
    else:
        check_venv_module()
        run_installer([base_python(), "-m", "venv", paths.VENV])
    site = site_packages()
    if site is None:
        raise CourseError(f"{base_python()} made no .venv that works; start with another Python.")
    write_json(site / INSTALL_RECORD, {})
    return site


def check_venv_module():
    """Debian splits venv's other half, ensurepip, off into a package of its own."""
    if not all(importlib.util.find_spec(name) for name in ("venv", "ensurepip")):
        raise CourseError(
            "This Python comes without its venv module. On Debian and Ubuntu this adds it: "
            "sudo apt install python3-venv"
        )


def try_network(uv: str | None, site: Path) -> None:
    """Fail where no package can be fetched, before packages that work are set aside."""
    if not (uv or (site / "pip").is_dir()):
        return
    lines = (paths.ROOT / LEARNER_PACKAGES).read_text(encoding="utf-8").splitlines()
    first = next(line for line in lines if line[:1].isalnum())
    run_installer([*install_command(uv), "--dry-run", "--force-reinstall", first])


def install(uv: str | None, requirement_files: Iterable[str]) -> None:
    """Install just the pinned packages."""
    files = [word for name in requirement_files for word in ("-r", paths.ROOT / name)]
    run_installer([*install_command(uv), *files])


def install_command(uv: str | None) -> list:
    """Return how packages are installed: as ready-made wheels, compiled to bytecode."""
    if uv:
        command = [uv, "pip", "install", "--python", paths.VENV_PYTHON, "--compile-bytecode"]
    else:
        command = [paths.VENV_PYTHON, "-m", "pip", "install", "--disable-pip-version-check"]
        command += ["--no-input", "--retries", "2"]
    return [*command, "--no-deps", "--only-binary", ":all:"]  # DEVELOPERS.md: what is left out


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
WRONG_CLOCK = re.compile(
    "certificate (?:is not yet valid|has expired|not valid yet|expired)|: (?:NotValidYet|Expired)"
)


def explain_installer(lines):
    """Turn an installer's output into a sentence."""
    output = "\n".join(lines)
    if "No space left" in output:
        return "The disk is full: the course needs about 600 MB. Make room and start again."
    if WRONG_CLOCK.search(output):
        return (
            "The packages could not be fetched, because certificates do not fit this machine's "
            f"clock, which shows {time.strftime('%d %B %Y')}. Set date and time, and start again."
        )
    if NO_NETWORK.search(output):
        return (
            "The packages could not be fetched, because the network did not answer. "
            "Connect this machine to the internet and start again."
        )
    return f"The packages could not be installed. The installer's last words:{last_words(lines)}"


def check_packages():
    """Start the big packages once: this shows that they work, and fills Matplotlib's font cache."""
    imports = "import ipywidgets, jupyterlab.labapp, matplotlib.font_manager, numpy, pint, scipy"
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


# What steers Python, its debuggers, installers, Jupyter or Matplotlib.
FOREIGN = ("PYTHON", "_PYTHON", "__PYVENV", "VIRTUAL_ENV", "PYDEVD", "DEBUGPY", "PIP_", "UV_")
FOREIGN += ("JUPYTER", "JPY_", "IPYTHON", "VOILA", "MPL")
# Where packages come from, though: a company's own index is set on purpose.
SOURCES = ("INDEX_URL", "EXTRA_INDEX_URL", "PROXY", "CERT", "CLIENT_CERT", "TRUSTED_HOST")
KEPT = {f"PIP_{name}" for name in (*SOURCES, "CONFIG_FILE")}
KEPT |= {f"UV_{name}" for name in ("INDEX_URL", "DEFAULT_INDEX", "EXTRA_INDEX_URL", "CONFIG_FILE")}


def clean_environment(**settings: str) -> dict[str, str]:
    """Return this environment without what would steer programs of the course."""
    kept = {
        name: text
        for name, text in os.environ.items()
        if name in KEPT or not name.startswith(FOREIGN)
    }
    return kept | settings


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
