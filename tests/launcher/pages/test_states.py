"""The states of a panel, as an exported page shows them."""

import base64
import io
import itertools

import numpy as np
import pytest
from helpers.few_states import CELLS, few_states
from matplotlib.text import Text
from PIL import Image

from launcher.pages import live, states
from recoverykit.course.picture import MovingText
from recoverykit.lessons import PeakForcePanel, PullInTimePanel
from recoverykit.units.quantities import SYSTEMS, Q, display

each_panel = pytest.mark.parametrize("cell", CELLS.values(), ids=list(CELLS))
each_system = pytest.mark.parametrize("system", SYSTEMS)


@pytest.fixture(autouse=True)
def system_as_before():
    yield
    display.use("metric")


def pixels(image: bytes):
    """A picture with the colors of its pixels."""
    with Image.open(io.BytesIO(image)) as opened:
        return opened.convert("RGBA")


@each_system
@each_panel
def test_what_moves_starts_where_the_panel_does_and_stays_within_its_limits(cell, system):
    display.use(system)
    panel = live.panel_of(cell)
    for control, (_, most) in zip(states.controls(panel), panel.precomputed, strict=True):
        assert 2 <= len(control.values) <= most
        assert control.values[control.start] == panel.values[control.input.name]
        assert len(set(control.texts)) == len(control.texts)
        for value in control.values:
            control.input.check(value)


def test_a_slider_moves_in_even_steps_between_its_ends():
    (speed, _) = states.controls(PeakForcePanel())
    assert speed.texts[:3] == ["0 km/h", "1 km/h", "2 km/h"]
    assert speed.texts[-1] == "25 km/h"


@each_system
@each_panel
def test_a_task_on_the_page_can_be_done_there(cell, system):
    display.use(system)
    panel = live.panel_of(cell)
    values = {each.input.name: (each.input, each.values) for each in states.controls(panel)}
    for task, shown in zip(type(panel).tasks, states.shown_settings(panel), strict=True):
        for setting in [] if shown else task.settings_in(display.system):
            for name, value in setting.items():
                control, offered = values[name]
                assert control.snapped(value, display.system) in offered


def test_what_a_task_asks_of_an_input_that_stays_is_a_state_of_its_own(monkeypatch):
    monkeypatch.setattr(PeakForcePanel, "precomputed", (("speed", 5),))
    found, panel = states.states_of(PeakForcePanel()), PeakForcePanel()
    (shown,) = found["tasks"][2]["shown"]
    assert shown["text"] == "Stretch at break: 15 %"
    panel.set(stretch=Q(15, "percent"))
    assert found["sentences"][shown["state"]] == panel.summary
    assert [len(task["shown"]) for task in found["tasks"]] == [0, 1, 1, 1, 0, 0]


def test_what_stays_is_told():
    assert states.fixed_in_words(PeakForcePanel()).startswith("Stretch at break: 30 %; Rope length")


@each_system
@each_panel
def test_every_state_is_that_of_a_panel_set_to_it(cell, system, monkeypatch):
    few_states(monkeypatch)
    # Kept letters stand a part of a pixel elsewhere after other settings; packing is tested below.
    monkeypatch.setattr(MovingText, "draw", Text.draw)
    monkeypatch.setattr(states, "packed", lambda png: png)
    display.use(system)
    panel = live.panel_of(cell)
    moved = states.controls(panel)
    settings = [
        {each.input.name: value for each, value in zip(moved, values, strict=True)}
        for values in itertools.product(*(each.values for each in moved))
    ]
    settings += itertools.chain(*states.shown_settings(panel))
    looked_at = {0, len(settings) // 2, len(settings) - 1}  # to draw all of them takes a minute
    numbers, drawn = itertools.count(), states.drawn
    monkeypatch.setattr(states, "drawn", lambda it: drawn(it) if next(numbers) in looked_at else ())
    found = states.states_of(live.panel_of(cell))
    assert len(found["sentences"]) == len(settings)
    pictures = iter(found["pictures"])
    for number in sorted(looked_at):
        panel.reset()
        panel.set(**settings[number])
        assert found["sentences"][number] == panel.summary
        for layers in drawn(panel):
            assert [found["images"][image] for image in next(pictures)] == list(layers)
    assert next(pictures, None) is None


def seen(image: Image.Image) -> bytes:
    """What shows of a picture: the color of what is wholly transparent does not."""
    colors = np.array(image)
    colors[colors[..., 3] == 0] = 0
    return colors.tobytes()


def assert_same_pixels(packed: dict, png: bytes) -> None:
    """What is packed, put where it belongs, shows what the whole picture does."""
    expected, part = pixels(png), pixels(base64.b64decode(packed["source"]))
    place = (packed["left"] * expected.width / 100, packed["top"] * expected.height / 100)
    whole = Image.new("RGBA", expected.size, (0, 0, 0, 0))
    whole.paste(part, tuple(map(round, place)))
    assert packed["width"] == pytest.approx(100 * part.width / expected.width, abs=1e-4)
    assert seen(whole) == seen(expected)


def test_a_picture_is_packed_without_a_change_of_a_pixel():
    png = PeakForcePanel().png()
    assert_same_pixels(states.packed(png), png)
    assert len(states.packed(png)["source"]) < len(png)


def test_equal_pictures_are_packed_once():
    images, png = states.Images(), PeakForcePanel().png()
    assert [images.number(png), images.number(png), len(images.packed)] == [0, 0, 1]


def test_a_pull_that_is_played_has_a_picture_for_each_moment(monkeypatch):
    monkeypatch.setattr(PullInTimePanel, "precomputed", (("speed", 3),))
    monkeypatch.setattr(states, "MOMENTS_APART", 25)
    found = states.states_of(PullInTimePanel())
    assert found["moments"] == ["0.00 s", "1.00 s", "2.00 s"]
    assert len(found["pictures"]) == 3 * len(found["sentences"])
    in_the_middle = {tuple(layers) for layers in found["pictures"][3:6]}
    assert len(in_the_middle) == 3
