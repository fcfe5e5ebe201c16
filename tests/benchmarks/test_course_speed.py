"""A second start beside that of bare JupyterLab, and all lessons run beside empty notebooks."""

import contextlib
import secrets
import statistics
import subprocess
import sys
import time

import nbclient
import nbformat
import pytest
from browser.conftest import running_course
from helpers.needs import need_packages

from launcher import environment, lesson_copies, server

STARTS = 2


@contextlib.contextmanager
def bare_jupyterlab(folder):
    """JupyterLab without any settings, from its start until it answers; then it is ended."""
    token, port = secrets.token_hex(8), server.free_port()
    address = f"http://127.0.0.1:{port}/"
    state = {f"JUPYTER_{name}_DIR": str(folder / name) for name in ("CONFIG", "DATA", "RUNTIME")}
    command = [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root"]
    command += [f"--ServerApp.port={port}", f"--ServerApp.root_dir={folder}"]
    log = folder / "server.log"
    with log.open("w") as output:
        process = subprocess.Popen(
            command,
            stdout=output,
            stderr=output,
            env=environment.clean_environment(JUPYTER_TOKEN=token, **state),
        )
    try:
        assert server.answers_in_time(process, f"{address}api/status", token, log)
        yield
    finally:
        process.terminate()
        process.wait()


def seconds_to_start(server):
    """How long a server takes from its start until it answers."""
    start = time.perf_counter()
    with server:
        return time.perf_counter() - start


def test_second_start(tmp_path, record_property):
    need_packages()
    (tmp_path / "bare").mkdir()
    times = [
        (
            seconds_to_start(running_course(tmp_path / "ours")),
            seconds_to_start(bare_jupyterlab(tmp_path / "bare")),
        )
        for _ in range(1 + STARTS)
    ]
    ours, bare = map(statistics.median, zip(*times[1:], strict=True))
    record_property(
        "speed",
        f"the course's second start until it answers: {ours:.1f} s; bare JupyterLab {bare:.1f} s, "
        f"{ours / bare:.2f} times that",
    )
    assert ours < 2 * bare


@pytest.fixture
def run(tmp_path):
    """A function that runs a notebook in a kernel of its own, and gives the seconds it took."""

    def seconds(notebook):
        start = time.perf_counter()
        resources = {"metadata": {"path": str(tmp_path)}}
        nbclient.NotebookClient(notebook, resources=resources, kernel_name="python3").execute()
        return time.perf_counter() - start

    return seconds


def test_all_lessons_run(run, record_property):
    lessons = [nbformat.read(path, as_version=4) for path in lesson_copies.lessons()]
    empty = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("pass")])
    times = [(run(lesson), run(empty)) for lesson in lessons]
    ours, nothing = map(sum, zip(*times, strict=True))
    record_property(
        "speed",
        f"all {len(lessons)} lessons run from top to bottom: {ours:.0f} s; as many empty "
        f"notebooks {nothing:.0f} s, {ours / nothing:.1f} times that",
    )
    assert ours < 8 * nothing
