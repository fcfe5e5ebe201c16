#!/usr/bin/env python3
"""Set the course up in .venv, then open, present, export or test it.

Only the standard library is used here, because this runs before anything is installed. The file
also has to be readable for old Pythons, so that they can say in a sentence that they are too old.
"""

import argparse
import collections
import contextlib
import errno
import hashlib
import http.client
import importlib.util
import itertools
import json
import os
import re
import secrets
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.parse
import urllib.request
import webbrowser
from pathlib import Path

OLDEST_PYTHON = (3, 11)
NEWEST_PYTHON = (3, 14)

ROOT = Path(__file__).resolve().parent
LESSONS = ROOT / "lessons"
JUPYTER = ROOT / "jupyter"
MY_COURSE = ROOT / "my-course"

LEARNER_PACKAGES = "requirements.txt"
TEST_PACKAGES = "tests/requirements.txt"

VENV = ROOT / ".venv"
VENV_PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
FONT_CACHE = VENV / "matplotlib"
INSTALL_RECORD = "course-installed.json"
LIBRARY_PATH = "course-library.pth"

FIRST_PORT = 8870


class CourseError(Exception):
    """Something the reader can put right; the message is the sentence that they see."""


def say(*lines):
    """Print at once, also where nobody watches a terminal."""
    print(*lines, sep="\n", flush=True)


# --- the Python that runs this --------------------------------------------------------------


def check_python(version):
    """Refuse a Python that is too old, and warn about one that nobody has tried yet."""
    found = ".".join(str(number) for number in version[:3])
    if tuple(version[:2]) < OLDEST_PYTHON:
        raise CourseError(
            f"The course needs Python 3.11 to 3.14, and this is Python {found}. "
            "Install one of those and start with it, for example: python3.12 course.py"
        )
    if tuple(version[:2]) > NEWEST_PYTHON:
        say(f"Python {found} is newer than 3.14, the newest one tried; going on with it.")


def base_python():
    """Return the Python that .venv is made from, also if this runs inside .venv itself."""
    return getattr(sys, "_base_executable", None) or sys.executable


# --- the packages in .venv ------------------------------------------------------------------


def prepare(*requirement_files):
    """Make .venv hold what these files pin: create, repair or complete it where needed."""
    wanted = {name: file_hash(ROOT / name) for name in requirement_files}
    site = site_packages()
    installed = read_json(site / INSTALL_RECORD) if site else {}
    missing = [name for name in wanted if installed.get(name) != wanted[name]]
    if not missing:
        return

    check_writable(ROOT)
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
    (site / LIBRARY_PATH).write_text(os.path.relpath(ROOT, site), encoding="utf-8")
    check_packages()
    write_json(site / INSTALL_RECORD, dict(installed, **wanted))
    say(f"Installed in {time.monotonic() - started:.0f} s.")


def site_packages():
    """Return the folder of .venv's packages, or None if .venv has no working Python of its own."""
    question = "import json, sysconfig; print(json.dumps(sysconfig.get_path('purelib')))"
    try:
        answer = subprocess.run([str(VENV_PYTHON), "-I", "-c", question], capture_output=True)
        folder = Path(json.loads(answer.stdout.decode("ascii")))
    except (OSError, ValueError):
        return None
    return folder if VENV in folder.parents else None


def is_installed(site):
    """Tell whether a folder of packages holds what learners need, so that a start leaves it."""
    wanted = file_hash(ROOT / LEARNER_PACKAGES)
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
    if os.path.lexists(str(VENV)):
        say("The packages in .venv are incomplete; installing them again.")
        remove(VENV)
    else:
        say("First start: installing the packages in .venv (about 600 MB on disk).")
    if uv:
        run_installer([uv, "venv", "--quiet", "--python", base_python(), str(VENV)])
    else:
        run_installer([base_python(), "-m", "venv", str(VENV)])
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
        command = [uv, "pip", "install", "--python", str(VENV_PYTHON), "--compile-bytecode"]
    else:
        command = [str(VENV_PYTHON), "-m", "pip", "install", "--disable-pip-version-check"]
        command += ["--no-input", "--retries", "2"]
    command += ["--no-deps", "--only-binary", ":all:"]  # DEVELOPERS.md says what is left out
    for name in requirement_files:
        command += ["-r", str(ROOT / name)]
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
        universal_newlines=True,
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
        [str(VENV_PYTHON), "-c", imports],
        capture_output=True,
        text=True,
        env=clean_environment(MPLCONFIGDIR=str(FONT_CACHE)),
    )
    if result.returncode != 0:
        last_line = (result.stderr.strip().splitlines() or ["(nothing said)"])[-1]
        raise CourseError(f"The packages are installed but do not start: {last_line}")


def font_cache(state):
    """Return Matplotlib's folder: the one filled on installation, unless that is read-only."""
    return FONT_CACHE if os.access(str(VENV), os.W_OK) else state / "matplotlib"


def clean_environment(**settings):
    """Return this environment without what would steer our Python, Jupyter or Matplotlib."""
    foreign = ("JUPYTER", "IPYTHON", "MPL", "PYTHONPATH", "PYTHONHOME", "PYTHONSTARTUP")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(foreign)}
    return dict(kept, **settings)


def jupyter_environment(state, **settings):
    """Return an environment in which Jupyter reads and writes only inside the course."""
    return clean_environment(
        MPLCONFIGDIR=str(font_cache(state)),
        JUPYTER_CONFIG_PATH=str(JUPYTER),
        JUPYTER_PATH=str(JUPYTER),
        JUPYTER_CONFIG_DIR=str(state / "config"),
        JUPYTER_DATA_DIR=str(state / "data"),
        JUPYTER_RUNTIME_DIR=str(state / "runtime"),
        JUPYTERLAB_SETTINGS_DIR=str(state / "settings"),
        JUPYTERLAB_WORKSPACES_DIR=str(state / "workspaces"),
        IPYTHONDIR=str(state / "ipython"),
        **settings,
    )


# --- files ----------------------------------------------------------------------------------


def file_hash(path):
    """Return the SHA-256 of a file."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def read_json(path):
    """Return the entries of a JSON file of ours; none if it is missing or damaged."""
    try:
        content = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    return content if isinstance(content, dict) else {}


def write_json(path, content):
    """Write a JSON file in one step, so that it is never half there."""
    path.parent.mkdir(parents=True, exist_ok=True)
    unfinished = path.with_suffix(".part")
    unfinished.write_text(json.dumps(content, indent=1), encoding="utf-8")
    unfinished.replace(path)


def private_folder(path):
    """Make a folder, unless it is there, that other users cannot look into."""
    path.mkdir(mode=0o700, parents=True, exist_ok=True)
    return path


def remove(path):
    """Delete a folder, a file or a link, but never what a link points to."""
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink()


def check_writable(folder):
    """Find out before a long installation that its folder is read-only."""
    try:
        tempfile.TemporaryFile(dir=str(folder)).close()
    except OSError as problem:
        raise CourseError(
            f"The folder {folder} cannot be written to ({problem.strerror}). "
            "Copy the course to a folder of your own and start it there."
        ) from None


# --- the learner's copy of the lessons ------------------------------------------------------


def lay_lessons(folder):
    """Copy new and renewed lessons into the learner's folder; return sentences to tell them."""
    check_lessons()
    record = state_of(folder) / "laid.json"
    laid = read_json(record)
    told = []
    for lesson in lesson_files():
        name = lesson.relative_to(LESSONS).as_posix()
        told += lay(lesson, folder / name, laid.setdefault(name, []))
    write_json(record, laid)
    return told


def lesson_files():
    """Return every file of the lessons, but not what serves a class or was left by Jupyter."""
    others = {"class", ".ipynb_checkpoints", "__pycache__", "progress"}
    return sorted(
        path
        for path in LESSONS.rglob("*")
        if path.is_file() and not others.intersection(path.relative_to(LESSONS).parts)
    )


def check_lessons():
    """Refuse to go on with a lesson of the course that is damaged."""
    for lesson in lesson_files():
        if content_hash(lesson) is None:
            raise CourseError(f"{lesson} is damaged: fetch the course anew. Your own files stay.")


def lessons():
    """Return the notebooks of the lessons, in their order."""
    return sorted(LESSONS.glob("[0-9]*.ipynb"))


def find_lesson(asked):
    """Return the lesson of the course that a number, a name or a path stands for.

    A path may be that of a learner's copy, if nothing in it was changed.
    """
    for lesson in lessons():
        if asked in (lesson.name[:2], lesson.stem, lesson.name):
            return lesson
        if os.path.isfile(asked) and content_hash(Path(asked)) == content_hash(lesson):
            return lesson
    raise CourseError(
        f"{asked} is no lesson of the course, or one that was changed. Write a lesson's number or "
        f"its name: {', '.join(lesson.stem for lesson in lessons())}"
    )


def lay(lesson, target, versions):
    """Lay one lesson for the learner, and return what to tell them about it, if anything.

    `versions` are the content hashes of all that was ever laid for this lesson. A file with any
    other content is the learner's own work: that one stays, and a version of the lesson that they
    have not got yet is laid beside it.
    """
    newest = content_hash(lesson)
    told = []
    if target.exists() and content_hash(target) is None:
        aside = name_beside(target, "damaged")
        target.rename(aside)
        told = [f"{target.name} was damaged: it is now {aside.name}, and a fresh copy is there."]

    if not target.exists() or content_hash(target) in [newest, *versions]:
        copy(lesson, target)
    elif newest not in versions:
        place = name_beside(target, "new", versions)
        copy(lesson, place)
        told = [f"You changed {target.name}, so it is kept; its new version is {place.name}."]
    if newest not in versions:
        versions.append(newest)
    return told


def content_hash(path):
    """Return a hash of what an author or a learner writes in a file; None for a damaged notebook.

    In a notebook that is the text of its cells: mere running changes outputs and metadata.
    """
    if path.suffix != ".ipynb":
        return file_hash(path)
    try:
        cells = notebook_cells(path)
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    return hashlib.sha256(json.dumps(cells).encode()).hexdigest()


def notebook_cells(path):
    """Return the cells of a notebook as pairs of type and text."""
    notebook = json.loads(path.read_text(encoding="utf-8"))
    return [(cell["cell_type"], "".join(cell["source"])) for cell in notebook["cells"]]


def name_beside(target, word, replaceable=()):
    """Return a name beside this one that is free, or whose content may be replaced."""
    for number in itertools.count(1):
        ending = word if number == 1 else f"{word}-{number}"
        place = target.with_name(f"{target.stem}-{ending}{target.suffix}")
        if not place.exists() or content_hash(place) in replaceable:
            return place


def copy(lesson, place):
    """Copy a lesson's content (not its file permissions, which may be read-only)."""
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_bytes(lesson.read_bytes())


def code_hash(path):
    """Return the hash of a lesson's code that the page compares before it runs a lesson unasked.

    jupyter/labextensions/recoverykit-lessons/static/remoteEntry.js computes the same.
    """
    code = [text for kind, text in notebook_cells(path) if kind == "code"]
    return hashlib.sha256("\0".join(code).encode()).hexdigest()


def list_course_code(state):
    """Tell the page which lessons' code is the course's own."""
    hashes = sorted(code_hash(path) for path in lesson_files() if path.suffix == ".ipynb")
    write_json(state / "config" / "labconfig" / "page_config.json", {"courseLessonCode": hashes})


# --- the server -----------------------------------------------------------------------------


# A server: the Python module that runs it, with options; the option that sets its port; the page
# to begin with; a page that it answers to its token; and the name of its log.
Server = collections.namedtuple("Server", "command port page status log")


def open_course(arguments):
    """Install what is missing, lay the lessons, and serve them until Ctrl-C."""
    options = server_parser("open").parse_args(arguments)
    folder = Path(options.folder).resolve()
    state = state_of(folder)
    first = f"doc/tree/{urllib.parse.quote(lessons()[0].name)}"

    prepare(LEARNER_PACKAGES)
    running = running_server(state)
    if running:
        say("The course is already running in another window; this shows it again.")
        address, token = running
        show(folder, address + first, token, browser=not options.no_browser)
        return 0
    for sentence in lay_lessons(folder):
        say(sentence)
    list_course_code(state)
    lab = Server(
        ["jupyterlab", f"--ServerApp.root_dir={folder}"],
        port="--ServerApp.port",
        page=first,
        status="api/status",
        log="server.log",
    )
    return serve(lab, folder, browser=not options.no_browser)


def present(arguments):
    """Serve the panels of the lessons, as pages for a projector, until Ctrl-C."""
    parser = server_parser("present")
    parser.add_argument("lesson", nargs="?", help="such as 03; without one, a list to choose from")
    options = parser.parse_args(arguments)
    folder = Path(options.folder).resolve()
    page = ""
    if options.lesson:
        page = f"voila/render/{urllib.parse.quote(find_lesson(options.lesson).name)}"

    prepare(LEARNER_PACKAGES)
    check_lessons()
    panels = Server(
        ["commands.present"],
        port="--Voila.port",
        page=page,
        status="voila/api/contents",
        log="present.log",
    )
    return serve(panels, folder, browser=not options.no_browser)


def server_parser(name):
    """Return a parser for the options of a command that runs a server."""
    parser = argparse.ArgumentParser(prog=f"course.py {name}", description=COMMANDS[name].help)
    parser.add_argument("--no-browser", action="store_true", help="only print the address")
    parser.add_argument(
        "--folder", default=str(MY_COURSE), help="where your lessons are kept (my-course)"
    )
    return parser


def state_of(folder):
    """Return the folder for what Jupyter keeps for this learner."""
    state = folder / ".jupyter"
    try:
        return private_folder(state)
    except (FileExistsError, FileNotFoundError, NotADirectoryError) as problem:
        raise CourseError(
            f"The folder {state} cannot be made ({problem.strerror}). "
            "Write another folder after --folder."
        ) from None


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
    log = state_of(folder) / server.log
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
    (site_packages() / INSTALL_RECORD).unlink()
    raise CourseError(
        f"The server ended as soon as it started; what it said is in {log}. "
        "Start the course again: it will install its packages anew."
    )


def start_server(command, folder, token, log):
    """Start a server; its settings in jupyter/ bind it to loopback.

    The token goes where other users cannot read it. The server does not hear the terminal's Ctrl-C:
    `stop` ends it in order, and its kernels with it.
    """
    with log.open("w") as output:
        return subprocess.Popen(
            [str(VENV_PYTHON), "-m", *command],
            cwd=str(ROOT),
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=subprocess.STDOUT,
            env=jupyter_environment(state_of(folder), JUPYTER_TOKEN=token),
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


def wait(process):
    """Wait for a process to end, in a way that Ctrl-C interrupts on Windows too."""
    while process.poll() is None:
        time.sleep(0.2)


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


# --- the tests ------------------------------------------------------------------------------

CHROMIUM_MISSING = (
    "The browser tests need Chromium, and on Linux libatomic. "
    "On Debian: sudo apt install chromium libatomic1. "
    "On macOS: .venv/bin/python -m playwright install chromium. "
    "On Windows: .venv\\Scripts\\python -m playwright install chromium."
)


# What is timed runs by itself, after all else.
TIMED = ("tests/benchmarks", "tests/browser/test_key_press_speed.py")
BESIDE_EACH_OTHER = ("-n", "2", "--no-loadscope-reorder")  # in the order of tests/conftest.py


def run_tests(arguments):
    """Run the style checks and all tests, or only what the arguments tell pytest."""
    prepare(LEARNER_PACKAGES, TEST_PACKAGES)
    chromium = find_chromium()
    if not chromium:
        say(CHROMIUM_MISSING)
    if arguments:
        results = [run_module("pytest", *arguments)]
    else:
        style = [run_module("ruff", "check"), run_module("ruff", "format", "--check")]
        untimed = run_module("pytest", *BESIDE_EACH_OTHER, *(f"--ignore={path}" for path in TIMED))
        timed = run_module("pytest", *TIMED)
        results = [*style, untimed, timed]
        if any(style):
            say("The style checks before the tests found something to put right.")
        if untimed:
            say("Tests failed before the benchmarks: their list stands above.")
    if not chromium:
        say("Not everything was tested. " + CHROMIUM_MISSING)
    return max(results)


def run_module(name, *arguments):
    """Run a Python module of .venv in the course's folder; return its exit code."""
    process = subprocess.Popen(
        [str(VENV_PYTHON), "-m", name, *arguments],
        cwd=str(ROOT),
        env=jupyter_environment(private_folder(VENV / "test-state")),
    )
    try:
        wait(process)
    except KeyboardInterrupt:
        # The terminal has told the process too, which may be ending servers of its own.
        with contextlib.suppress(subprocess.TimeoutExpired):
            process.wait(timeout=20)
        raise
    finally:
        process.kill()
    return process.returncode


def find_chromium():
    """Return the path of a Chromium that Playwright can drive, the system's or its own, or None."""
    question = (
        "from playwright.sync_api import sync_playwright\n"
        "with sync_playwright() as browsers: print(browsers.chromium.executable_path)"
    )
    answer = subprocess.run([str(VENV_PYTHON), "-c", question], capture_output=True, text=True)
    if answer.returncode != 0:
        return None
    its_own = answer.stdout.strip()
    system = shutil.which("chromium") or shutil.which("chromium-browser")
    return system or (its_own if os.path.isfile(its_own) else None)


# --- what is right and wrong with this machine ----------------------------------------------


def check_machine(arguments):
    """Say line by line what is right and what is wrong, also before anything is installed."""
    if site_packages() is None:
        return importlib.import_module("commands.check").main(arguments)
    return run_command("check", arguments)


# --- pages to read and to print -------------------------------------------------------------


def export(arguments):
    """Make pages of the lessons that need neither the course nor a network."""
    prepare(LEARNER_PACKAGES)
    return run_command("export", arguments)


def run_command(name, arguments):
    """Run a module of commands/ with the Python of .venv; return its exit code."""
    with tempfile.TemporaryDirectory() as state:
        command = [str(VENV_PYTHON), "-m", f"commands.{name}", *arguments]
        return subprocess.call(command, cwd=str(ROOT), env=jupyter_environment(Path(state)))


# --- the command line -----------------------------------------------------------------------

Command = collections.namedtuple("Command", "run help")

COMMANDS = {
    "open": Command(open_course, "open the course in the browser (also with no command at all)"),
    "present": Command(present, "show a lesson's panels on a projector, without code"),
    "export": Command(export, "make pages of all lessons, for phones and to print"),
    "check": Command(check_machine, "say whether all that the course needs is there and works"),
    "test": Command(run_tests, "run all tests; what follows is passed on to pytest"),
}


def usage():
    """Return the help text."""
    lines = ["python3 course.py [command]", "", "Commands:"]
    lines += [f"  {name:8} {command.help}" for name, command in COMMANDS.items()]
    return "\n".join([*lines, "  --help   show this"])


def run(arguments):
    """Run one command; return the exit code."""
    if arguments[:1] in (["--help"], ["-h"], ["help"]):
        say(usage())
        return 0
    if not arguments or arguments[0].startswith("-"):
        arguments = ["open", *arguments]
    name, *rest = arguments
    if name not in COMMANDS:
        raise CourseError(f"There is no command '{name}'.\n\n{usage()}")
    return COMMANDS[name].run(rest)


def explain_system(problem):
    """Turn an error of the operating system into a sentence; None if it is a mistake of ours."""
    if problem.errno == errno.ENOSPC:
        return "The disk is full. Make room and start again."
    if problem.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return (
            f"{problem.filename} cannot be changed ({problem.strerror}). Close other programs that "
            "use it, or copy the course to a folder of your own and start it there."
        )
    return None


def main(arguments):
    """Run the command line; return an exit code."""
    for name in ("SIGTERM", "SIGHUP", "SIGBREAK"):  # these end the course as Ctrl-C does
        number = getattr(signal, name, None)
        if number and signal.getsignal(number) == signal.SIG_DFL:  # nohup ignores SIGHUP
            signal.signal(number, signal.default_int_handler)
    return explained(run, arguments)


def explained(command, arguments):
    """Run a command; print a sentence for what the reader can put right. Return an exit code."""
    try:
        check_python(sys.version_info)
        sys.stdout.reconfigure(errors="replace")  # a path may have letters the terminal lacks
        return command(arguments)
    except CourseError as problem:
        sentence = str(problem)
    except OSError as problem:
        sentence = explain_system(problem)
        if sentence is None:
            raise
    except KeyboardInterrupt:
        say("", "Stopped.")
        return 130
    print(sentence, file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
