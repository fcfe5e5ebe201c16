"""What nobody should type, name or send, in every place that takes text: a sentence, no harm."""

import csv
import json
import os
import re

import pytest
from matplotlib.axes import Axes
from matplotlib.text import Text

from recoverykit.classroom.class_files import LARGEST, read_class
from recoverykit.classroom.review import ANOTHER, ideas_csv, questions_csv, review
from recoverykit.classroom.view import ClassReviewView
from recoverykit.course import progress
from recoverykit.course.page import as_pdf
from recoverykit.course.progress import LONGEST_TYPED, Progress
from recoverykit.lessons import (
    ExtrapolationPanel,
    OwnLog,
    PlanPanel,
    RecordSaver,
    ask,
    ask_line,
    ask_name,
    guess,
    make_card,
)
from recoverykit.lessons.measured_pulls.record_page import record_page
from recoverykit.lessons.plan.card_view import keep
from recoverykit.measurements.session import CurrentSession
from recoverykit.physics.rigging import demo_line
from recoverykit.physics.rigging_text import EXAMPLE

TEXTS = {
    "a huge number": "1e400 kN",
    "digits without end": "9" * 10_000_000,
    "no number": "nan kN",
    "a script": "<script>alert(1)</script>",
    "a picture with a script": '"><img src=x onerror=alert(1)>',
    "braces": "{peak} {0.__class__} %s %(x)s",
    "a formula of a spreadsheet": "=HYPERLINK(1)",
    "Python": "__import__('os').abort()",
    "mathematics": r"$\frac{1}{",
    "a true minus": "−38 kN",
    "right to left": "\u202e38 kN",
    "other digits": "٣٨ kN",
    "a null": "38\0 kN",
    "half a sign": "\ud83d kN",
    "a bell": "38\a kN",
    "a path": "../../../etc/passwd",
}
each_text = pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS.keys())


@pytest.fixture(autouse=True)
def learner(tmp_path, monkeypatch):
    """A learner's folder, with one answer kept."""
    folder = tmp_path / "my-course"
    folder.mkdir()
    monkeypatch.chdir(folder)
    monkeypatch.setattr(progress, "_current", [])
    ask("03.faster").answer("doubles")
    return folder


def files_of(tmp_path):
    return {path.relative_to(tmp_path).parts[0] for path in tmp_path.rglob("*")}


def html_of(view):
    return view._reply.value


def assert_harmless(html):
    """Of what came in nothing is HTML; the page's own has these few elements."""
    assert set(re.findall(r"<(\w+)", html)) <= {"div", "p", "ol", "li", "a"}
    assert len(html) < 100_000


# --- answers ----------------------------------------------------------------------------


@each_text
def test_an_answer_is_replied_to_and_nothing_kept_before_is_lost(text, tmp_path):
    question = ask("03.peak")
    question.answer(text)
    assert question.sentence
    assert len(question.sentence) < 400
    assert "could not" not in question.sentence
    assert_harmless(html_of(question))
    again = Progress()
    assert [entry.id for entry in again.entries()] == ["03.faster", "03.peak"]
    assert again.latest("03.faster").typed == {"answer": "doubles"}
    assert len(again.latest("03.peak").typed["answer"]) <= LONGEST_TYPED + 1
    ask("03.peak").answer("1 kN")
    assert len(Progress().entries()) == 3
    assert files_of(tmp_path) == {"my-course"}


@each_text
def test_a_guess_is_asked_for_again(text):
    view = guess("03.guess")
    view.fill_in(**dict.fromkeys(view.guess.template.fields, text))
    view.keep()
    assert not view.guess.committed
    assert_harmless(html_of(view))
    assert guess("03.guess").guess.committed is False


@each_text
def test_a_line_is_asked_for_again(text):
    view = ask_line(PlanPanel())
    view.write(text)
    assert view.sentence
    assert_harmless(html_of(view))
    view.write("shackle, WLL 30 kN")
    assert len(Progress().entries()) == 3


# --- names ------------------------------------------------------------------------------

NAMES = {
    "con": "con",
    "COM1": "com1",
    "a raised figure": "com¹",
    "with an ending": "nul.json",
    "a path": "../../etc/passwd",
    "a path of Windows": "..\\..\\C:\\x",
    "a hidden file": ".jupyter",
    "a script": "<script>x</script>",
    "braces": "{0.__class__}",
    "a formula": "=1+1",
    "a lookalike": "Аnn",  # its first letter is Cyrillic
    "right to left": "\u202ennA",
    "an Arabic mark": "A\u061cnn",
    "no width": "\u200b",
    "a null": "A\0nn",
    "a new line": "A\nnn",
    "half a sign": "A\ud83dnn",
    "as long as may be": "李" * 60,
}


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES.keys())
def test_a_name_gets_a_file_of_its_own_in_the_folder(name, learner, tmp_path):
    ask_name().name("Ann")
    ask("03.peak").answer("1 kN")
    view = ask_name()
    view.name(name)
    assert "Answers are kept under the name" in view.sentence
    assert not re.search(r"[\x00-\x1f\ud800-\udfff\u061c\u202e]", view.sentence)
    assert_harmless(html_of(view))
    ask("03.peak").answer("2 kN")
    assert [entry.typed["answer"] for entry in Progress("Ann").entries()] == ["1 kN"]
    stems = {path.stem for path in (learner / "progress").glob("*.json")}
    assert len(stems) == 3
    assert all(re.fullmatch(r"[a-z0-9-]{1,50}", stem) for stem in stems)
    assert stems.isdisjoint({"con", "nul", "com1"})
    assert files_of(tmp_path) == {"my-course"}
    progress._current.clear()  # another kernel
    assert [entry.typed["answer"] for entry in progress.current().entries()] == ["2 kN"]


@pytest.mark.parametrize("name", ["x" * 61, "x" * 10_000_000, "\0", "\u202e", "\ud83d"])
def test_a_name_that_will_not_do_leaves_the_one_before(name):
    view = ask_name()
    view.name(name)
    assert view.sentence.startswith("Your answers are kept as before: the name ")
    assert len(view.sentence) < 200
    assert progress.current().latest("03.faster")


# --- logs of pulls ----------------------------------------------------------------------

HEADING = b"speed [km/h],peak [kN],repeat,note\n"
GOOD = HEADING + b"".join(b"%d,%d,1,\n" % (speed, 4 * speed) for speed in range(2, 9))

# Each with how many pulls come out of it: the seven good ones and what else can be read.
LOGS = {
    "huge numbers": (GOOD + b"1e999,5,1,\n3,1e308,1,\n" + b"9" * 400 + b",5,1,\n", 7),
    "formulas": (GOOD + b"=1+1,12,1,\n@A1,12,1,\n4,=cmd|' /C x'!A0,1,\n5,20,1,=1+1\n", 8),
    "scripts": (GOOD + b"3,<b>12</b>,1,\n3,13,1,<script>alert(1)</script>\n", 8),
    "mathematics": (GOOD + b"3,12,1,$\\frac{1}{\n4,17,1,{0} %s $x$\n", 9),
    "nulls": (GOOD + b"3\0,12\0,1,\0\n", 7),
    "other digits and directions": (GOOD + "٣,١٢,1,\n4,16,1,\u202eعرض\n".encode(), 8),
    "minus signs": (GOOD + "-3,12,1,\n−3,12,1,\n".encode(), 7),
    "halves of signs": (GOOD + b"\xed\xa0\x80,12,1,\xed\xa0\x80\n", 7),
    "a line of 19 MB": (GOOD + b"9" * 19_000_000, 7),
    "a quote of 18 MB": (GOOD + b'"' + b"a," * 9_000_000, 7),
    "a row of 2,400 cells": (GOOD + b",".join([b"1"] * 2400), 7),
    "600 columns": (HEADING.strip() + b",x" * 600 + b"\n2,8,1,\n", 1),
    "10,000 columns": (HEADING.strip() + b",column" * 10_000 + b"\n2,8,1,\n", 0),
    "50 MB": (HEADING + b"2,8,1,\n" * 7_150_000, 0),
    "nothing but nulls": (bytes(1_000_000), 0),
    "300,000 rows": (HEADING + b"2,8,1,\n" * 300_000, 0),
}


@pytest.mark.parametrize(("content", "pulls"), LOGS.values(), ids=LOGS.keys())
def test_of_a_log_the_good_rows_are_read_and_the_rest_is_told(content, pulls, tmp_path):
    book = CurrentSession()
    own = OwnLog(book)
    own.open_bytes(content, "today.csv")
    assert_harmless(html_of(own))
    assert len(own.sentence) < 1000
    if pulls:
        assert len(book.session.log) == pulls
        assert own.sentence.startswith(f"today.csv: {pulls} pull")
        assert as_pdf(record_page(book.session, demo_line(), "A4"), "x").startswith(b"%PDF")
    else:
        assert own.sentence.endswith("Until then Marram Point (invented) stays open.")
    assert files_of(tmp_path) == {"my-course"}


FILE_NAMES = ["../../x.csv", "C:\\..\\x.csv", "<img src=x onerror=alert(1)>.csv", "=1+1.csv", "\0"]
FILE_NAMES += ["\N{DUCK}.csv", "half a sign \udc80.csv"]


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("name", [*FILE_NAMES, "x" * 5000, "$\\frac{", "{0.__class__}"])
def test_the_name_of_a_file_is_shown_and_leads_nowhere(name, tmp_path):
    book = CurrentSession()
    own = OwnLog(book)
    own.open_bytes(GOOD, name)
    assert own.sentence.startswith(name)
    assert_harmless(html_of(own))
    assert as_pdf(record_page(book.session, demo_line(), "A4"), "x").startswith(b"%PDF")
    assert files_of(tmp_path) == {"my-course"}


@pytest.mark.parametrize("path", ["/dev/zero", "/dev/stdin", "/proc/kmsg", "/", "pipe"])
def test_a_path_to_what_never_ends_is_not_read(path, learner):
    if os.name == "nt":
        pytest.skip("such paths are of Unix")
    os.mkfifo(learner / "pipe")
    own = OwnLog(CurrentSession())
    own.open_path(path)
    assert own.sentence.endswith("Until then Marram Point (invented) stays open.")


# --- what turns words around --------------------------------------------------------------

TURNS = "\u202e\u2066\u200f\u061c"


def shown_texts(widget):
    """All texts that a widget and those in it send to the page."""
    state = widget.get_state()
    yield from (text for text in state.values() if isinstance(text, str))
    for child in getattr(widget, "children", ()):
        yield from shown_texts(child)


def assert_nothing_turns(texts):
    found = [text for text in texts if re.search(f"[{TURNS}\u202a-\u202e\u2066-\u2069]", text)]
    assert found == []


def test_nothing_in_a_log_turns_the_words_of_page_and_record(monkeypatch):
    book = CurrentSession()
    own = OwnLog(book)
    content = GOOD + f"3,12,1,{TURNS}note\n4,1{TURNS}6,1,x\n{TURNS},12,1,\n".encode()
    reach = ExtrapolationPanel(book)
    own.open_bytes(content, f"{TURNS}today.csv")
    assert_nothing_turns([*shown_texts(own.view), *shown_texts(reach.view), own.sentence])
    assert_nothing_turns([own._repr_mimebundle_()["text/plain"], *own.problems])
    written = []
    monkeypatch.setattr(Axes, "text", lambda self, x, y, text, **looks: written.append(text))
    as_pdf(record_page(book.session, demo_line(), "A4"), "x")
    assert "note" in written
    assert any("today.csv" in text for text in written)
    assert_nothing_turns(written)


def test_nothing_in_a_line_turns_the_words_of_page_picture_and_card(monkeypatch):
    panel = PlanPanel()
    view = ask_line(panel)
    written = []
    really_set = Text.set_text
    monkeypatch.setattr(
        Text, "set_text", lambda self, text: written.append(str(text)) or really_set(self, text)
    )
    typed = "\n".join(f"{TURNS}{row}" for row in EXAMPLE.splitlines())
    view.write(typed)
    card = make_card(panel)
    card.make()
    assert_nothing_turns({*shown_texts(view.view), *shown_texts(panel.view)} - {typed})
    assert_nothing_turns([*shown_texts(card.view), view.sentence, panel.summary, *written])
    assert any("soft shackle" in text for text in written)


def test_no_file_of_a_class_turns_the_words_of_the_page(tmp_path):
    folder = tmp_path / f"{TURNS}class"
    folder.mkdir()
    (folder / f"{TURNS}gpj.json").write_text("{}")
    view = ClassReviewView(folder)
    assert "gpj.json" in html_of(view)
    assert_nothing_turns([html_of(view), view.sentence, *view.left_out])
    view.read(f"{folder}{TURNS}not there")
    assert_nothing_turns([html_of(view), view.sentence])


# --- where something else stands in the way --------------------------------------------------


@pytest.mark.skipif(os.name == "nt", reason="such files are of Unix")
@pytest.mark.parametrize("what", ["pipe", "link", "folder"])
def test_what_is_saved_goes_beside_what_has_its_name(what, tmp_path):
    other = tmp_path / "other"
    put = {"pipe": os.mkfifo, "link": lambda path: path.symlink_to(other), "folder": os.mkdir}[what]
    out = tmp_path / "out"
    out.mkdir()
    for name in ("pulls.png", "my-pulls.csv", "pull-card.pdf", "invented-class-ideas.csv"):
        put(out / name)
    book = CurrentSession()
    assert RecordSaver(ExtrapolationPanel(book), out).save_picture().name == "pulls-2.png"
    own = OwnLog(book, out)
    own.write_template()
    assert "my-pulls-2.csv" in own._template.value
    assert keep({"pdf": b"%PDF"}, out)[1] == (
        "The card is kept in your folder, as pull-card-2.pdf. Earlier ones are still there."
    )
    view = ClassReviewView(tmp_path, out)
    view.show_invented()
    view.save()
    assert (out / "invented-class-ideas-2.csv").is_file()
    assert not other.exists()


# --- files of a class -------------------------------------------------------------------


def progress_file(*entries):
    return json.dumps(
        {"format": "recoverykit progress", "version": 1, "learner": "=1+1", "entries": entries}
    )


def entry(id, verdict, **typed):
    return {"id": id, "typed": typed, "verdict": verdict, "seed": 0, "time": "=NOW()"}


def test_no_text_of_a_learner_reaches_the_tables_of_a_class(tmp_path):
    folder = tmp_path / "class"
    folder.mkdir()
    formulas = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "=cmd|' /C calc'!A0"]
    for number, formula in enumerate(formulas):
        entries = [
            entry("03.peak", formula, answer=formula),
            entry("03.heavier", formula, answer=formula),
            entry(formula, "right", answer=formula),
            entry("00.survey", "committed", **{"01": formula, formula: formula}),
        ]
        (folder / f"{number}.json").write_text(progress_file(*entries))
    found = read_class(folder)
    assert len(found.learners) == len(formulas)
    result = review(found.learners.values())
    cells = [
        cell
        for table in (ideas_csv(result), questions_csv(result))
        for row in csv.reader(table.decode("utf-8-sig").splitlines())
        for cell in row
    ]
    assert ANOTHER in cells
    texts = [cell for cell in cells if not re.fullmatch(r"-?\d+(\.\d+)?", cell)]
    assert not [text for text in texts if text.startswith(("=", "+", "-", "@", "\t", "\r"))]


def test_files_that_are_none_or_too_large_are_named(tmp_path):
    folder = tmp_path / "class"
    folder.mkdir()
    (folder / "good.json").write_text(progress_file(entry("03.peak", "right", answer="1 kN")))
    (folder / "large.json").write_bytes(b" " * (LARGEST + 1))
    (folder / "<img src=x>.json").write_text("[" * 100_000)
    expected = {"large.json", "<img src=x>.json"}
    if os.name != "nt":
        os.mkfifo(folder / "pipe.json")
        (folder / "zero.json").symlink_to("/dev/zero")
        (folder / "loop.json").symlink_to(folder / "loop.json")
        (folder / "up").symlink_to(folder)
        expected |= {"pipe.json", "zero.json", "loop.json"}
    found = read_class(folder)
    assert list(found.learners) == ["good.json"]
    assert found.left_out.keys() == expected
    view = ClassReviewView(folder)
    assert "<img" not in html_of(view)
