"""The card on the page: what is kept in the folder, what is linked, and when there is no card."""

import base64
import re

import ipywidgets
import pytest
from committed_later import CommittedLater

from recoverykit import display
from recoverykit.card import NoCardError
from recoverykit.panels import PlanPanel, make_card, pull_card
from recoverykit.panels.pull_card import BOTH, keep
from recoverykit.units import Q

LADDER = {"dig_out": True, "lay_boards": True}


@pytest.fixture(autouse=True)
def folder(in_new_kernel, tmp_path):
    """The learner's folder, in which the kernel works."""
    return tmp_path


def names_in(folder):
    return sorted(path.name for path in folder.iterdir())


def links_of(view):
    """The files that the links hold, by name."""
    found = re.findall(r'download="([^"]+)" href="data:[a-z/]+;base64,([^"]+)"', view._links.value)
    return {name: base64.b64decode(content) for name, content in found}


def press(view):
    (row,) = (w for w in view.view.children if isinstance(w, ipywidgets.HBox))
    (button,) = row.children
    button.click()


def test_nothing_is_made_unasked(folder):
    view = make_card(PlanPanel())
    assert names_in(folder) == []
    assert view.sentence == ""
    assert view._page.layout.display == "none"


def test_a_card_is_kept_linked_and_shown(folder):
    view = make_card(PlanPanel())
    press(view)
    assert view.sentence == "The card is kept in your folder, as pull-card.pdf and pull-card.png."
    assert names_in(folder) == ["pull-card.pdf", "pull-card.png"]
    assert links_of(view) == {name: (folder / name).read_bytes() for name in names_in(folder)}
    assert bytes(view._page.value) == (folder / "pull-card.png").read_bytes()
    assert view._page.layout.display is None
    assert (folder / "pull-card.pdf").read_bytes().startswith(b"%PDF-")


def test_while_it_is_drawn_that_is_said_and_the_button_waits(folder, monkeypatch):
    view = make_card(PlanPanel())
    seen = []

    def look(*_):
        seen.append((view._make.disabled, "Drawing the card …" in view._reply.value))
        raise NoCardError("There is no card.")

    monkeypatch.setattr(pull_card, "as_png", look)
    press(view)
    assert seen == [(True, True)]
    assert not view._make.disabled
    assert view.sentence == "There is no card."
    assert "Drawing" not in view._reply.value


def test_the_same_card_is_not_written_twice(folder):
    view = make_card(PlanPanel())
    press(view)
    press(view)
    assert view.sentence.startswith("This very card is in your folder already, as pull-card.pdf")
    assert len(names_in(folder)) == 2
    assert len(links_of(view)) == 2


def test_another_card_overwrites_nothing(folder):
    panel = PlanPanel()
    view = make_card(panel)
    press(view)
    before = {name: (folder / name).read_bytes() for name in names_in(folder)}
    panel.set(**LADDER)
    press(view)
    assert "pull-card-2.pdf and pull-card-2.png. Earlier ones are still there." in view.sentence
    assert set(links_of(view)) == {"pull-card-2.pdf", "pull-card-2.png"}
    assert all((folder / name).read_bytes() == content for name, content in before.items())
    assert len(names_in(folder)) == 4


def test_a_file_of_somebody_elses_is_left_alone(folder):
    (folder / "pull-card.png").write_bytes(b"a picture of something")
    press(make_card(PlanPanel()))
    assert (folder / "pull-card.png").read_bytes() == b"a picture of something"
    assert names_in(folder) == ["pull-card-2.pdf", "pull-card-2.png", "pull-card.png"]


def test_a_disk_that_refuses_is_said_and_the_links_hold_the_card(folder):
    target = folder / "gone"
    stem, sentence = keep({"pdf": b"card"}, target)
    assert stem == "pull-card"
    assert "could not be kept in your folder (No such file or directory)" in sentence
    assert "download it here" in sentence


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"line": "line over a tow ball"}, "No working load limit is known for: tow ball"),
        ({"line": "my own line"}, "Your own line is not written yet."),
        ({"mire": "cab"}, "reduce the resistance first"),
        ({"vehicle": Q(9000, "kg"), "vehicle_ground": "dry road"}, "the tyres alone can load"),
    ],
)
def test_without_a_ladder_there_is_a_sentence_and_no_file(folder, values, says):
    panel = PlanPanel()
    panel.set(**values)
    view = make_card(panel)
    press(view)
    assert view.sentence.startswith("There is no card, as there is no ladder to print")
    assert says in view.sentence
    assert names_in(folder) == []


def test_where_the_ladder_goes_the_card_on_the_page_goes_too(folder):
    panel = PlanPanel()
    view = make_card(panel)
    press(view)
    panel.set(line="line over a tow ball")
    press(view)
    assert links_of(view) == {}
    assert view._page.layout.display == "none"
    assert len(names_in(folder)) == 2


def test_no_card_before_the_guess(folder):
    view = make_card(PlanPanel(guess=CommittedLater()))
    press(view)
    assert view.sentence.startswith("Write down your guess first")
    assert names_in(folder) == []


@pytest.mark.parametrize(("system", "paper"), [("metric", "A4"), ("US", "Letter")])
def test_the_usual_paper_goes_with_the_units(system, paper):
    display.use(system)
    view = make_card(PlanPanel())
    assert view.paper.value == paper
    display.use("US" if system == "metric" else "metric")
    assert view.paper.value != paper


def test_papers_and_units_make_other_cards(folder):
    view = make_card(PlanPanel())
    press(view)
    view.paper.value = "Letter"
    press(view)
    view.units.value = BOTH
    press(view)
    contents = {(folder / name).read_bytes() for name in names_in(folder)}
    assert len(contents) == len(names_in(folder)) == 6
