"""Lessons that are damaged on disk: the learner's copies, and those of the course itself."""

import json
import shutil

import pytest

from launcher import common, export, lesson_copies, paths

LESSON = "03-peak-force.ipynb"
WHOLE = (paths.LESSONS / LESSON).read_bytes()

DAMAGED = {
    **{f"cut after {share} %": WHOLE[: len(WHOLE) * share // 100] for share in (1, 50, 99)},
    "zeros at its end": WHOLE[:-4096] + bytes(4096),
    "a block of another file": WHOLE[:4096] + b"\xff\xd8\xff\xe0" * 1024 + WHOLE[8192:],
    "nested without end": b"[" * 100_000,
    "text as numbers": json.dumps({"cells": [{"cell_type": "code", "source": 7}]}).encode(),
}
each_damage = pytest.mark.parametrize("content", DAMAGED.values(), ids=DAMAGED.keys())


@each_damage
def test_a_damaged_copy_is_set_aside_and_a_fresh_one_made(tmp_path, content):
    folder = tmp_path / "my-course"
    lesson_copies.copy_lessons(folder)
    (folder / LESSON).write_bytes(content)
    assert lesson_copies.copy_lessons(folder) == [
        f"{LESSON} was damaged: it is now 03-peak-force-damaged.ipynb, and a fresh copy is there."
    ]
    assert (folder / LESSON).read_bytes() == WHOLE
    assert (folder / "03-peak-force-damaged.ipynb").read_bytes() == content


@each_damage
def test_a_damaged_lesson_of_the_course_is_told_and_never_copied(tmp_path, monkeypatch, content):
    folder = tmp_path / "my-course"
    lesson_copies.copy_lessons(folder)
    shutil.copytree(paths.LESSONS, tmp_path / "lessons")
    monkeypatch.setattr(paths, "LESSONS", tmp_path / "lessons")
    (paths.LESSONS / LESSON).write_bytes(content)
    told = f"{LESSON} is damaged: get a fresh copy of the course"
    with pytest.raises(common.CourseError, match=told):
        lesson_copies.copy_lessons(folder)
    with pytest.raises(common.CourseError, match=told):
        export.main(folder / "pages", "metric")
    assert (folder / LESSON).read_bytes() == WHOLE
