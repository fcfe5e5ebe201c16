"""present: what an audience gets to see, and how the server starts and stops."""

import ast
import os
import re
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from helpers.processes import processes_with

from launcher import environment, lesson_cells, lesson_copies, paths, present, server
from recoverykit.lessons.demonstrations import DEMONSTRATIONS

each_lesson = pytest.mark.parametrize("lesson", lesson_copies.lessons(), ids=lambda path: path.stem)


@each_lesson
def test_an_audience_sees_the_top_the_guess_and_the_panels(lesson):
    notebook = lesson_cells.read(lesson)
    title, question, caution = lesson_cells.top(notebook)
    panels = [cell.id for cell in notebook.cells if lesson_cells.is_panel(cell)]
    shown = present.presented(notebook).cells
    caution = caution.replace("[glossary](glossary.md)", "glossary")
    assert shown[0].source == f"# {title}\n\n**{question}**\n\n{caution}"
    code = [cell.id for cell in shown if cell.cell_type == "code"]
    drawings = [name for name in code if name.startswith("illustration-")]
    assert len(drawings) == (0 if lesson.name[:2] == "00" else 1), "what the guess is about"
    demonstrations = ["demonstration"] * (lesson.name[:2] in DEMONSTRATIONS)
    rest = [name for name in code if name not in ("tools", "my-guess", *drawings)]
    assert rest == demonstrations + panels
    assert not [cell for cell in shown if re.search(r"ask\(|^\*\d+ minutes?\*$", cell.source, re.M)]


@pytest.mark.parametrize("lesson", DEMONSTRATIONS)
def test_the_cell_of_a_demonstration_shows_it(lesson):
    (cell,) = present.demonstration(lesson)
    *made, shown = ast.parse(cell.source).body
    names = {}
    exec(compile(ast.Module(made, []), "made", "exec"), names)
    assert type(eval(ast.unparse(shown), names)) is DEMONSTRATIONS[lesson]


def test_the_guess_comes_with_what_it_speaks_of():
    (lesson,) = paths.LESSONS.glob("05-*.ipynb")
    text = "\n".join(cell.source for cell in present.presented(lesson_cells.read(lesson)).cells)
    assert "4. soft shackle: minimum breaking strength" in text
    assert "## Guess" not in text


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
    assert [each["file"] for each in config["lessons"]] == [
        path.name for path in lesson_copies.lessons()
    ]
    assert config["lessons"][3]["title"] == "03 · Peak force against speed"


# The real server, but with the packages that run this test: nothing is installed here.
STARTER = """
import sys
from launcher import cli, environment, paths
environment.prepare = lambda *names: None
paths.VENV_PYTHON = sys.executable
sys.exit(cli.main(sys.argv[1:]))
"""


def start(*arguments):
    command = [sys.executable, "-c", STARTER, "present", "--no-browser", *arguments]
    return subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=paths.ROOT
    )


def answer_to(url, token):
    """The status and the page."""
    request = urllib.request.Request(url, headers={"Authorization": f"token {token}"})
    try:
        answer = urllib.request.urlopen(request)
    except urllib.error.HTTPError as refusal:
        answer = refusal
    with answer:
        return answer.status, answer.read().decode()


LONG = "a" * 300
NO_PAGES = [
    "logout",
    "login?next=/a%0d%0ab",
    "login?next=http://[",
    "voila/render/",
    "voila/render/%00",
    "voila/render/../x.ipynb",
    "voila/render/03-peak-force.ipynb%0a",
    "voila/render/03-peak-force.ipynb/x",
    f"voila/render/{LONG}.ipynb",
    "voila/render/glossary.md",
    "voila/render/instructor/class-review.ipynb",
    "voila/tree/instructor",
    f"voila/api/contents/{LONG}",
    "voila/api/contents/instructor",
    f"voila/labextensions/{'a/' * 3000}",
    "voila/templates/",
    "voila/templates/present",
    "voila/templates/present/static/",
    "voila/templates/present/static/.",
    "voila/templates/present/static/../x",
    "voila/templates/present/static/%00",
    "voila/templates/present/static/%2e%2e",
    "voila/templates/..%2fx/static/y",
]


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
        assert answer_to(address + page, token)[0] == 200
        assert answer_to(address + "voila/files/03-peak-force.ipynb", token)[0] == 403
        found = {path: answer_to(address + path, token)[0] for path in NO_PAGES}
        assert found == dict.fromkeys(NO_PAGES, 404)
        assert not server.ask(address + "voila/api/contents", "a wrong token")
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
    assert not (paths.LESSONS / "progress").exists()


def children_of(number):
    """The process ids of all that descends from a process."""
    children = Path(f"/proc/{number}/task/{number}/children").read_text().split()
    return children + [each for child in children for each in children_of(child)]


def test_what_is_no_lesson_is_refused_before_anything_starts(tmp_path):
    process = start("--folder", str(tmp_path), "33")
    said, _ = process.communicate(timeout=60)
    assert process.returncode == 1
    assert "33 isn't a lesson of the course" in said


def test_more_pages_than_the_computer_bears_are_refused_kindly(tmp_path):
    port = server.free_port()
    options = [f"--Voila.port={port}", "--KernelsApart.most_pages=1"]
    page = f"http://127.0.0.1:{port}/voila/render/03-peak-force.ipynb"
    log = tmp_path / "log"
    with log.open("w") as output:
        process = subprocess.Popen(
            [sys.executable, "-m", "launcher.present", *options],
            stdin=subprocess.PIPE,  # it ends with that
            stdout=output,
            stderr=subprocess.STDOUT,
            cwd=paths.ROOT,
            env=environment.jupyter_environment(tmp_path, JUPYTER_TOKEN="secret"),
        )
    try:
        assert server.answers_in_time(process, page, "secret", log)  # which opens the first page
        status, told = answer_to(page, "secret")
        said = log.read_text(encoding="utf-8")
    finally:
        server.stop(process)
    assert status == 503
    assert "Too many pages are open" in told
    assert "Close the pages you don't need" in told
    assert "Traceback" not in said
