"""course.py check: every fault that it knows is produced here, and gets its line and its advice."""

import ast
import json
import os
import re
import shutil
import socket
import subprocess
import sys
import time
import venv
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace

import matplotlib.font_manager
import pytest
from helpers.needs import need_packages

import recoverykit
from launcher import check, common, environment, lesson_copies, paths, testing
from launcher.check import Check, CheckFailed, CheckSkipped

LESSON = "03-peak-force.ipynb"


@pytest.fixture
def folder(tmp_path):
    """A learner's folder that is not there yet, as before the first start."""
    return tmp_path / "my-course"


def fault_of(look, folder) -> CheckFailed:
    """What a check finds wrong; it never leaves without saying what to do."""
    with pytest.raises(CheckFailed) as caught:
        look(folder)
    assert caught.value.to_do.endswith((".", "course.py"))
    return caught.value


# --- the whole --------------------------------------------------------------------------


def test_a_machine_on_which_all_is_right(folder):
    need_packages()
    command = [sys.executable, "course.py", "check", "--folder", str(folder)]
    done = subprocess.run(command, cwd=paths.ROOT, capture_output=True, text=True)
    *lines, empty, last = done.stdout.splitlines()
    assert done.returncode == 0, done.stdout
    assert [line.split()[0] for line in lines] == [check.title for check in check.CHECKS]
    assert {line[10:18].strip() for line in lines} <= {"right", "-"}
    assert not empty
    assert last.startswith("Everything checks out. ")
    assert done.stderr == ""
    assert not folder.exists(), "a check leaves nothing behind"


@pytest.fixture
def fresh(tmp_path):
    """The course as it comes, before anything is installed."""
    root = tmp_path / "fresh"
    for name in ("lessons", "launcher"):
        shutil.copytree(paths.ROOT / name, root / name)
    for name in ("course.py", "requirements.txt"):
        shutil.copy(paths.ROOT / name, root / name)
    return root


def half_made(root):
    venv.create(root / ".venv", with_pip=False)


def with_a_broken_python(root):
    (root / ".venv" / "bin").mkdir(parents=True)
    (root / ".venv" / "bin" / "python").write_text("")


@pytest.mark.parametrize(
    ("damage", "words"),
    [
        (lambda root: None, "not installed yet"),
        (with_a_broken_python, "not installed yet"),
        (half_made, "not all there"),
    ],
)
def test_without_packages_it_says_the_one_thing_to_do(fresh, damage, words):
    damage(fresh)
    done = subprocess.run(
        [sys._base_executable, "course.py", "check"], cwd=fresh, capture_output=True, text=True
    )
    assert done.returncode == 1
    assert done.stdout.count("WRONG") == 1, done.stdout
    _, packages, to_do, *rest = done.stdout.splitlines()
    assert words in packages
    assert to_do.strip() == f"To do: {check.START}"
    assert sum("needs the packages" in line for line in rest) == 4
    assert rest[-1].startswith("One thing is wrong.")
    assert "Traceback" not in done.stderr


def test_lines_stand_in_columns_and_a_fault_has_its_advice_below_it(folder, capsys):
    def broken(folder):
        raise ZeroDivisionError("odd")

    def wrong(folder):
        raise CheckFailed("it is cold", "Close the window.")

    checks = [
        Check("Warm", lambda folder: "21 degrees"),
        Check("Window", wrong),
        Check("Door", broken),
    ]
    assert check.run(folder, checks) == 2
    assert capsys.readouterr().out.splitlines() == [
        "Warm      right   21 degrees",
        "Window    WRONG   it is cold",
        "                  To do: Close the window.",
        "Door      WRONG   ZeroDivisionError: odd",
        f"                  To do: {check.ANEW}",
    ]


# --- without packages -------------------------------------------------------------------


def test_a_python_that_nobody_tried_is_no_fault(folder, monkeypatch):
    monkeypatch.setattr(environment, "NEWEST_PYTHON", (3, 10))
    with pytest.raises(CheckSkipped, match="newer than any"):
        check.python_version(folder)


@pytest.fixture
def pinned(tmp_path, monkeypatch):
    """A function that makes the course ask for other packages, all noted as installed."""
    monkeypatch.setattr(paths, "ROOT", tmp_path)
    monkeypatch.setattr(environment, "site_packages", lambda: tmp_path)

    def ask_for(*pins):
        file = tmp_path / environment.LEARNER_PACKAGES
        file.write_text("# pins\n" + "\n    # via something\n".join(pins))
        record = {environment.LEARNER_PACKAGES: common.file_hash(file)}
        (tmp_path / environment.INSTALL_RECORD).write_text(json.dumps(record))

    return ask_for


def test_packages_that_are_not_as_pinned_are_named(folder, pinned):
    pinned("numpy==0.1", "no-such-package==1", "other-machine==1 ; sys_platform == 'amiga'")
    fault = fault_of(check.packages, folder)
    assert re.fullmatch(
        r"numpy is [\d.]+ and should be 0\.1; no-such-package is missing", str(fault)
    )
    assert "Delete the folder" in fault.to_do


def test_of_many_missing_packages_three_are_named(folder, pinned):
    pinned(*(f"no-such-package-{number}==1" for number in range(5)))
    assert str(fault_of(check.packages, folder)).endswith("2 is missing, and 2 more")


def test_changed_pins_are_a_reason_to_start_the_course(folder, pinned, tmp_path):
    pinned("numpy==0.1")
    (tmp_path / environment.LEARNER_PACKAGES).write_text("numpy==0.2")
    assert fault_of(check.packages, folder).to_do == check.START


def test_packages_that_do_not_start(folder, pinned, tmp_path, monkeypatch):
    pinned("")
    python = tmp_path / "python"
    python.write_text("#!/bin/sh\necho 'ImportError: libx is missing' >&2\nexit 1\n")
    python.chmod(0o755)
    monkeypatch.setattr(paths, "VENV_PYTHON", python)
    assert "ImportError: libx is missing" in str(fault_of(check.packages, folder))


def test_too_little_room(folder, monkeypatch):
    monkeypatch.setattr(check, "ROOM_TO_WORK", 1_000_000_000)
    fault = fault_of(check.disk, folder)
    assert re.match(r"only [\d,]+ MB are free", str(fault))
    assert "Make room" in fault.to_do


def test_a_disk_that_is_full(small_disk):
    assert "Make room" in fault_of(check.disk, small_disk).to_do
    with pytest.raises(OSError, match="No space"), (small_disk / "a").open("wb") as file:
        file.write(bytes(100_000))
    fault = fault_of(check.writing, small_disk)
    assert str(fault) == f"the disk of {small_disk} is full"


def test_a_disk_that_is_read_only(small_disk):
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    fault = fault_of(check.writing, small_disk / "my-course")
    assert "Read-only file system" in str(fault)
    assert "a folder of your own" in fault.to_do


def test_a_file_where_the_folder_should_be(folder):
    folder.write_text("")
    assert "nothing can be written" in str(fault_of(check.writing, folder))


def test_an_answer_file_that_is_read_only(folder, monkeypatch):
    path = folder / "progress" / "ann.json"
    path.parent.mkdir(parents=True)
    path.write_text("{}")
    assert check.writing(folder)
    monkeypatch.setattr(os, "access", lambda place, mode: place != path)
    assert str(fault_of(check.writing, folder)) == f"{path} is read-only"


def cut(path):
    path.write_bytes(path.read_bytes()[:1000])


def test_a_damaged_lesson_of_the_course(folder, tmp_path, monkeypatch):
    monkeypatch.setattr(paths, "LESSONS", tmp_path / "lessons")
    assert fault_of(check.lessons, folder).to_do == check.FETCH_ANEW
    shutil.copytree(paths.ROOT / "lessons", paths.LESSONS)
    cut(paths.LESSONS / LESSON)
    fault = fault_of(check.lessons, folder)
    assert str(fault) == f"{paths.LESSONS / LESSON} is damaged"
    assert fault.to_do == check.FETCH_ANEW


def test_a_damaged_copy_of_a_lesson(folder):
    lesson_copies.copy_lessons(folder)
    assert "notebooks can be read" in check.lessons(folder)
    cut(folder / LESSON)
    fault = fault_of(check.lessons, folder)
    assert str(fault) == f"your copy {folder / LESSON} is damaged"
    lesson_copies.copy_lessons(folder)  # which is what it says to do
    assert check.lessons(folder)


def test_a_firewall_between_programs_of_one_machine(folder, monkeypatch):
    def no_answer(*_, **__):
        raise TimeoutError("timed out")

    monkeypatch.setattr(socket, "create_connection", no_answer)
    fault = fault_of(check.port, folder)
    assert "timed out" in str(fault)
    assert "firewall" in fault.to_do


@pytest.mark.parametrize("year", [1970, 2025, 2100, 9999])
def test_a_clock_that_is_years_wrong(folder, monkeypatch, year):
    monkeypatch.setattr(check, "_now", lambda: datetime(year, 3, 4, tzinfo=UTC))
    assert str(fault_of(check.clock, folder)) == f"it shows 04 March {year}"


@pytest.mark.parametrize(("ahead", "wrong"), [(timedelta(hours=20), 0), (timedelta(days=400), 1)])
def test_a_clock_that_was_set_back(folder, ahead, wrong):
    path = folder / "progress" / "ann.json"
    path.parent.mkdir(parents=True)
    path.write_text("{}")
    then = time.time() + ahead.total_seconds()
    os.utime(path, (then, then))
    if wrong:
        assert "but you answered on" in str(fault_of(check.clock, folder))
    else:
        assert "UTC" in check.clock(folder)


# --- with packages ----------------------------------------------------------------------


@pytest.fixture
def other_kernel(tmp_path, monkeypatch):
    """A function that puts another program in the place of the kernel's."""

    def put(*argv, **settings):
        spec = {"argv": argv, "display_name": "x", "language": "python", "env": settings}
        place = tmp_path / "kernels" / "python3" / "kernel.json"
        place.parent.mkdir(parents=True)
        place.write_text(json.dumps(spec))
        monkeypatch.setenv("JUPYTER_PATH", str(tmp_path))

    return put


def test_a_kernel_that_ends_as_it_starts(folder, other_kernel):
    other_kernel(sys.executable, "-c", "raise SystemExit(3)")
    assert "it does not start" in str(fault_of(check.kernel, folder))


def test_a_kernel_that_does_not_find_the_library(folder, other_kernel, tmp_path):
    (tmp_path / "recoverykit.py").write_text("raise ImportError('half of it is missing')")
    launch = ("-m", "ipykernel_launcher", "-f", "{connection_file}")
    other_kernel(sys.executable, *launch, PYTHONPATH=str(tmp_path))
    assert "half of it is missing" in str(fault_of(check.kernel, folder))


def test_a_kernel_that_works_out_wrong_sums(folder, monkeypatch):
    kernel = SimpleNamespace(stop_channels=lambda: None, shutdown_kernel=lambda now: None)
    monkeypatch.setattr("jupyter_client.manager.start_new_kernel", lambda **_: (kernel, kernel))
    monkeypatch.setattr(check, "_reply", lambda client, code: "3")
    assert str(fault_of(check.kernel, folder)) == "it works out 1 + 1 = 3"


SLIDERS, OURS = check.EXTENSIONS


@pytest.fixture(scope="module")
def damaged(tmp_path_factory):
    """What JupyterLab says where sliders are switched off, and our extension is for an old one."""
    folder = tmp_path_factory.mktemp("jupyter") / "jupyter"
    shutil.copytree(paths.JUPYTER, folder)
    switches = {"disabledExtensions": {SLIDERS: True}}
    (folder / "labconfig" / "page_config.json").write_text(json.dumps(switches))
    place = folder / "labextensions" / OURS / "package.json"
    package = json.loads(place.read_text()) | {"dependencies": {"@jupyterlab/notebook": "^3.0.0"}}
    place.write_text(json.dumps(package))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(paths, "JUPYTER", folder)
        return check._extensions()


RIGHT = ("enabled", "OK")


@pytest.mark.parametrize(
    ("found", "told", "to_do"),
    [
        ({}, f"sliders and buttons ({SLIDERS}) is switched off", check.ANEW),
        (
            {SLIDERS: RIGHT},
            f"part of the page ({OURS}) does not fit this JupyterLab",
            check.FETCH_ANEW,
        ),
        ({SLIDERS: RIGHT, OURS: None}, f"part of the page ({OURS}) is not there", check.FETCH_ANEW),
    ],
)
def test_extensions_that_are_damaged(folder, damaged, monkeypatch, found, told, to_do):
    listed = {name: said for name, said in (damaged | found).items() if said}
    monkeypatch.setattr(check, "_extensions", lambda: listed)
    fault = fault_of(check.widgets, folder)
    assert str(fault).endswith(told)
    assert fault.to_do == to_do


def test_the_font_of_the_pictures_is_missing(folder, monkeypatch):
    fonts = matplotlib.font_manager.fontManager
    monkeypatch.setattr(fonts, "ttflist", [])
    fonts._findfont_cached.cache_clear()
    assert "the font of the pictures is missing" in str(fault_of(check.fonts, folder))
    fonts._findfont_cached.cache_clear()


def test_a_sign_that_the_font_lacks_is_shown(folder, monkeypatch):
    monkeypatch.setattr(check, "SIGNS", "½\U0001f6df✓")
    assert str(fault_of(check.fonts, folder)).endswith("lacks \U0001f6df")


def test_every_sign_that_the_course_writes_is_looked_for():
    written = set()
    for source in Path(recoverykit.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                written |= {sign for sign in node.value if not sign.isascii()}
    # Letters of other languages are read, in headings of logs, and not drawn.
    signs = {sign for sign in written if sign.isprintable() and not sign.isalpha()}
    assert signs <= set(check.SIGNS)


def test_without_a_browser_the_page_is_not_looked_at(folder, monkeypatch):
    monkeypatch.setattr(testing, "find_chromium", lambda: None)
    with pytest.raises(CheckSkipped, match="Chromium"):
        check.page(folder)


def as_program(path, script):
    path.write_text(script)
    path.chmod(0o755)
    return path


def test_a_browser_that_breaks_off(folder, tmp_path, monkeypatch):
    browser = as_program(tmp_path / "chromium", "#!/bin/sh\nexit 1\n")
    monkeypatch.setattr(testing, "find_chromium", lambda: str(browser))
    monkeypatch.setattr(check, "_serving", lambda folder: check.contextlib.nullcontext("about:"))
    # In a thread of its own, for Playwright may be at work in this one for other tests.
    with ThreadPoolExecutor(1) as thread:
        assert "no slider came up" in str(thread.submit(fault_of, check.page, folder).result())


def test_a_course_that_does_not_open(folder, tmp_path, monkeypatch):
    script = tmp_path / "course.py"
    script.write_text("print('The disk is full.')")
    monkeypatch.setattr(paths, "COURSE", str(script))
    says_why = pytest.raises(CheckFailed, match=r"the course does not open: The disk is full\.")
    with says_why, check._serving(folder):
        pass
