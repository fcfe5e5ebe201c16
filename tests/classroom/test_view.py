"""The class review on the page: driven as an instructor and a browser would."""

import csv
import io
import logging

import ipywidgets
import pytest
from helpers.widget_tree import click, page, send, widgets
from PIL import Image

from recoverykit import display
from recoverykit.classroom.sample_class import invented_class
from recoverykit.classroom.view import ClassReviewView
from recoverykit.course.progress import Progress


@pytest.fixture(autouse=True)
def in_own_folder(tmp_path, monkeypatch, caplog):
    monkeypatch.chdir(tmp_path)
    yield
    ipywidgets.Widget.close_all()
    assert not [record for record in caplog.records if record.levelno >= logging.WARNING]


@pytest.fixture
def class_folder(tmp_path):
    """Three learners, of whom one left early, and one file that is none of theirs."""
    for number, entries in enumerate(invented_class(size=3)):
        book = Progress("learner", tmp_path / "class" / f"laptop-{number}")
        for entry in entries[:1] + entries[-1:]:
            book.record(entry.id, entry.typed, entry.verdict)
    (tmp_path / "class" / "<b>notes.json").write_text("{")
    return tmp_path / "class"


def write(view, text):
    """What the browser sends when something was written into the box."""
    (box,) = widgets(view, ipywidgets.Text)
    send(box, value=text)


def is_shown(view):
    return view._shown.layout.display != "none"


def test_without_a_folder_it_says_where_the_files_go(tmp_path):
    view = ClassReviewView()
    assert view.sentence.startswith("There is no folder class. Put the progress files")
    assert str(tmp_path / "class") in view.sentence
    assert not is_shown(view)
    assert view.result is None
    click(view, "Save pictures and tables")
    assert list(tmp_path.iterdir()) == []


def test_the_folder_beside_the_page_is_read_at_once(class_folder):
    view = ClassReviewView()
    assert view.sentence.startswith("Class: 3 learners. 2 answered the survey both times")
    assert is_shown(view)
    assert view.left_out == ["<b>notes.json: it is cut short, or is no progress file."]
    assert "<b>notes" not in page(view)
    assert page(view).count("<table") == 2


def test_files_that_come_later_are_read_at_the_press_of_a_button(class_folder):
    view = ClassReviewView()
    (class_folder / "<b>notes.json").unlink()
    Progress("Ann", class_folder).record("03.peak", {"answer": "3 kN"}, "too low")
    click(view, "Read the folder")
    assert view.result.learners == 4
    assert view.left_out == []


def test_another_folder_is_written_as_it_is_pasted(class_folder, tmp_path):
    view = ClassReviewView(folder=tmp_path / "nowhere")
    write(view, f'"{class_folder}"')
    assert view.result.learners == 3
    write(view, "  ")
    assert view.result.learners == 3, "the folder of the page itself, with the class in it"


@pytest.mark.parametrize("folder", ["~nobody-of-this-name", "a\0b", "class.txt", "/no/such/place"])
def test_rubbish_is_refused_in_a_sentence(folder, tmp_path):
    (tmp_path / "class.txt").write_text("")
    view = ClassReviewView()
    write(view, folder)
    assert view.result is None
    assert "Put the progress files of the class into" in view.sentence
    view.show_invented()
    assert is_shown(view)


def test_an_empty_folder_and_one_of_bad_files_are_not_the_same(tmp_path):
    (tmp_path / "class").mkdir()
    view = ClassReviewView()
    assert view.sentence.startswith("There are no progress files in this folder.")
    (tmp_path / "class" / "ann.json").write_text("{")
    view.read("class")
    assert view.sentence == "Class: 0 learners. Nobody has answered the survey both times yet."
    assert len(view.left_out) == 1


def test_a_long_list_of_bad_files_is_cut(tmp_path):
    (tmp_path / "class").mkdir()
    for number in range(53):
        (tmp_path / "class" / f"{number}.json").write_text("{")
    view = ClassReviewView()
    assert len(view.left_out) == 53
    assert page(view).count("<li>") == 50
    assert "And 3 more." in page(view)


def test_the_invented_class_says_that_it_is_invented(tmp_path):
    view = ClassReviewView()
    click(view, "Show an invented class")
    assert view.sentence.startswith("Invented class: 18 learners.")
    click(view, "Save pictures and tables")
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "invented-class-guesses-01.png",
        "invented-class-guesses.csv",
        "invented-class-ideas.csv",
        "invented-class-questions.csv",
        "invented-class-review.png",
    ]


def test_what_is_saved_can_be_opened_and_overwrites_nothing(class_folder, tmp_path):
    (tmp_path / "class-ideas.csv").write_text("mine")
    view = ClassReviewView()
    click(view, "Save pictures and tables")
    click(view, "Save pictures and tables")
    assert (tmp_path / "class-ideas.csv").read_text() == "mine"
    names = {path.name for path in tmp_path.iterdir() if path.is_file()}
    assert names == {
        "class-guesses-01.png", "class-guesses-01-2.png",
        "class-guesses.csv", "class-guesses-2.csv",
        "class-ideas.csv", "class-ideas-2.csv", "class-ideas-3.csv",
        "class-questions.csv", "class-questions-2.csv",
        "class-review.png", "class-review-2.png",
    }  # fmt: skip
    with Image.open(tmp_path / "class-review.png") as image:
        assert image.size == (950, 950)
    table = (tmp_path / "class-ideas-2.csv").read_text(encoding="utf-8-sig")
    assert len(list(csv.DictReader(io.StringIO(table)))) == 10
    assert "class-ideas-3.csv" in page(view)


def test_a_folder_that_cannot_be_written_to_is_said(class_folder, tmp_path):
    view = ClassReviewView(out=tmp_path / "gone")
    click(view, "Save pictures and tables")
    assert "The files could not be written: No such file or directory." in page(view)


def test_the_picture_changes_with_the_class(class_folder):
    view = ClassReviewView()
    before = shown(view)
    view.show_invented()
    assert all(now != then for now, then in zip(shown(view), before, strict=True))
    view.read(class_folder)
    assert shown(view) == before


def test_the_guesses_follow_the_lesson_and_the_units():
    view = ClassReviewView()
    click(view, "Show an invented class")
    assert "Energy at 8 km/h" in plain(page(view))
    review, first = shown(view)
    (lesson,) = widgets(view, ipywidgets.Dropdown)
    send(lesson, index=2)
    assert "Lesson 03: " in page(view)
    assert "Peak at 8 km/h: it is 28 kN, and" in plain(page(view))
    third = shown(view)[1]
    assert third != first
    display.use("US")
    assert "Peak at 6 mph: it is 7,500 lbf, and" in plain(page(view))
    assert shown(view)[0] == review
    assert shown(view)[1] not in (first, third)


def shown(view):
    """The pictures of the class, and of its guesses."""
    return [bytes(image.value) for image in widgets(view, ipywidgets.Image)]


def plain(html):
    return html.replace("\N{NO-BREAK SPACE}", " ")
