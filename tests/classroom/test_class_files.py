"""Progress files of a class, gathered by hand: found, read once, or left out with a reason."""

import json
import os

import pytest

from recoverykit.classroom.class_files import LARGEST, read_class
from recoverykit.classroom.sample_class import invented_class
from recoverykit.course.progress import Progress
from recoverykit.units.quantities import InputError


def keep(folder, learner, entries):
    """A progress file as the course writes it."""
    book = Progress(learner, folder)
    for entry in entries:
        book.record(entry.id, entry.typed, entry.verdict, entry.seed)
    return book.path


def some_entries(number):
    """A few answers, other ones for each number."""
    return [invented_class(size=30)[number][0], *invented_class(size=30)[number][1:4]]


def reasons(folder):
    return dict(read_class(folder).left_out)


def test_files_of_thirty_laptops_have_all_the_same_name(tmp_path):
    for number, entries in enumerate(invented_class(size=30)):
        keep(tmp_path / f"laptop-{number:02}" / "progress", "learner", entries[:1])
    files = read_class(tmp_path)
    assert len(files.learners) == 30
    assert "laptop-07/progress/learner.json" in files.learners
    assert not files.left_out


def test_a_whole_course_folder_may_be_copied(tmp_path):
    folder = tmp_path / "laptop" / "my-course"
    (folder / ".jupyter").mkdir(parents=True)
    (folder / ".jupyter" / "laid.json").write_text("{}")
    (folder / "03-peak-force.ipynb").write_text("{}")
    keep(folder / "progress", "Ann", some_entries(0))
    (folder / "progress" / "name.txt").write_text("Ann")
    files = read_class(tmp_path)
    assert list(files.learners) == ["laptop/my-course/progress/ann.json"]
    assert not files.left_out


def test_what_is_read_is_what_was_kept(tmp_path):
    path = keep(tmp_path, "Ann", some_entries(3))
    (entries,) = read_class(tmp_path).learners.values()
    assert entries == Progress("Ann", tmp_path).entries()
    assert path.exists()


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", "it is cut short, or is no"),
        (b'{"format": "recoverykit pro', "it is cut short, or is no"),
        (b"\xff\xfe\x00", "it is cut short, or is no"),
        (b"[]", "no progress file"),
        (b'{"format": "recoverykit progress", "version": 99}', "newer version"),
        (b'{"format": "recoverykit progress", "version": 1, "entries": [3]}', "entry 1"),
        (b'{"format": "recoverykit progress", "version": 1, "entries": []}', "no answers yet"),
        (b" " * (LARGEST + 1), "too large"),
    ],
    ids=["empty", "cut short", "bytes", "a list", "newer", "odd entry", "no entry", "large"],
)
def test_a_bad_file_is_named_and_the_others_are_read(tmp_path, content, reason):
    keep(tmp_path, "Ann", some_entries(0))
    (tmp_path / "bob.json").write_bytes(content)
    files = read_class(tmp_path)
    assert list(files.learners) == ["ann.json"]
    assert list(files.left_out) == ["bob.json"]
    assert reason in files.left_out["bob.json"]


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
def test_what_cannot_be_opened_is_named(tmp_path):
    (tmp_path / "gone.json").symlink_to(tmp_path / "nothing")
    assert reasons(tmp_path) == {"gone.json": "gone.json is a link to another place, not a file"}


def test_hidden_files_of_other_systems_are_no_progress(tmp_path):
    keep(tmp_path, "Ann", some_entries(0))
    (tmp_path / "._ann.json").write_bytes(b"\x00\x05")
    assert list(read_class(tmp_path).learners) == ["ann.json"]
    assert reasons(tmp_path) == {}


def test_a_copy_counts_once_and_so_does_an_older_one(tmp_path):
    path = keep(tmp_path, "Ann", some_entries(0))
    written = json.loads(path.read_text(encoding="utf-8"))
    (tmp_path / "ann (1).json").write_bytes(path.read_bytes())
    older = written | {"entries": written["entries"][:2]}
    (tmp_path / "aaa.json").write_text(json.dumps(older), encoding="utf-8")
    other = written | {"entries": written["entries"][1:]}
    (tmp_path / "not the same.json").write_text(json.dumps(other), encoding="utf-8")
    files = read_class(tmp_path)
    assert sorted(files.learners) == ["ann (1).json", "not the same.json"]
    assert set(files.left_out) == {"aaa.json", "ann.json"}
    assert set(files.left_out.values()) == {"all that it holds is in ann (1).json, too"}


def test_too_deep_is_not_looked_at(tmp_path):
    keep(tmp_path / "a/b/c/d", "Ann", some_entries(0))
    keep(tmp_path / "a/b/c/d/e", "Bob", some_entries(1))
    assert list(read_class(tmp_path).learners) == ["a/b/c/d/ann.json"]


def test_no_folder_and_too_many_files_are_said(tmp_path, monkeypatch):
    with pytest.raises(InputError, match=r"^there is no folder .*nowhere$"):
        read_class(tmp_path / "nowhere")
    monkeypatch.setattr("recoverykit.classroom.class_files.MOST_FILES", 3)
    for number in range(4):
        (tmp_path / f"{number}.json").write_text("{}")
    with pytest.raises(InputError, match="more than 3 files"):
        read_class(tmp_path)


def test_a_file_that_only_says_which_units_were_chosen_holds_no_answers(tmp_path):
    keep(tmp_path, "Ann", some_entries(0))
    Progress("Bob", tmp_path).record("units", {"system": "US"}, "committed")
    files = read_class(tmp_path)
    assert list(files.learners) == ["ann.json"]
    assert files.left_out == {"bob.json": "it holds no answers yet"}


def test_an_older_copy_is_found_though_other_units_were_chosen_since(tmp_path):
    book = Progress("Ann", tmp_path / "now")
    book.record("units", {"system": "US"}, "committed")
    book.record("03.peak", {"answer": "1 kN"}, "right")
    (tmp_path / "before").mkdir()
    (tmp_path / "before" / "ann.json").write_bytes(book.path.read_bytes())
    book.record("units", {"system": "metric"}, "committed")
    book.record("03.peak", {"answer": "2 kN"}, "right")
    files = read_class(tmp_path)
    assert list(files.learners) == ["now/ann.json"]
    assert files.left_out == {"before/ann.json": "all that it holds is in now/ann.json, too"}
