"""Faults that a learner meets on the page: each is told there, and nothing kept is lost."""

import json
import re
import signal

import psutil
import pytest
from helpers.lesson_page import LessonPage
from playwright.sync_api import expect

from recoverykit.course.questions import QuestionInstance
from recoverykit.lessons.bank import find_question

FORCE, STAMPS = "03-peak-force.ipynb", "04-two-stamps.ipynb"
LESSON_OF = {FORCE: "03.peak", STAMPS: "04.limit"}


def question_of(page, name):
    return page.question(QuestionInstance(find_question(LESSON_OF[name])).text)


def answer(page, name, typed):
    question = question_of(page, name)
    question.answer(typed)
    expect(question.reply).to_contain_text(re.compile(typed.replace(" ", r"\s") + " is"))
    page.wait_until_idle()


def kept(running):
    text = (running.folder / "progress" / "learner.json").read_text(encoding="utf-8")
    return [entry["typed"].get("answer") for entry in json.loads(text)["entries"]]


@pytest.fixture(autouse=True)
def nothing_kept_yet(running):
    for path in (running.folder / "progress").glob("learner.*"):
        path.unlink()


def kernels_of(running):
    return [
        process
        for process in psutil.process_iter(["cmdline"])
        if "ipykernel_launcher" in (words := " ".join(process.info["cmdline"] or []))
        and str(running.folder) in words
    ]


def lost(page):
    return page.page.get_by_role("alert").filter(has_text="This page has lost the course")


HOSTILE = '"><img src=x onerror="harmed=1">{0}'


def test_two_tabs_write_one_learners_file_and_a_script_is_shown_as_text(running, open_lesson):
    force, stamps = open_lesson(FORCE), open_lesson(STAMPS)
    assert len(kernels_of(running)) == 2
    answer(force, FORCE, "1 kN")
    answer(stamps, STAMPS, "2 kN")
    question = question_of(force, FORCE)
    question.answer(HOSTILE)
    expect(question.reply).to_contain_text("<img src=x onerror=")
    question.answer("9" * 1_000_000)
    expect(question.reply).to_contain_text("too long for one number")
    assert force.page.evaluate("window.harmed") is None
    *before, longest = kept(running)
    assert before == ["1 kN", "2 kN", HOSTILE]
    assert len(longest) < 10_000


def test_a_notebook_that_somebody_sent_or_changed_does_not_run_by_itself(running, open_tab):
    """Both ask for it in their metadata, as the lessons do; one differs by a single letter."""
    lesson = json.loads((running.folder / FORCE).read_text(encoding="utf-8"))
    assert lesson["metadata"]["recoverykit"]["run_on_open"] is True
    for cell in lesson["cells"]:
        if cell["cell_type"] == "code":
            cell["outputs"] = []
    code = next(cell for cell in lesson["cells"] if cell["cell_type"] == "code")
    code["source"] = "".join(code["source"]) + "#"
    (running.folder / "changed.ipynb").write_text(json.dumps(lesson), encoding="utf-8")
    code["source"] = "open('ran', 'w')"
    (running.folder / "sent.ipynb").write_text(json.dumps(lesson), encoding="utf-8")
    # An unchanged lesson beside them shows that there was time enough.
    tabs = [open_tab(name) for name in ("changed.ipynb", "sent.ipynb", FORCE)]
    for tab in tabs:
        tab.wait_until_idle()
    expect(question_of(tabs[-1], FORCE).box).to_be_visible()
    for tab in tabs[:-1]:
        expect(tab.page.locator(".jp-MarkdownOutput h1").first).to_be_visible()
        expect(tab.page.locator(".jp-OutputArea-output")).to_have_count(0)
    assert not (running.folder / "ran").exists()


def test_a_lesson_that_cannot_be_told_from_another_says_why_it_does_not_start(browser, running):
    """Browsers hide what computes a hash from pages of another machine that come by http."""
    page = LessonPage(browser.new_context().new_page(), running.address)
    page.page.add_init_script("Object.defineProperty(crypto, 'subtle', {value: undefined})")
    page.go(f"doc/tree/{FORCE}?token={running.token}")
    told = page.page.get_by_role("alert").filter(has_text="does not start by itself")
    expect(told).to_contain_text('its address begins with "http:"')
    page.run()
    expect(question_of(page, FORCE).box).to_be_visible()
    expect(told).to_have_count(0)
    assert page.complaints == []
    page.page.context.close()


@pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="stops a program as Unix does")
def test_a_kernel_is_killed_in_the_middle_of_an_answer_and_then_the_course_ends(
    running, open_lesson, open_tab
):
    page = open_lesson(FORCE)
    answer(page, FORCE, "1 kN")
    for one in kernels_of(running):
        one.send_signal(signal.SIGSTOP)  # so that the answer is on its way when it is killed
    question_of(page, FORCE).answer("2 kN")
    for one in kernels_of(running):
        one.kill()
    stopped = page.page.get_by_role("alert").filter(has_text="This lesson has stopped")
    expect(stopped).to_contain_text('Press "Run the lesson" to go on.')
    page.button("Ok").click()  # JupyterLab's own words: the kernel "appears to have died"
    page.wait_until_idle()
    assert kept(running) == ["1 kN"]

    page.run()
    expect(stopped).to_have_count(0)
    expect(question_of(page, FORCE).box).to_have_value("1 kN")
    answer(page, FORCE, "3 kN")
    running.stop()
    expect(lost(page)).to_contain_text("What you answered before is.")
    address = running.address
    running.start()
    assert kept(running) == ["1 kN", "3 kN"]

    if running.address == address:
        page.page.reload()  # as it says; the token of the address is an old one by now
    else:  # a test beside this one had that port, or has it now
        page = open_tab(FORCE)
    expect(question_of(page, FORCE).box).to_have_value("3 kN")
    expect(lost(page)).to_have_count(0)
    page.wait_until_idle()
    answer(page, FORCE, "4 kN")
    assert kept(running) == ["1 kN", "3 kN", "4 kN"]
