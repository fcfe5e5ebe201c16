"""A bad day for the start: it never destroys what works, and trusts no stranger."""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from helpers.processes import gone, processes_with
from helpers.stranger import stranger

from faults.small_course import SmallCourse

pytestmark = pytest.mark.skipif(
    not Path("/proc/self/cmdline").exists(), reason="reads Linux's process list"
)


@pytest.fixture(scope="module")
def empty_venv(tmp_path_factory):
    """A .venv without packages."""
    venv = tmp_path_factory.mktemp("empty") / ".venv"
    subprocess.run([sys._base_executable, "-m", "venv", venv], check=True)
    return venv


@pytest.fixture
def fresh(tmp_path, empty_venv):
    """A course that nobody has started yet."""
    (tmp_path / "course").mkdir()
    course = SmallCourse(tmp_path / "course", tmp_path / "index", empty_venv)
    yield course
    course.close()


@pytest.fixture(scope="module")
def template(tmp_path_factory, empty_venv):
    """A folder with a course that was started once."""
    place = tmp_path_factory.mktemp("template")
    (place / "course").mkdir()
    course = SmallCourse(place / "course", place / "index", empty_venv)
    started = course.start().wait()
    assert started.serves, started.said
    assert started.interrupt() == 0
    course.close()
    return place


@pytest.fixture
def course(template, tmp_path, empty_venv):
    """A course with its packages, which has no network any more."""
    shutil.copytree(template / "course", tmp_path / "moved", symlinks=True)
    (tmp_path / "course").mkdir()
    course = SmallCourse(tmp_path / "course", tmp_path / "index", empty_venv)
    shutil.rmtree(course.root)
    (tmp_path / "moved").rename(course.root)
    course.go_offline()
    yield course
    course.close()


def damage(course):
    """Lose a file of a package."""
    next(course.venv.rglob("labapp.py")).unlink()
    next(course.venv.rglob("labapp.*.pyc")).unlink()


# --- a working install is never destroyed ---------------------------------------------------


HOSTILE = {
    "PYTHONOPTIMIZE": "2",
    "PYTHONWARNINGS": "error",
    "PYTHONIOENCODING": "ascii",
    "PYTHONUSERBASE": "/nowhere",
    "PYTHONPYCACHEPREFIX": "/proc/nowhere",
    "_PYTHON_SYSCONFIGDATA_NAME": "nothing",
    "JUPYTER_RUNTIME_DIR": "/proc/nowhere",
    "JPY_PARENT_PID": "1",
    "IPYTHONDIR": "/proc/nowhere",
    "MPLBACKEND": "module://nothing",
    "VIRTUAL_ENV": "/nowhere",
    "PIP_TARGET": "/proc/nowhere",
    "PIP_USER": "1",
    "PIP_NO_INDEX": "1",
    "PIP_REQUIRE_HASHES": "1",
    "PIP_NO_BINARY": ":all:",
    "PIP_DRY_RUN": "1",
    "PIP_PYTHON": "/nowhere",
    "PIP_REQUIREMENT": "/nowhere.txt",
    "PIP_CONSTRAINT": "/nowhere.txt",
    "PIP_LOG": "/proc/nowhere",
    "UV_OFFLINE": "1",
    "UV_PYTHON": "2.7",
    "UV_PROJECT_ENVIRONMENT": "/proc/nowhere",
}


def test_a_first_start_is_steered_by_nothing_foreign_and_keeps_a_foreign_venv(fresh):
    fresh.venv.mkdir()
    (fresh.venv / "theirs.txt").write_text("theirs")
    started = fresh.start(**HOSTILE).wait()
    assert started.serves, started.said
    assert fresh.installed_version() == "1"
    assert ".venv was not made by the course: it is now .venv-1" in started.said
    assert (fresh.root / ".venv-1" / "theirs.txt").read_text() == "theirs"
    assert started.interrupt() == 0


def test_a_server_that_does_not_start_costs_no_package(course):
    runtime = course.root / "my-course" / ".jupyter" / "runtime"
    shutil.rmtree(runtime)
    runtime.write_text("")  # where there should be a folder
    started = course.start().wait()
    assert not started.serves
    assert started.process.returncode == 1
    assert "Traceback" not in started.said
    runtime.unlink()
    assert course.start().wait().serves, "offline, and with the packages that were there"


def test_a_pipe_under_a_name_of_the_course_is_named_and_not_waited_for(course):
    pipe = course.root / "my-course" / ".jupyter" / "lesson_versions.json"
    pipe.unlink()
    os.mkfifo(pipe)
    started = course.start()
    assert started.process.wait(timeout=60) == 1
    assert f"{pipe} is not what the course keeps under that name." in started.wait().said
    pipe.unlink()
    assert course.start().wait().serves


def without_rights(course, owner):
    """Run what follows as a user who has no right to what belongs to another."""
    alone = ["unshare", "--map-root-user"]
    if not shutil.which("unshare") or subprocess.run([*alone, "true"], capture_output=True).stderr:
        pytest.skip("only Linux can take away an administrator's rights, and not everywhere")
    os.chown(owner, 12345, 12345)
    return alone


def test_a_folder_of_another_user_is_named(course):
    runtime = course.root / "my-course" / ".jupyter" / "runtime"
    runtime.chmod(0o700)
    alone = without_rights(course, runtime)
    started = course.start(prefix=alone).wait()
    assert not started.serves
    assert f"{runtime} cannot be written" in started.said
    assert "another user" in started.said
    assert "packages" not in started.said
    os.chown(runtime, 0, 0)
    assert course.start().wait().serves


def test_eight_starts_at_once_find_ports_and_lose_nothing(course):
    starts = [course.start(f"learner-{number}", SLOW="1") for number in range(8)]
    for started in starts:
        assert started.wait().serves, started.said
    assert len({started.port for started in starts}) == 8
    for started in starts:
        assert started.interrupt() == 0
    assert course.start().wait().serves


def test_packages_that_are_damaged_are_told_and_installed_anew_once_there_is_a_network(course):
    damage(course)
    started = course.start().wait()
    assert not started.serves
    assert "damaged" in started.said
    again = course.start().wait()
    assert not again.serves
    assert "the network did not answer" in again.said
    assert course.installed_version() == "1", "what is left was put back"
    course.go_online()
    assert course.start().wait().serves
    assert sorted(course.root.glob(".venv*")) == [course.root / ".venv", course.root / ".venv.lock"]


def test_a_new_version_takes_the_place_of_the_former(course):
    course.make_venv_really()
    course.go_online()
    course.release("2")
    started = course.start().wait()
    assert started.serves, started.said
    assert course.installed_version() == "2"
    assert not (course.root / ".venv-old").exists()
    subprocess.run([course.venv / "bin" / "pip", "--version"], check=True, capture_output=True)


def test_an_install_killed_on_the_way_is_undone_by_the_next_start(course):
    """Killed with no time to clean up, and then no network for the new version."""
    course.go_online()
    course.release("2")
    install = "    run_installer([*install_command(uv), *files])\n"
    killed = install + "    os.kill(os.getpid(), 9)\n"
    course.change("environment", install, killed)
    assert course.start().wait().process.returncode == -9
    course.change("environment", killed, install)
    course.go_offline()
    started = course.start().wait()
    assert started.serves, started.said
    assert course.installed_version() == "1"
    assert "the network did not answer" in started.said
    assert "Using the packages of an earlier version instead." in started.said
    assert "installing them again" not in started.said, "nothing was moved for it"


def test_ctrl_c_during_an_install_puts_back_what_was_there(course):
    course.go_online()
    course.release("2")
    started = course.start()
    started.hear("installing")
    assert started.interrupt() == 130
    assert course.installed_version() == "1"
    assert not (course.root / ".venv-old").exists()


# --- the disk -------------------------------------------------------------------------------


@pytest.mark.parametrize("small_disk", ["120m"], indirect=True)  # room for a few packages
def test_a_disk_that_fills_up_during_an_install(small_disk, tmp_path, empty_venv):
    course = SmallCourse(small_disk / "course", tmp_path / "index", empty_venv)
    try:
        course.release("1", **{"large.bin": bytes(125_000_000)})
        started = course.start().wait()
        assert not started.serves
        assert "The disk is full" in started.said
        assert not course.venv.exists(), "nothing half-made is left, and there is room again"
        course.release("2")
        assert course.start().wait().interrupt() == 0
        course.release("3", **{"large.bin": bytes(125_000_000)})
        started = course.start().wait()
        assert started.serves, started.said
        assert "The disk is full" in started.said
        assert course.installed_version() == "2"
    finally:
        course.close()


# --- no stranger is trusted -----------------------------------------------------------------


@pytest.fixture
def another():
    """A program that grants whatever it is asked, and notes it."""
    with stranger() as program:
        yield program


def test_a_file_that_names_another_server_is_not_believed(course, another):
    content = json.dumps({"port": another.server_port, "token": "aa"})
    (course.root / "my-course" / ".jupyter" / "server.json").write_text(content)
    started = course.start().wait()
    assert started.serves, started.said
    assert int(started.port) != another.server_port
    assert "already running" not in started.said
    assert started.interrupt() == 0
    assert another.asked == []


def test_ctrl_c_before_the_server_listens_asks_no_stranger_to_end(course, another):
    module = course.root / "launcher" / "server.py"
    taken = f"\n\ndef free_port(*_):\n    return {another.server_port}\n"
    module.write_text(module.read_text() + taken)
    started = course.start(SLOW="30")
    while not processes_with(f"ServerApp.root_dir={course.root}"):
        time.sleep(0.05)
    time.sleep(1)
    assert started.interrupt() == 0
    assert another.asked == []
    assert gone(f"ServerApp.root_dir={course.root}")


# --- two starts at once ---------------------------------------------------------------------


def test_two_first_starts_at_once_install_once(fresh):
    first = fresh.start("one")
    first.hear("installing")
    second = fresh.start("two")
    assert first.wait().serves, first.said
    assert second.wait().serves, second.said
    assert "Another start is installing the packages; waiting for it." in second.said
    assert (first.said + second.said).count("Installed in") == 1


def test_two_starts_of_one_folder_show_one_server(course):
    first, second = course.start(SLOW="2"), course.start(SLOW="2")
    assert first.wait().serves, first.said
    assert second.wait().serves, second.said
    assert (first.address, first.token) == (second.address, second.token)
    assert sum("already running" in each.said for each in (first, second)) == 1
    assert len(processes_with(f"ServerApp.root_dir={course.root}")) == 1


def test_a_start_that_was_killed_takes_its_server_with_it(course):
    killed = course.start().wait()
    killed.process.send_signal(signal.SIGKILL)
    killed.process.wait()
    assert gone(f"ServerApp.root_dir={course.root}")
    started = course.start().wait()
    assert started.serves, started.said
    assert "already running" not in started.said
    assert started.token != killed.token
    assert len(processes_with(f"ServerApp.root_dir={course.root}")) == 1
    assert started.interrupt() == 0
    assert gone(f"ServerApp.root_dir={course.root}")
