"""The card on the page: what is kept in the folder, what is linked, and when there is no card."""

import base64
import re

import ipywidgets
import pytest
from helpers.guessed_panels import waiting
from helpers.printed import printed
from helpers.widget_tree import click, send, widgets

from recoverykit import display
from recoverykit.course import progress
from recoverykit.lessons import PlanPanel, ask_line, make_card
from recoverykit.lessons.plan import card_view
from recoverykit.lessons.plan.card_content import MARK, OWN_VALUES, NoCardError
from recoverykit.lessons.plan.card_view import BOTH, keep
from recoverykit.physics.rigging_text import EXAMPLE, read_line
from recoverykit.units.quantities import Q

LADDER = {"dig_out": True, "lay_boards": True}
LINE = """\
tow eye of the van: 5 short tons, WLL, factor 4
rope: 160 kN, breaking strength, factor 4
front eye: 80 kN, breaking strength, factor 2
"""
EXAMPLE_FILES = ["pull-card-example.pdf", "pull-card-example.png"]


@pytest.fixture(autouse=True)
def folder(in_new_kernel, tmp_path):
    """The learner's folder, in which the kernel works."""
    return tmp_path


@pytest.fixture
def drawn():
    """For tests of the page itself: it is drawn, which takes a second."""


@pytest.fixture(autouse=True)
def sketched(request, monkeypatch):
    """In place of a drawn page, all that it would show."""
    if "drawn" not in request.fixturenames:
        monkeypatch.setattr(card_view, "card_page", lambda *all_of_it: f"{all_of_it}".encode())
        monkeypatch.setattr(card_view, "as_pdf", lambda page, title: b"%PDF-" + page)
        monkeypatch.setattr(card_view, "as_png", lambda page: b"PNG" + page)


@pytest.fixture
def own_panel():
    """A panel with a line of the learner's own, and a ladder on it."""
    panel = PlanPanel()
    panel.use_line(read_line(LINE).quantity)
    panel.set(**LADDER)
    return panel


def tick(view):
    """What the browser sends when a learner ticks all values as their own."""
    for box in boxes_of(view):
        send(box, value=True)


def boxes_of(view):
    return widgets(view, ipywidgets.Checkbox)


def name_of(box):
    return box.description.partition(":")[0].lower()


def ticked(view):
    return [name_of(box) for box in boxes_of(view) if box.value]


def names_in(folder):
    return sorted(path.name for path in folder.iterdir() if path.is_file())


def links_of(view):
    """The files that the links hold, by name."""
    found = re.findall(r'download="([^"]+)" href="data:[a-z/]+;base64,([^"]+)"', view._links.value)
    return {name: base64.b64decode(content) for name, content in found}


def press(view):
    click(view, "Make the card")


def test_nothing_is_made_unasked(folder):
    view = make_card(PlanPanel())
    assert names_in(folder) == []
    assert view.sentence == ""
    assert view._page.layout.display == "none"


@pytest.mark.usefixtures("drawn")
def test_a_card_is_kept_linked_and_shown(folder):
    view = make_card(PlanPanel())
    press(view)
    assert view.sentence.startswith(
        "The card is kept in your folder, as pull-card-example.pdf and pull-card-example.png."
    )
    assert names_in(folder) == EXAMPLE_FILES
    assert links_of(view) == {name: (folder / name).read_bytes() for name in names_in(folder)}
    assert bytes(view._page.value) == (folder / "pull-card-example.png").read_bytes()
    assert view._page.layout.display is None
    assert (folder / "pull-card-example.pdf").read_bytes().startswith(b"%PDF-")


# --- whose values -----------------------------------------------------------------------


def test_a_card_is_an_example_until_every_value_is_ticked(folder, own_panel):
    view = make_card(own_panel)
    assert ticked(view) == []
    for missing in OWN_VALUES:
        for box in boxes_of(view):
            box.value = name_of(box) != missing
        press(view)
        assert f"It is marked as an example: not ticked as yours: {missing}." in view.sentence
    assert all(name.startswith("pull-card-example") for name in names_in(folder))
    tick(view)
    press(view)
    assert view.sentence == "The card is kept in your folder, as pull-card.pdf and pull-card.png."
    assert links_of(view).keys() == {"pull-card.pdf", "pull-card.png"}


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"vehicle": Q(3150, "kg")}, "recovery vehicle"),
        ({"vehicle_ground": "wet grass"}, "recovery vehicle"),
        ({"mass": Q(4150, "kg")}, "stuck vehicle"),
        ({"ground": "wet sand"}, "stuck vehicle"),
        ({"mire": "fenders"}, "stuck vehicle"),
        ({"slope": Q(1, "degree")}, "stuck vehicle"),
        ({"lay_boards": False}, "stuck vehicle"),
        ({"rope_length": Q(9, "m")}, "rope"),
        ({"stretch": Q(25, "percent")}, "rope"),
    ],
)
def test_a_value_that_is_changed_is_no_longer_confirmed(own_panel, change, name):
    view = make_card(own_panel)
    tick(view)
    before = {each: own_panel.values[each] for each in change}
    own_panel.set(**change)
    others = [each for each in OWN_VALUES if each != name]
    assert ticked(view) == others
    own_panel.set(**before)
    assert ticked(view) == others  # going back confirms nothing


def test_another_line_is_not_confirmed(own_panel):
    view = make_card(own_panel)
    tick(view)
    own_panel.use_line(read_line(LINE.replace("80 kN", "90 kN")).quantity)
    assert ticked(view) == [name for name in OWN_VALUES if name != "line"]
    tick(view)
    own_panel.set(line="yard line")
    assert "line" not in ticked(view)


def test_an_invented_line_cannot_be_confirmed(folder):
    panel = PlanPanel()
    view = make_card(panel)
    line = boxes_of(view)[-1]
    assert line.disabled
    assert line.description == "Line: from Marram Point, invented"
    view.confirm()
    assert view.unconfirmed == ("line",)
    panel.use_line(read_line(EXAMPLE).quantity)
    assert line.disabled
    panel.use_line(read_line(LINE).quantity)
    assert not line.disabled


def test_what_is_ticked_is_said_in_the_units_on_show(own_panel):
    view = make_card(own_panel)
    tick(view)
    said = [box.description for box in boxes_of(view)]
    assert said[2:] == [
        "Rope: 11 m long, stretch at break 30 %",
        "Line: 3 parts, from tow eye of the van to front eye",
    ]
    display.use("US")
    assert boxes_of(view)[2].description == "Rope: 36 ft long, stretch at break 30 %"
    # Rounded in the new units they are other values, to be confirmed again.
    assert ticked(view) == ["line"]
    own_panel.set(rope_length=Q(9, "m"))
    assert boxes_of(view)[2].description == "Rope: 29.5 ft long, stretch at break 30 %"


def test_what_one_learner_confirms_does_not_hold_for_another(own_panel):
    view = make_card(own_panel)
    tick(view)
    progress.use_learner("Ann")
    assert ticked(view) == []


# --- the line in the box ----------------------------------------------------------------


def test_no_card_while_the_line_in_the_box_cannot_be_read(folder):
    panel = PlanPanel()
    written, view = ask_line(panel), make_card(panel)
    written.write(f"{LINE}bumper: 4 tons, WLL")
    press(view)
    assert view.sentence.startswith("There is no card. The line in the box cannot be read. Row 4")
    assert names_in(folder) == []
    written.write(LINE)
    panel.set(**LADDER)
    press(view)
    assert names_in(folder) == EXAMPLE_FILES


def test_no_card_while_another_line_is_in_the_box(folder, own_panel):
    written, view = ask_line(own_panel), make_card(own_panel)
    written.write(LINE)
    tick(view)
    written.write_example()
    press(view)
    assert 'The line in the box is not the one in the plan: press "Plan with' in view.sentence
    assert names_in(folder) == []


@pytest.mark.parametrize("left_out", [0, 2])
def test_no_card_for_a_line_that_is_not_complete(folder, left_out):
    panel = PlanPanel()
    written, view = ask_line(panel), make_card(panel)
    rows = LINE.splitlines()
    del rows[left_out]
    written.write("\n".join(rows))
    panel.set(**LADDER)
    assert "Until then there is no card." in written.sentence
    press(view)
    assert view.sentence.startswith("There is no card. The line is not complete")
    assert names_in(folder) == []


def test_no_card_for_another_length_than_that_in_the_row_of_the_rope(folder):
    """A rope of 30 ft pulls harder than one of 36 ft: its ladder ends a step before."""
    panel = PlanPanel()
    written, view = ask_line(panel), make_card(panel)
    written.write(LINE.replace("factor 4\nfront", "factor 4, 30 ft\nfront"))
    panel.set(**LADDER)
    assert panel.values["rope_length"] == Q(30, "ft")
    assert "The plan takes a length of 9.14 m from the rope's row." in written.sentence
    tick(view)
    panel.set(rope_length=Q(11, "m"))
    assert (
        ". The row of the rope says a length of 9.14 m, but this is worked out for a length of 11 m"
    ) in panel.summary
    press(view)
    assert "There is no card. The row of the rope says a length of 9.14 m" in view.sentence
    assert names_in(folder) == []
    panel.set(rope_length=Q(9.144, "m"))
    press(view)
    assert names_in(folder) == EXAMPLE_FILES


# --- while it is made, and where --------------------------------------------------------


def test_while_it_is_drawn_that_is_said_and_the_button_waits(folder, monkeypatch):
    view = make_card(PlanPanel())
    seen = []

    def look(*_):
        seen.append((view._make.disabled, "Drawing the card …" in view._reply.value))
        raise NoCardError("There is no card.")

    monkeypatch.setattr(card_view, "as_png", look)
    press(view)
    assert seen == [(True, True)]
    assert not view._make.disabled
    assert view.sentence == "There is no card."
    assert "Drawing" not in view._reply.value


def test_the_same_card_is_not_written_twice(folder):
    view = make_card(PlanPanel())
    press(view)
    press(view)
    assert view.sentence.startswith(
        "This same card is already in your folder, as pull-card-example"
    )
    assert len(names_in(folder)) == 2
    assert len(links_of(view)) == 2


def test_another_card_overwrites_nothing(folder):
    panel = PlanPanel()
    view = make_card(panel)
    press(view)
    before = {name: (folder / name).read_bytes() for name in names_in(folder)}
    panel.set(**LADDER)
    press(view)
    assert "pull-card-example-2.png. Earlier ones are still there." in view.sentence
    assert set(links_of(view)) == {"pull-card-example-2.pdf", "pull-card-example-2.png"}
    assert all((folder / name).read_bytes() == content for name, content in before.items())
    assert len(names_in(folder)) == 4


def test_a_file_of_somebody_elses_is_left_alone(folder):
    theirs = folder / "pull-card-example.png"
    theirs.write_bytes(b"a picture of something")
    press(make_card(PlanPanel()))
    assert theirs.read_bytes() == b"a picture of something"
    numbered = [name.replace("example", "example-2") for name in EXAMPLE_FILES]
    assert names_in(folder) == sorted([theirs.name, *numbered])


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
        ({"line": "my own line"}, "Your own line isn't written yet."),
    ],
)
def test_without_a_ladder_there_is_a_sentence_and_no_file(folder, values, says):
    panel = PlanPanel()
    panel.set(**values)
    view = make_card(panel)
    press(view)
    assert view.sentence.startswith("There is no card: no ladder to print.")
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
    panel, *_ = waiting(PlanPanel)
    view = make_card(panel)
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


@pytest.mark.usefixtures("drawn")
def test_the_page_itself_is_marked_until_all_is_ticked(own_panel, folder):
    view = make_card(own_panel)
    press(view)
    assert MARK.lower() in printed(links_of(view)["pull-card-example.pdf"], folder).lower()
    tick(view)
    press(view)
    assert MARK.lower() not in printed(links_of(view)["pull-card.pdf"], folder).lower()


def test_where_there_is_no_line_none_can_be_ticked():
    panel = PlanPanel()
    panel.use_line(None)
    assert boxes_of(make_card(panel))[-1].disabled
