"""The command line: what a newcomer meets before anything else works."""

import errno
import os
import re
import subprocess
import sys

import pytest

from launcher import cli, common, environment, paths, server, testing
from recoverykit.units.quantities import SYSTEMS


def run_course(*arguments):
    return subprocess.run(
        [sys.executable, paths.COURSE, *arguments], capture_output=True, text=True
    )


def test_help_lists_every_command():
    result = run_course("--help")
    assert result.returncode == 0
    listed = re.findall(r"^    (\w+) +\w", result.stdout, re.MULTILINE)
    assert listed == ["open", "present", "export", "check", "test"]


def test_an_unknown_command_is_named_and_the_known_ones_listed():
    result = run_course("begin")
    assert result.returncode == 2
    assert re.search(r"invalid choice: 'begin' \(choose from .*test", result.stderr)
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
    def fail(**options):
        raise OSError(number, os.strerror(number), "some/file")

    monkeypatch.setattr(server, "open_course", fail)
    assert cli.main([]) == 1
    assert words in capsys.readouterr().err


def test_a_mistake_of_ours_is_not_hidden(monkeypatch):
    def fail(**options):
        raise FileNotFoundError(errno.ENOENT, "gone", "some/file")

    monkeypatch.setattr(server, "open_course", fail)
    with pytest.raises(FileNotFoundError):
        cli.main([])


def test_ctrl_c_leaves_no_traceback(monkeypatch, capsys):
    def interrupt(**options):
        raise KeyboardInterrupt

    monkeypatch.setattr(server, "open_course", interrupt)
    assert cli.main([]) == 130
    assert "Stopped." in capsys.readouterr().out


def test_a_newer_python_is_warned_about_and_tried(monkeypatch, capsys):
    monkeypatch.setattr(environment, "NEWEST_PYTHON", (3, 10))
    with pytest.raises(SystemExit):
        cli.run(["--help"])
    assert "is newer than 3.10, the newest one tried" in capsys.readouterr().out


@pytest.mark.parametrize("name", ["lessons", "lessons/new", ".", "launcher/x", ".venv", "a link"])
@pytest.mark.parametrize("command", ["open", "present", "export", "check"])
def test_a_folder_of_the_course_itself_is_refused(command, name, tmp_path):
    (tmp_path / "a link").symlink_to(paths.LESSONS)
    folder = tmp_path / name if name == "a link" else paths.ROOT / name
    with pytest.raises(common.CourseError, match="belongs to the course itself"):
        cli.parser().parse_args([command, "--folder", str(folder)])


def test_what_follows_test_is_for_pytest(monkeypatch):
    asked = []
    monkeypatch.setattr(testing, "run_tests", lambda arguments: asked.append(arguments) or 0)
    assert cli.main(["test", "-x", "--folder", "tests/test_rope.py", "-h"]) == 0
    assert asked == [["-x", "--folder", "tests/test_rope.py", "-h"]]


def test_units_are_those_of_the_library():
    assert set(cli.UNITS) == set(SYSTEMS)
