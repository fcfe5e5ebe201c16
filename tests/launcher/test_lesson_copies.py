"""The learner's copies of the lessons: nothing of the learner's own is ever overwritten."""

import hashlib
import json
import os

import pytest
from helpers.in_the_way import assert_nothing_was_followed, each_special, put_in_the_way

from launcher import common, export, lesson_copies, paths


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

    def copy(self):
        return lesson_copies.copy_lessons(self.mine.parent)

    def names(self):
        return sorted(p.name for p in self.mine.parent.iterdir() if not p.name.startswith("."))


@pytest.fixture
def desk(tmp_path, monkeypatch):
    monkeypatch.setattr(paths, "LESSONS", tmp_path / "lessons")
    return Desk(tmp_path)


def test_lessons_are_copied_with_their_folders_and_other_files_but_no_secrets(desk):
    left_by_jupyter = (".jupyter/runtime/jupyter_cookie_secret", "a/.ipynb_checkpoints/x.ipynb")
    others = (".hidden", "progress/a.json", "class/serve.py")
    for name in ("guide.md", "trainer/plan.ipynb", *left_by_jupyter, *others):
        path = desk.lesson.parent / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(notebook())
    assert desk.copy() == []
    assert desk.names() == ["03-force.ipynb", "guide.md", "trainer"]
    assert (desk.mine.parent / "trainer/plan.ipynb").read_text() == notebook()
    state = desk.mine.parent / ".jupyter"
    assert [path.name for path in state.iterdir()] == ["lesson_versions.json"]


@pytest.mark.parametrize("asked", ["03", "03-force", "03-force.ipynb"])
def test_a_lesson_is_found_by_its_number_and_its_names(desk, asked):
    assert lesson_copies.find_lesson(asked) == desk.lesson


def test_a_lesson_is_found_by_a_path_if_nothing_in_it_was_changed(desk):
    desk.copy()
    assert lesson_copies.find_lesson(str(desk.mine)) == desk.lesson
    desk.mine.write_text(notebook("mine"))
    with pytest.raises(common.CourseError, match=r"it was changed.*: 03-force$"):
        lesson_copies.find_lesson(str(desk.mine))


@pytest.mark.parametrize("asked", ["", "3", "04", "no/such/03-force.ipynb", "\0"])
def test_what_is_no_lesson_is_named_with_those_that_there_are(desk, asked):
    with pytest.raises(common.CourseError, match=r"isn't a lesson of the course.*: 03-force$"):
        lesson_copies.find_lesson(asked)


def test_an_unchanged_lesson_is_renewed_and_nothing_is_said(desk):
    desk.copy()
    desk.publish("v2")
    assert desk.copy() == []
    assert desk.mine.read_text() == notebook("v2")
    assert desk.names() == ["03-force.ipynb"]


def test_mere_running_is_no_change(desk):
    desk.copy()
    output = [{"output_type": "stream", "name": "stdout", "text": "38 kN"}]
    desk.mine.write_text(notebook("v1", outputs=output, execution_count=7))
    desk.publish("v2")
    assert desk.copy() == []
    assert desk.mine.read_text() == notebook("v2")


def test_a_changed_lesson_is_kept_and_its_new_version_put_beside_it_once(desk):
    desk.copy()
    desk.mine.write_text(notebook("my own"))
    assert desk.copy() == []
    desk.publish("v2")
    (sentence,) = desk.copy()
    assert "03-force.ipynb" in sentence
    assert "03-force-new.ipynb" in sentence
    assert desk.mine.read_text() == notebook("my own")
    assert desk.beside("new").read_text() == notebook("v2")
    assert desk.copy() == []


def test_a_still_newer_version_takes_the_place_of_an_untouched_offer(desk):
    desk.copy()
    desk.mine.write_text(notebook("my own"))
    for version in ("v2", "v3"):
        desk.publish(version)
        assert len(desk.copy()) == 1
    assert desk.beside("new").read_text() == notebook("v3")
    assert desk.names() == ["03-force-new.ipynb", "03-force.ipynb"]


def test_an_offer_that_the_learner_changed_is_kept_too(desk):
    desk.copy()
    desk.mine.write_text(notebook("my own"))
    desk.publish("v2")
    desk.copy()
    desk.beside("new").write_text(notebook("v2 and mine"))
    assert desk.copy() == []
    desk.publish("v3")
    assert "03-force-new-2.ipynb" in desk.copy()[0]
    assert desk.beside("new").read_text() == notebook("v2 and mine")
    assert desk.beside("new-2").read_text() == notebook("v3")


def test_an_offer_that_was_thrown_away_does_not_come_back(desk):
    desk.copy()
    desk.mine.write_text(notebook("my own"))
    desk.publish("v2")
    desk.copy()
    desk.beside("new").unlink()
    assert desk.copy() == []
    assert desk.names() == ["03-force.ipynb"]


def test_a_lesson_that_was_thrown_away_comes_back(desk):
    desk.copy()
    desk.mine.unlink()
    desk.copy()
    assert desk.mine.read_text() == notebook("v1")


@pytest.mark.parametrize("record", [None, "", "{", "[]"])
def test_without_a_sound_record_nothing_of_the_learners_is_overwritten(desk, record):
    desk.copy()
    desk.mine.write_text(notebook("my own"))
    path = desk.mine.parent / ".jupyter" / "lesson_versions.json"
    path.unlink() if record is None else path.write_text(record)
    assert len(desk.copy()) == 1
    assert desk.mine.read_text() == notebook("my own")


DAMAGED = {
    "empty": b"",
    "cut": notebook("v1")[:99].encode(),
    "zeros at its end": notebook("v1").encode() + bytes(4096),
    "a block of another file": b"\xff\xd8\xff\xe0" + notebook("v1").encode(),
    "nested without end": b"[" * 100_000,
    "a list": b"[]",
    "nothing": b"null",
    "a cell without text": b'{"cells": [{}]}',
    "text as a number": b'{"cells": [{"cell_type": "code", "source": 7}]}',
}
each_damage = pytest.mark.parametrize("damage", DAMAGED.values(), ids=DAMAGED.keys())


@each_damage
def test_a_damaged_copy_is_set_aside_and_a_fresh_one_made(desk, damage):
    desk.copy()
    desk.mine.write_bytes(damage)
    assert desk.copy() == [
        "03-force.ipynb was damaged: it is now 03-force-damaged.ipynb, and a fresh copy is there."
    ]
    assert desk.beside("damaged").read_bytes() == damage
    assert desk.mine.read_text() == notebook("v1")


@each_damage
def test_a_damaged_lesson_of_the_course_is_told_and_never_copied(desk, damage):
    desk.copy()
    desk.lesson.write_bytes(damage)
    told = "03-force.ipynb is damaged: get a fresh copy of the course"
    with pytest.raises(common.CourseError, match=told):
        desk.copy()
    with pytest.raises(common.CourseError, match=told):
        export.main(desk.mine.parent / "pages", "metric")
    assert desk.mine.read_text() == notebook("v1")


def test_the_learners_other_files_stay(desk):
    desk.copy()
    progress = desk.mine.parent / "progress" / "learner.json"
    progress.parent.mkdir()
    progress.write_text("theirs")
    desk.publish("v2")
    desk.copy()
    assert progress.read_text() == "theirs"


def test_the_page_is_told_the_code_of_every_lesson_and_of_no_other(desk, tmp_path):
    desk.publish("import one", "two = 'ü'")
    lesson_copies.list_course_code(tmp_path)
    config = json.loads((tmp_path / "config/labconfig/page_config.json").read_text())
    # Written out by hand: the code cells' texts in order, NUL between them, in UTF-8.
    expected = hashlib.sha256(b"import one\0two = '\xc3\xbc'").hexdigest()
    assert config == {"courseLessonCode": [expected]}


@each_special
def test_what_is_no_file_is_set_aside_and_a_fresh_copy_is_made(desk, what):
    put_in_the_way(what, desk.mine)
    (sentence,) = desk.copy()
    assert "it is now 03-force-damaged.ipynb, and a fresh copy is there" in sentence
    assert desk.mine.read_text() == notebook("v1")
    assert os.path.lexists(desk.beside("damaged"))
    assert_nothing_was_followed(desk.mine)


def test_a_copy_takes_the_place_of_a_link_and_is_not_written_through_it(desk):
    desk.copy()
    elsewhere = desk.mine.with_name("elsewhere.ipynb")
    desk.mine.rename(elsewhere)
    desk.mine.symlink_to(elsewhere)
    desk.publish("v2")
    assert desk.copy() == []
    assert desk.mine.read_text() == notebook("v2")
    assert elsewhere.read_text() == notebook("v1")
