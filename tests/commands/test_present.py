"""present: what an audience gets to see, and how the server starts and stops."""

import os
import re
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path
from types import SimpleNamespace

import pytest
from tornado.web import HTTPError

import course
from commands import lessons, present

each_lesson = pytest.mark.parametrize("lesson", course.lessons(), ids=lambda path: path.stem)


def request_for(name):
    return SimpleNamespace(path_args=[name])


@each_lesson
def test_an_audience_sees_the_top_the_guess_and_the_panels(lesson):
    notebook = lessons.read(lesson)
    title, question, caution = lessons.top(notebook)
    panels = [cell.id for cell in notebook.cells if lessons.is_panel(cell)]
    shown = present.show_panels_only(request_for(lesson.name), notebook, "").cells
    assert shown[0].source == f"# {title}\n\n**{question}**\n\n{caution}"
    code = [cell.id for cell in shown if cell.cell_type == "code"]
    assert [name for name in code if name not in ("tools", "my-guess")] == panels
    assert not [cell for cell in shown if re.search(r"ask\(|^\*\d+ minutes?\*$", cell.source, re.M)]


def test_the_guess_comes_with_what_it_speaks_of():
    (lesson,) = course.LESSONS.glob("05-*.ipynb")
    text = "\n".join(cell.source for cell in present.presented(lessons.read(lesson)).cells)
    assert "| 4 | soft shackle |" in text
    assert "## Guess" not in text


@pytest.mark.parametrize("name", ["instructor/class-review.ipynb", "../x.ipynb", ""])
def test_nothing_but_the_lessons_is_run(name):
    notebook = lessons.read(course.LESSONS / "instructor/class-review.ipynb")
    with pytest.raises(HTTPError, match="404"):
        present.show_panels_only(request_for(name), notebook, "")


def test_each_kernel_works_in_an_empty_folder_of_its_own(tmp_path, monkeypatch):
    monkeypatch.setattr(present.KernelsApart, "scratch", str(tmp_path))
    kernels = present.KernelsApart()
    one, other = (Path(kernels.cwd_for_path("03-peak-force.ipynb")) for _ in range(2))
    assert one != other
    assert one.parent == other.parent == tmp_path
    assert list(one.iterdir()) == []


def test_the_list_has_every_title_and_question():
    config = present.list_lessons({"a": 1}, notebook_path="", log=None)
    assert config["a"] == 1
    assert [each["file"] for each in config["lessons"]] == [path.name for path in course.lessons()]
    assert config["lessons"][3]["title"] == "03 · Peak force against speed"


# The real server, but with the packages that run this test: nothing is installed here.
STARTER = """
import sys, course
course.prepare = lambda *names: None
course.VENV_PYTHON = sys.executable
sys.exit(course.main(sys.argv[1:]))
"""


def start(*arguments):
    command = [sys.executable, "-c", STARTER, "present", "--no-browser", *arguments]
    return subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=course.ROOT
    )


def answer_to(url, token):
    request = urllib.request.Request(url, headers={"Authorization": f"token {token}"})
    try:
        return urllib.request.urlopen(request).status
    except urllib.error.HTTPError as refusal:
        return refusal.code


def processes_with(word):
    """The process ids of those whose command line has a word in it."""
    found = {}
    for process in Path("/proc").glob("[0-9]*"):
        try:
            found[process.name] = (process / "cmdline").read_text("utf-8", errors="replace")
        except OSError:  # it ended meanwhile
            continue
    return [number for number, line in found.items() if word in line]


@pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="reads Linux's process list")
def test_a_trainer_starts_it_and_ctrl_c_ends_all_of_it(tmp_path):
    process = start("--folder", str(tmp_path), "03")
    try:
        said = ""
        for line in process.stdout:
            said += line
            if found := re.search(r"(http://127\.0\.0\.1:(\d+)/)(\S+)\?token=(\w+)", line):
                break
        address, port, page, token = found.groups()
        assert page == "voila/render/03-peak-force.ipynb"
        assert answer_to(address + page, token) == 200
        assert answer_to(address + "voila/render/instructor/class-review.ipynb", token) == 404
        assert answer_to(address + "voila/files/03-peak-force.ipynb", token) == 403
        assert not course.ask(address + "voila/api/contents", "a wrong token")
        assert processes_with(f"--Voila.port={port}")
        assert not processes_with(token)
        servers = children_of(process.pid)
        assert len(servers) == 2  # Voilà, and the kernel of one page
    finally:
        process.send_signal(signal.SIGINT)
        rest, _ = process.communicate(timeout=30)
    assert process.returncode == 0
    assert "Traceback" not in rest
    assert not [number for number in servers if os.path.exists(f"/proc/{number}")]
    assert not list(tmp_path.glob("progress*"))
    assert not (course.LESSONS / "progress").exists()


def children_of(number):
    """The process ids of all that descends from a process."""
    children = Path(f"/proc/{number}/task/{number}/children").read_text().split()
    return children + [each for child in children for each in children_of(child)]


def test_what_is_no_lesson_is_refused_before_anything_starts(tmp_path):
    process = start("--folder", str(tmp_path), "33")
    said, _ = process.communicate(timeout=60)
    assert process.returncode == 1
    assert "33 is no lesson of the course" in said
