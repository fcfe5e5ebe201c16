"""What the course never does on a learner's machine, with tests that would notice."""

import ast
import json
import os
import time
import urllib.error
import urllib.request
from pathlib import Path

import psutil
import pytest
from browser.conftest import running_course
from helpers.needs import need_packages
from jupyter_client.manager import start_new_kernel

import recoverykit
from launcher import common, environment, lesson_copies, paths

LIBRARY = Path(recoverykit.__file__).parent
SOURCES = sorted(LIBRARY.rglob("*.py"))

# --- what the library's code does not name ----------------------------------------------

NEVER_IMPORTED = {
    *("ftplib", "http", "httpx", "requests", "smtplib", "socket", "ssl", "urllib"),
    *("websocket", "tornado", "zmq", "webbrowser", "xmlrpc"),
    *("ctypes", "importlib", "multiprocessing", "pty", "runpy", "subprocess"),
    *("dill", "joblib", "marshal", "pickle", "shelve"),
}
NEVER_CALLED = {"eval", "exec", "compile", "__import__", "execfile", "breakpoint", "input"}
NEVER_NAMED = {
    *("os.system", "os.popen", "os.startfile", "os.fork", "os.execv", "os.kill", "os.chmod"),
    *("shutil.rmtree", "builtins.eval", "builtins.exec", "sys.modules"),
}
# The loop of the kernel may call the library again later. All else of asyncio reaches further.
OF_ASYNCIO = {"asyncio.get_running_loop", "asyncio.AbstractEventLoop"}


def offences(tree):
    """What a module names that it should not, with the line."""
    for node in ast.walk(tree):
        names = []
        if isinstance(node, ast.Import):
            names = [alias.name.split(".")[0] for alias in node.names]
            bad = NEVER_IMPORTED
        elif isinstance(node, ast.ImportFrom):
            names, bad = [(node.module or "").split(".")[0]], NEVER_IMPORTED | {"asyncio"}
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            names, bad = [node.func.id], NEVER_CALLED
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            names, bad = [f"{node.value.id}.{node.attr}"], NEVER_NAMED
            if node.value.id == "asyncio":
                bad = set(names) - OF_ASYNCIO
        elif isinstance(node, ast.keyword):
            names, bad = [node.arg], {"allow_pickle"}
        yield from (f"line {node.lineno}: {name}" for name in names if name in bad)


@pytest.mark.parametrize("source", SOURCES, ids=lambda path: str(path.relative_to(LIBRARY)))
def test_no_module_evaluates_text_starts_programs_or_reaches_for_the_network(source):
    assert list(offences(ast.parse(source.read_text(encoding="utf-8")))) == []


@pytest.mark.parametrize(
    "code",
    [
        "import urllib.request",
        "from http import client",
        "from asyncio import open_connection",
        "asyncio.open_connection('host', 80)",
        "import pickle as p",
        "eval(text)",
        "os.system('ls')",
        "np.load(file, allow_pickle=True)",
        "def f():\n    import subprocess",
    ],
)
def test_each_of_these_would_be_noticed(code):
    assert len(list(offences(ast.parse(code)))) == 1


# --- what it does when it runs ----------------------------------------------------------

# Notes what a kernel does, from its first line on: files that it changes, programs that it
# starts, and calls for the network. In a file of its own, since a kernel's output is shown.
WATCH = """
import os, sys

_log = os.open(os.environ["WATCHED"], os.O_WRONLY | os.O_APPEND | os.O_CREAT)
_CHANGES = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
_PATHS = {"os.mkdir": 0, "os.rename": 1, "os.remove": 0, "os.rmdir": 0, "os.link": 1,
          "os.symlink": 1, "os.truncate": 0, "os.chmod": 0, "sqlite3.connect": 0}
_NEVER = ("socket.connect", "socket.bind", "socket.getaddrinfo", "socket.gethostby",
          "socket.sendto", "subprocess.", "os.system", "os.exec", "os.posix_spawn", "os.fork",
          "webbrowser.", "urllib.", "http.", "smtplib.", "ftplib.", "pickle.find_class")

def _note(event, args):
    if event == "open" and isinstance(args[0], (str, bytes)) and args[2] & _CHANGES:
        said = "writes " + os.path.realpath(os.fsdecode(args[0]))
    elif event in _PATHS:
        said = "writes " + os.path.realpath(os.fsdecode(args[_PATHS[event]]))
    elif event.startswith(_NEVER):
        said = f"{event} {args!r:.200}"
    else:
        return
    os.write(_log, (said + chr(10)).encode(errors="replace"))

sys.addaudithook(_note)
"""


@pytest.fixture
def watched_kernel(tmp_path):
    """A kernel in a learner's folder as the course starts it, and what it was seen to do."""
    if os.name == "nt":
        pytest.skip("compares paths as Unix writes them")
    folder, home, tmp, watch = (tmp_path / name for name in ("my-course", "home", "tmp", "watch"))
    for place in (folder, home, tmp, watch):
        place.mkdir()
    (watch / "sitecustomize.py").write_text(WATCH)
    log = tmp_path / "seen"
    manager, client = start_new_kernel(
        startup_timeout=120,
        cwd=str(folder),
        env=environment.jupyter_environment(
            common.state_folder(folder),
            HOME=str(home),
            TMPDIR=str(tmp),
            PYTHONPATH=str(watch),
            WATCHED=str(log),
        ),
    )
    yield client, folder, home, log
    assert list(tmp.iterdir()) == [], "ipykernel tries where files may stand, and cleans up"
    client.stop_channels()
    manager.shutdown_kernel(now=True)


def run(client, code):
    reply = client.execute_interactive(code, timeout=300, output_hook=lambda message: None)
    assert reply["content"]["status"] == "ok", reply["content"].get("traceback")


ANSWERS = """
from recoverykit.measurements.session import CurrentSession
from recoverykit.lessons import *
from recoverykit.lessons import ExtrapolationPanel, OwnLog, RecordSaver
name = ask_name(); name.name("../../Ann")
question = ask("03.peak"); question.answer("38 kN")
own = OwnLog(CurrentSession()); own.write_template(); own.open_path("my-pulls.csv")
saver = RecordSaver(ExtrapolationPanel(CurrentSession()))
assert saver.save_record() and saver.save_picture()
"""


def test_all_lessons_write_in_the_learners_folder_only_and_call_nobody(watched_kernel):
    client, folder, home, log = watched_kernel
    for lesson in sorted(paths.LESSONS.glob("[0-9]*.ipynb")):
        for kind, text in lesson_copies.notebook_cells(lesson):
            if kind == "code":
                run(client, text)
    run(client, ANSWERS)
    # Each kind of trespass, so that a blind watch would be noticed.
    run(client, f"open({str(home / 'trespass')!r}, 'w').close()")
    run(client, "import subprocess; subprocess.run(['true'])")
    run(client, "import socket; socket.socket().bind(('127.0.0.1', 0))")

    seen = set(log.read_text().splitlines())
    written = {Path(line.removeprefix("writes ")) for line in seen if line.startswith("writes ")}
    asks_python = "subprocess.Popen ('uname', ['uname', '-p']"  # platform.processor() does that
    others = sorted(
        line.split()[0] for line in seen if not line.startswith(("writes ", asks_python))
    )
    assert others == ["socket.bind", "subprocess.Popen"], "the two trespasses and no other"
    assert home / "trespass" in written
    ours = [folder, folder.with_name("tmp"), Path(os.devnull)]
    ours.append(environment.font_cache(common.state_folder(folder)))
    elsewhere = [
        path
        for path in written - {home / "trespass"}
        if "__pycache__" not in path.parts  # Python's own, beside each module
        and not any(path == place or place in path.parents for place in ours)
    ]
    assert elsewhere == []
    assert [path.name for path in home.iterdir()] == ["trespass"]
    names = {path.name for path in folder.rglob("*") if path.is_file()}
    assert {"my-pulls.csv", "pulls-record.pdf", "pulls.png", "name.txt"} <= names


# --- the course while it runs -----------------------------------------------------------


@pytest.fixture(scope="module")
def running(tmp_path_factory):
    """The course with a kernel of a lesson."""
    need_packages()
    with running_course(tmp_path_factory.mktemp("learner") / "my course") as running:
        request = urllib.request.Request(
            running.address + "api/kernels",
            b"{}",
            {"Authorization": f"token {running.token}"},
        )
        with urllib.request.urlopen(request) as answer:
            assert "id" in json.load(answer)
        yield running


def processes_of(running):
    """The server of this course and all that it has started."""
    servers = [
        process
        for process in psutil.process_iter(["cmdline"])
        if f"--ServerApp.root_dir={running.folder}" in (process.info["cmdline"] or [])
    ]
    return [one for server in servers for one in (server, *server.children(recursive=True))]


def test_nothing_listens_beyond_this_machine(running):
    family = processes_of(running)
    assert len(family) >= 2, "a server and a kernel"
    for _ in range(300):  # the kernel has only just been asked for
        heard = [
            connection.laddr
            for process in family
            for connection in process.net_connections("inet")
            if connection.status == psutil.CONN_LISTEN or connection.type.name == "SOCK_DGRAM"
        ]
        if len(heard) >= 6:
            break
        time.sleep(0.1)
    assert len(heard) >= 6, "the page, and five ports of a kernel"
    assert {address.ip for address in heard} <= {"127.0.0.1", "::1"}


def test_the_token_is_in_no_command_line(running):
    for process in psutil.process_iter(["cmdline"]):
        assert not any(running.token in word for word in process.info["cmdline"] or [])


def test_the_token_is_in_no_file_that_others_can_read(running):
    with_token = [
        path
        for path in running.folder.rglob("*")
        if path.is_file() and running.token.encode() in path.read_bytes()
    ]
    # Jupyter's own, and that by which a second start finds the first.
    assert {path.parent.name for path in with_token} == {"runtime", ".jupyter"}
    (ours,) = (path for path in with_token if path.name == "server.json")
    assert os.name == "nt" or ours.stat().st_mode & 0o077 == 0
    assert not [path for path in with_token if path.suffix == ".log"]
    state = running.folder / ".jupyter"
    assert all(state in path.parents for path in with_token)
    assert os.name == "nt" or state.stat().st_mode & 0o077 == 0, "others do not get in there"


@pytest.mark.parametrize("path", ["api/contents", "api/kernels", "api/sessions"])
def test_without_the_token_nothing_is_given(running, path):
    with pytest.raises(urllib.error.HTTPError, match="403"):
        urllib.request.urlopen(running.address + path)
