"""present: what an audience gets to see, and how the server starts and stops."""

import ast
import re
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path

import psutil
import pytest
from browser.conftest import faults_in

from launcher import cli, common, environment, lesson_cells, lesson_copies, paths, present, server
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


@pytest.fixture
def asked(monkeypatch):
    """The servers that were asked for; nothing is installed or served."""
    servers = []
    monkeypatch.setattr(environment, "prepare", lambda *names: None)
    monkeypatch.setattr(server, "serve_alone", lambda asked, *_: servers.append(asked) or 0)
    return servers


def test_a_lesson_that_is_asked_for_is_the_page_to_begin_with(tmp_path, asked):
    assert cli.run(["present", "--folder", str(tmp_path), "03"]) == 0
    assert cli.run(["present", "--folder", str(tmp_path)]) == 0
    assert [each.page for each in asked] == ["voila/render/03-peak-force.ipynb", ""]


def test_what_is_no_lesson_is_refused_before_anything_starts(tmp_path, asked):
    with pytest.raises(common.CourseError, match="33 isn't a lesson of the course"):
        cli.run(["present", "--folder", str(tmp_path), "33"])
    assert not asked


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


def test_it_shows_lessons_alone_and_no_more_pages_than_the_computer_bears(tmp_path):
    port = server.free_port()
    options = [f"--Voila.port={port}", "--KernelsApart.most_pages=1"]
    address, log = server.address_of(port), tmp_path / "log"
    page = f"{address}voila/render/03-peak-force.ipynb"
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
        found = {path: answer_to(address + path, "secret")[0] for path in NO_PAGES}
        assert found == dict.fromkeys(NO_PAGES, 404)
        assert answer_to(f"{address}voila/files/03-peak-force.ipynb", "secret")[0] == 403
        assert not server.ask(f"{address}voila/api/contents", "a wrong token")
        status, told = answer_to(page, "secret")
        assert status == 503
        assert "Too many pages are open" in told
        assert "Close the pages you don't need" in told
        kernels = psutil.Process(process.pid).children()
        assert len(kernels) == 1, "of the first page"
    finally:
        server.stop(process)
    assert not psutil.wait_procs(kernels, timeout=15)[1]
    assert faults_in(log.read_text(encoding="utf-8")) == ""
    assert not list(tmp_path.glob("progress*"))
    assert not (paths.LESSONS / "progress").exists()
