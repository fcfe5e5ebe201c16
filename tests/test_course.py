"""course.py: what a newcomer meets before anything else works."""

import ast
import errno
import hashlib
import http.server
import json
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import tomllib
import urllib.request
from pathlib import Path

import pytest

import course

ROOT = Path(course.__file__).parent
SOURCE = Path(course.__file__).read_text(encoding="utf-8")


def run_course(*arguments):
    return subprocess.run(
        [sys.executable, course.__file__, *arguments], capture_output=True, text=True
    )


# --- any Python can read it -----------------------------------------------------------------


def test_old_pythons_can_parse_it_and_so_say_that_they_are_too_old():
    ast.parse(SOURCE, feature_version=(3, 6))


def test_it_imports_the_standard_library_only():
    imports = [node for node in ast.walk(ast.parse(SOURCE)) if isinstance(node, ast.Import)]
    names = {alias.name.split(".")[0] for node in imports for alias in node.names}
    assert names
    assert names <= sys.stdlib_module_names


@pytest.mark.parametrize("version", [(3, 6, 15), (3, 10, 13)])
def test_too_old_a_python_is_refused_with_what_to_do(version):
    with pytest.raises(course.CourseError, match=r"3\.11 to 3\.14.*this is Python 3\.\d+\.1[35]\."):
        course.check_python(version)


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 14, 9)])
def test_the_pythons_it_is_for_pass_in_silence(version, capsys):
    course.check_python(version)
    assert capsys.readouterr().out == ""


def test_a_newer_python_is_warned_about_and_tried(capsys):
    course.check_python((3, 15, 0))
    assert "Python 3.15.0 is newer" in capsys.readouterr().out


# --- the command line -----------------------------------------------------------------------


def test_help_lists_every_command():
    result = run_course("--help")
    assert result.returncode == 0
    for name, command in course.COMMANDS.items():
        assert re.search(rf"^  {name} +{re.escape(command.help)}$", result.stdout, re.MULTILINE)


def test_an_unknown_command_is_named_and_the_known_ones_listed():
    result = run_course("opne")
    assert result.returncode == 1
    assert "no command 'opne'" in result.stderr
    assert "  test " in result.stderr
    assert "Traceback" not in result.stderr


def test_an_unknown_option_is_refused():
    result = run_course("--no-brwoser")
    assert result.returncode == 2
    assert "--no-brwoser" in result.stderr


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.EROFS, "cannot be changed"),
        (errno.EACCES, "cannot be changed"),
        (errno.ENOSPC, "disk is full"),
    ],
)
def test_trouble_with_the_disk_becomes_a_sentence(number, words, monkeypatch, capsys):
    def fail(arguments):
        raise OSError(number, os.strerror(number), "some/file")

    monkeypatch.setitem(course.COMMANDS, "open", course.Command(fail, ""))
    assert course.main([]) == 1
    assert words in capsys.readouterr().err


def test_a_mistake_of_ours_is_not_hidden(monkeypatch):
    def fail(arguments):
        raise FileNotFoundError(errno.ENOENT, "gone", "some/file")

    monkeypatch.setitem(course.COMMANDS, "open", course.Command(fail, ""))
    with pytest.raises(FileNotFoundError):
        course.main([])


def test_ctrl_c_leaves_no_traceback(monkeypatch, capsys):
    def interrupt(arguments):
        raise KeyboardInterrupt

    monkeypatch.setitem(course.COMMANDS, "open", course.Command(interrupt, ""))
    assert course.main([]) == 130
    assert "Stopped." in capsys.readouterr().out


# --- .venv ----------------------------------------------------------------------------------


class FakeInstallation:
    """A course folder in which installing only notes what was asked for."""

    def __init__(self, root, monkeypatch):
        self.root, self.site = root, root / ".venv" / "site-packages"
        self.calls = []
        self.fails = False
        (root / "tests").mkdir()
        self.write("requirements.txt", "numpy==1")
        self.write("tests/requirements.txt", "ruff==1")
        monkeypatch.setattr(course, "ROOT", root)
        monkeypatch.setattr(course, "find_uv", lambda: "uv")
        monkeypatch.setattr(course, "site_packages", self.site_packages)
        monkeypatch.setattr(course, "create_venv", self.create_venv)
        monkeypatch.setattr(course, "install", self.install)
        monkeypatch.setattr(course, "check_packages", lambda: self.calls.append("check"))

    def write(self, name, text):
        (self.root / name).write_text(text)

    def site_packages(self):
        return self.site if self.site.exists() else None

    def create_venv(self, uv):
        self.calls.append("create")
        self.site.mkdir(parents=True, exist_ok=True)
        return self.site

    def install(self, uv, names):
        self.calls.append(names)
        if self.fails:
            raise course.CourseError("no network")

    def prepare(self, *names):
        self.calls.clear()
        course.prepare(*names)
        return list(self.calls)


@pytest.fixture
def fake(tmp_path, monkeypatch):
    return FakeInstallation(tmp_path, monkeypatch)


LEARNER, TESTS = course.LEARNER_PACKAGES, course.TEST_PACKAGES


def test_the_first_start_installs_and_the_second_does_nothing(fake):
    assert fake.prepare(LEARNER) == ["create", [LEARNER], "check"]
    assert fake.prepare(LEARNER) == []


def test_the_library_is_found_by_a_path_that_survives_moving_the_folder(fake):
    fake.prepare(LEARNER)
    line = (fake.site / course.LIBRARY_PATH).read_text()
    assert not os.path.isabs(line)
    assert (fake.site / line).resolve() == fake.root.resolve()


def test_the_tests_add_their_packages_to_the_learners(fake):
    fake.prepare(LEARNER)
    assert fake.prepare(LEARNER, TESTS) == [[TESTS], "check"]
    assert fake.prepare(LEARNER) == []


def test_changed_requirements_are_installed(fake):
    fake.prepare(LEARNER, TESTS)
    fake.write(LEARNER, "numpy==2")
    assert fake.prepare(LEARNER) == [[LEARNER], "check"]
    assert fake.prepare(LEARNER, TESTS) == []


@pytest.mark.parametrize("record", ["", "{", "{}", '{"other": 1}'])
def test_a_half_made_venv_is_made_again(fake, record):
    fake.site.mkdir(parents=True)
    (fake.site / course.INSTALL_RECORD).write_text(record)
    assert fake.prepare(LEARNER) == ["create", [LEARNER], "check"]


def test_an_install_that_was_cut_short_is_noticed(fake):
    fake.prepare(LEARNER)
    fake.write(LEARNER, "numpy==2")
    fake.fails = True
    with pytest.raises(course.CourseError):
        fake.prepare(LEARNER)
    fake.fails = False
    assert fake.prepare(LEARNER) == ["create", [LEARNER], "check"]


def test_tests_that_cannot_be_installed_leave_the_learners_packages_alone(fake):
    fake.prepare(LEARNER)
    fake.fails = True
    with pytest.raises(course.CourseError):
        fake.prepare(LEARNER, TESTS)
    assert fake.prepare(LEARNER) == []


def test_without_uv_a_venv_that_has_no_pip_is_made_again(fake, monkeypatch):
    fake.prepare(LEARNER)
    monkeypatch.setattr(course, "find_uv", lambda: None)
    assert fake.prepare(LEARNER, TESTS) == ["create", [LEARNER, TESTS], "check"]
    (fake.site / "pip").mkdir()
    fake.write(TESTS, "ruff==2")
    assert fake.prepare(LEARNER, TESTS) == [[TESTS], "check"]


def test_a_read_only_folder_is_noticed_before_anything_is_installed(fake, monkeypatch):
    def refuse(**_):
        raise OSError(errno.EROFS, "Read-only file system")

    monkeypatch.setattr(course.tempfile, "TemporaryFile", refuse)
    with pytest.raises(course.CourseError, match=r"cannot be written to \(Read-only"):
        fake.prepare(LEARNER)
    assert fake.calls == []


def test_a_folder_that_cannot_be_made_is_told(tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(course.CourseError, match=r"cannot be made \(.+\)\. Write another folder"):
        course.state_of(tmp_path / "file")


def test_a_venv_whose_python_is_gone_has_no_packages(tmp_path, monkeypatch):
    monkeypatch.setattr(course, "VENV", tmp_path)
    monkeypatch.setattr(course, "VENV_PYTHON", tmp_path / "bin/python")
    assert course.site_packages() is None


def test_a_python_that_belongs_elsewhere_is_not_the_courses(tmp_path, monkeypatch):
    monkeypatch.setattr(course, "VENV", tmp_path)
    monkeypatch.setattr(course, "VENV_PYTHON", Path(sys.executable))
    assert course.site_packages() is None


def test_a_broken_uv_counts_as_none(tmp_path, monkeypatch):
    uv = tmp_path / "uv"
    uv.write_text("#!/bin/sh\nexit 1\n")
    uv.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert course.find_uv() is None


def test_debian_without_python3_venv_is_told_the_command(monkeypatch):
    monkeypatch.setattr(course.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(course.CourseError, match="sudo apt install python3-venv"):
        course.check_venv_module()


@pytest.mark.parametrize(
    "line",
    [
        # as pip 23 and uv 0.13 say it
        "WARNING: Retrying (Retry(total=1)) after connection broken by 'NewConnectionError('Failed "
        "to establish a new connection: [Errno -3] Temporary failure in name resolution')'",
        "  Caused by: error sending request for url (https://example.org/simple/anyio/)",
        "  Caused by: dns error: failed to lookup address information",
    ],
)
def test_no_network_is_one_sentence_and_not_the_installers(line):
    sentence = course.explain_installer(["Collecting anyio==1", line, "ERROR: No matching"])
    assert "the network did not answer" in sentence
    assert "anyio" not in sentence


def test_other_trouble_shows_the_installers_last_words():
    sentence = course.explain_installer([f"line {n}" for n in range(20)] + ["ERROR: odd"])
    assert sentence.endswith("ERROR: odd")
    assert "line 3" not in sentence


def test_a_failed_installer_is_explained():
    script = "print('No space left on device'); raise SystemExit(1)"
    with pytest.raises(course.CourseError, match="disk is full"):
        course.run_installer([sys.executable, "-c", script])


def test_the_readers_own_settings_do_not_reach_the_course(tmp_path, monkeypatch):
    for name in ("JUPYTER_CONFIG_DIR", "JUPYTERLAB_DIR", "PYTHONPATH", "MPLCONFIGDIR"):
        monkeypatch.setenv(name, "/their/own")
    monkeypatch.setenv("LANG", "C.UTF-8")
    environment = course.jupyter_environment(tmp_path)
    assert "/their/own" not in environment.values()
    assert environment["LANG"] == "C.UTF-8"
    folders = {v for k, v in environment.items() if k.startswith(("JUPYTER", "IPYTHON", "MPL"))}
    assert len(folders) == 8
    assert all(str(tmp_path) in f or str(ROOT) in f for f in folders)


# --- the pins -------------------------------------------------------------------------------


def pins(name):
    lines = (ROOT / name).read_text(encoding="utf-8").splitlines()
    return [line for line in lines if line and not line.lstrip().startswith("#")]


def test_every_package_is_pinned_once_for_all_pythons_and_machines():
    lines = pins(LEARNER) + pins(TESTS)
    assert all(re.match(r"[a-z0-9-]+==[\w.]+( ;.*)?$", line) for line in lines)
    names = [line.split("==")[0] for line in lines]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("uv", [None, "/usr/bin/uv"])
def test_what_is_not_pinned_is_not_installed(uv, monkeypatch):
    commands = []
    monkeypatch.setattr(course, "run_installer", commands.append)
    course.install(uv, [LEARNER])
    assert "--no-deps" in commands[0]
    left_out = {"lark", "rfc3987-syntax"}  # they take more than half of JupyterLab's start
    assert not left_out & {line.split("==")[0] for line in pins(LEARNER)}


def test_what_the_project_asks_for_is_pinned():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    asked = set(project["project"]["dependencies"])
    assert asked <= {line.split("==")[0] for line in pins(LEARNER)}
    asked_by_tests = set(project["dependency-groups"]["tests"])
    assert asked_by_tests <= {line.split("==")[0] for line in pins(TESTS)}


# --- the learner's copy ---------------------------------------------------------------------


def notebook(*code, **extra):
    """A notebook as text, with one title and these code cells."""
    cells = [{"cell_type": "markdown", "metadata": {}, "source": ["# Title\n", "text"]}]
    for source in code:
        cell = {"cell_type": "code", "metadata": {}, "outputs": [], "execution_count": None}
        cells.append({**cell, "source": source, **extra})
    return json.dumps({"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5})


class Desk:
    """A folder of lessons and a learner's folder, both small."""

    def __init__(self, root):
        self.lesson = root / "lessons" / "03-force.ipynb"
        self.mine = root / "my-course" / "03-force.ipynb"
        self.lesson.parent.mkdir()
        self.publish("v1")

    def publish(self, *code):
        self.lesson.write_text(notebook(*code))

    def beside(self, word):
        return self.mine.with_name(f"03-force-{word}.ipynb")

    def lay(self):
        return course.lay_lessons(self.mine.parent)

    def names(self):
        return sorted(p.name for p in self.mine.parent.iterdir() if not p.name.startswith("."))


@pytest.fixture
def desk(tmp_path, monkeypatch):
    monkeypatch.setattr(course, "LESSONS", tmp_path / "lessons")
    return Desk(tmp_path)


def test_lessons_are_laid_with_their_folders_and_other_files(desk):
    for name in ("guide.md", "trainer/plan.ipynb", ".ipynb_checkpoints/x.ipynb", "progress/a.json"):
        path = desk.lesson.parent / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(notebook())
    assert desk.lay() == []
    assert desk.names() == ["03-force.ipynb", "guide.md", "trainer"]
    assert (desk.mine.parent / "trainer/plan.ipynb").read_text() == notebook()


@pytest.mark.parametrize("asked", ["03", "03-force", "03-force.ipynb"])
def test_a_lesson_is_found_by_its_number_and_its_names(desk, asked):
    assert course.find_lesson(asked) == desk.lesson


def test_a_lesson_is_found_by_a_path_if_nothing_in_it_was_changed(desk):
    desk.lay()
    assert course.find_lesson(str(desk.mine)) == desk.lesson
    desk.mine.write_text(notebook("mine"))
    with pytest.raises(course.CourseError, match=r"one that was changed.*: 03-force$"):
        course.find_lesson(str(desk.mine))


@pytest.mark.parametrize("asked", ["", "3", "04", "no/such/03-force.ipynb", "\0"])
def test_what_is_no_lesson_is_named_with_those_that_there_are(desk, asked):
    with pytest.raises(course.CourseError, match=r"is no lesson of the course.*: 03-force$"):
        course.find_lesson(asked)


def test_an_unchanged_lesson_is_renewed_and_nothing_is_said(desk):
    desk.lay()
    desk.publish("v2")
    assert desk.lay() == []
    assert desk.mine.read_text() == notebook("v2")
    assert desk.names() == ["03-force.ipynb"]


def test_mere_running_is_no_change(desk):
    desk.lay()
    output = [{"output_type": "stream", "name": "stdout", "text": "38 kN"}]
    desk.mine.write_text(notebook("v1", outputs=output, execution_count=7))
    desk.publish("v2")
    assert desk.lay() == []
    assert desk.mine.read_text() == notebook("v2")


def test_a_changed_lesson_is_kept_and_its_new_version_laid_beside_it_once(desk):
    desk.lay()
    desk.mine.write_text(notebook("my own"))
    assert desk.lay() == []
    desk.publish("v2")
    (sentence,) = desk.lay()
    assert "03-force.ipynb" in sentence
    assert "03-force-new.ipynb" in sentence
    assert desk.mine.read_text() == notebook("my own")
    assert desk.beside("new").read_text() == notebook("v2")
    assert desk.lay() == []


def test_a_still_newer_version_takes_the_place_of_an_untouched_offer(desk):
    desk.lay()
    desk.mine.write_text(notebook("my own"))
    for version in ("v2", "v3"):
        desk.publish(version)
        assert len(desk.lay()) == 1
    assert desk.beside("new").read_text() == notebook("v3")
    assert desk.names() == ["03-force-new.ipynb", "03-force.ipynb"]


def test_an_offer_that_the_learner_changed_is_kept_too(desk):
    desk.lay()
    desk.mine.write_text(notebook("my own"))
    desk.publish("v2")
    desk.lay()
    desk.beside("new").write_text(notebook("v2 and mine"))
    assert desk.lay() == []
    desk.publish("v3")
    assert "03-force-new-2.ipynb" in desk.lay()[0]
    assert desk.beside("new").read_text() == notebook("v2 and mine")
    assert desk.beside("new-2").read_text() == notebook("v3")


def test_an_offer_that_was_thrown_away_does_not_come_back(desk):
    desk.lay()
    desk.mine.write_text(notebook("my own"))
    desk.publish("v2")
    desk.lay()
    desk.beside("new").unlink()
    assert desk.lay() == []
    assert desk.names() == ["03-force.ipynb"]


def test_a_lesson_that_was_thrown_away_comes_back(desk):
    desk.lay()
    desk.mine.unlink()
    desk.lay()
    assert desk.mine.read_text() == notebook("v1")


@pytest.mark.parametrize("record", [None, "", "{", "[]"])
def test_without_a_sound_record_nothing_of_the_learners_is_overwritten(desk, record):
    desk.lay()
    desk.mine.write_text(notebook("my own"))
    path = desk.mine.parent / ".jupyter" / "laid.json"
    path.unlink() if record is None else path.write_text(record)
    assert len(desk.lay()) == 1
    assert desk.mine.read_text() == notebook("my own")


@pytest.mark.parametrize("damage", ["", "{", "[]", "null", '{"cells": [{}]}', "\x00\x00"])
def test_a_damaged_lesson_is_set_aside(desk, damage):
    desk.lay()
    desk.mine.write_text(damage)
    (sentence,) = desk.lay()
    assert "damaged" in sentence
    assert desk.beside("damaged").read_text() == damage
    assert desk.mine.read_text() == notebook("v1")


def test_the_learners_other_files_stay(desk):
    desk.lay()
    progress = desk.mine.parent / "progress" / "learner.json"
    progress.parent.mkdir()
    progress.write_text("theirs")
    desk.publish("v2")
    desk.lay()
    assert progress.read_text() == "theirs"


def test_the_page_is_told_the_code_of_every_lesson_and_of_no_other(desk, tmp_path):
    desk.publish("import one", "two = 'ü'")
    course.list_course_code(tmp_path)
    config = json.loads((tmp_path / "config/labconfig/page_config.json").read_text())
    # Written out by hand: the code cells' texts in order, NUL between them, in UTF-8.
    expected = hashlib.sha256(b"import one\0two = '\xc3\xbc'").hexdigest()
    assert config == {"courseLessonCode": [expected]}


# --- the server -----------------------------------------------------------------------------


def test_a_busy_port_is_passed_over(monkeypatch):
    with socket.socket() as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        port = busy.getsockname()[1]
        monkeypatch.setattr(course, "FIRST_PORT", port)
        assert course.free_port() != port


def test_the_token_reaches_the_browser_through_a_file_only_the_learner_can_read(
    desk, monkeypatch, capsys
):
    desk.lay()
    opened = []
    monkeypatch.setattr(course.webbrowser, "open", opened.append)
    monkeypatch.setattr(course, "has_screen", lambda: True)
    folder = desk.mine.parent
    course.show(folder, "http://127.0.0.1:9/lesson", "secret", browser=True)
    page = folder / "open-course.html"
    url = "http://127.0.0.1:9/lesson?token=secret"
    assert opened == [page.as_uri()]
    assert url in page.read_text()
    assert url in capsys.readouterr().out
    assert os.name == "nt" or page.stat().st_mode & 0o077 == 0


# The real server, but with the packages that run this test: nothing is installed here.
STARTER = """
import sys, course
course.prepare = lambda *names: None
course.VENV_PYTHON = sys.executable
sys.exit(course.main(sys.argv[1:]))
"""


def start_course(folder):
    command = [sys.executable, "-c", STARTER, "--no-browser", "--folder", str(folder)]
    return subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=ROOT
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
        assert not course.ask(address + "api/contents", "a wrong token")

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
import course
free_port, ports = course.free_port, iter([{port}])
course.free_port = lambda: next(ports, None) or free_port()
"""


@pytest.mark.skipif(os.name == "nt", reason="ends the course as Ctrl-C does on Unix")
@pytest.mark.parametrize("command", ["open", "present"])
def test_a_program_that_takes_the_port_in_between_is_left_alone(command, another_program, tmp_path):
    starter = TAKEN_IN_BETWEEN.format(port=another_program.server_port) + STARTER
    arguments = [command, "--no-browser", "--folder", str(tmp_path)]
    process = subprocess.Popen(
        [sys.executable, "-c", starter, *arguments], stdout=subprocess.PIPE, text=True, cwd=ROOT
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


# --- the test command -----------------------------------------------------------------------


@pytest.fixture
def modules(monkeypatch):
    """Note which modules the test command runs; those named here give an exit code but 0."""
    runs, codes = [], {}

    def run_module(name, *arguments):
        runs.append((name, *arguments))
        return codes.get((name, *arguments[:1]), 0)

    monkeypatch.setattr(course, "prepare", lambda *names: None)
    monkeypatch.setattr(course, "run_module", run_module)
    monkeypatch.setattr(course, "find_chromium", lambda: "/usr/bin/chromium")
    return runs, codes


def test_all_tests_are_the_style_checks_what_is_untimed_and_what_is_timed(modules):
    runs, _ = modules
    assert course.run_tests([]) == 0
    (*style, untimed, timed) = runs
    assert style == [("ruff", "check"), ("ruff", "format", "--check")]
    left_out = [option for option in untimed if option.startswith("--ignore=")]
    assert left_out == [f"--ignore={path}" for path in timed[1:]]
    assert all((course.ROOT / path).exists() for path in timed[1:])


def test_arguments_go_to_pytest(modules):
    runs, _ = modules
    course.run_tests(["tests/test_rope.py", "-x"])
    assert runs == [("pytest", "tests/test_rope.py", "-x")]


@pytest.mark.parametrize(
    "failing", [("ruff", "check"), ("pytest", "-n"), ("pytest", course.TIMED[0])]
)
def test_any_failure_fails_the_whole(modules, failing):
    _, codes = modules
    codes[failing] = 1
    assert course.run_tests([]) == 1


def test_a_missing_chromium_is_the_last_thing_said(modules, monkeypatch, capsys):
    monkeypatch.setattr(course, "find_chromium", lambda: None)
    course.run_tests([])
    assert capsys.readouterr().out.endswith(course.CHROMIUM_MISSING + "\n")


def test_chromium_is_found_on_the_path(tmp_path, monkeypatch):
    monkeypatch.setattr(course, "VENV_PYTHON", sys.executable)
    browser = tmp_path / "chromium"
    browser.write_text("#!/bin/sh\n")
    browser.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert course.find_chromium() == str(browser)


def test_no_chromium_anywhere_is_none(tmp_path, monkeypatch):
    monkeypatch.setattr(course, "VENV_PYTHON", sys.executable)
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("PLAYWRIGHT_BROWSERS_PATH", str(tmp_path))
    assert course.find_chromium() is None


def test_a_chromium_that_playwright_cannot_drive_is_none(tmp_path, monkeypatch):
    broken = tmp_path / "python"
    broken.write_text("#!/bin/sh\nexit 127\n")
    broken.chmod(0o755)
    monkeypatch.setattr(course, "VENV_PYTHON", broken)
    assert course.find_chromium() is None
