"""The kept picture: it must show the same as a picture drawn from scratch."""

import io

import matplotlib.image
import numpy as np
import PIL.Image
import pytest
from hypothesis import given
from hypothesis import strategies as st

from recoverykit.course.picture import HEIGHT, SHARPNESS, WIDTH, Picture, round_top, spread_out


class OneLine(Picture):
    def build(self):
        self.axes = self.figure.add_axes([0.1, 0.1, 0.8, 0.8])
        self.axes.set_xlim(0, 1)
        self.axes.set_ylim(0, 10)
        self.line = self.moving(self.axes.plot([0, 1], [0, 1])[0])

    def update(self, result, system):
        self.line.set_ydata(result)


def pixels(png):
    return matplotlib.image.imread(io.BytesIO(png), format="png")


def test_size_is_fixed():
    assert pixels(OneLine().png()).shape[:2] == (HEIGHT * SHARPNESS, WIDTH * SHARPNESS)


def test_what_moved_is_drawn_anew_and_leaves_no_trace():
    kept, fresh = OneLine(), OneLine()
    kept.png()
    for end in (3, 8):
        kept.update([0, end], None)
        kept.png()
    fresh.update([0, 8], None)
    assert np.array_equal(pixels(kept.png()), pixels(fresh.png()))


def test_the_file_holds_the_pixels_of_the_canvas():
    picture = OneLine()
    image = PIL.Image.open(io.BytesIO(picture.png()))
    image.verify()  # every checksum
    drawn = np.asarray(picture._canvas.buffer_rgba())
    assert np.array_equal(pixels(picture.png()), drawn / np.float32(255))


class Drawing(Picture):
    """A pale ground, and over it a half-covered tint, slanted lines of many colors, and words."""

    def build(self):
        self.axes = self.figure.add_axes([0.1, 0.1, 0.8, 0.8])
        self.axes.set(facecolor="#F6F3E8", xlim=(0, 1), ylim=(0, 1))
        self.moving(self.axes.fill([0, 1, 1], [0, 0, 1], color="#E69F00", alpha=0.15)[0])
        for number in range(4):
            self.moving(self.axes.plot([0, 1], [0, number / 3], color=f"C{number}")[0])
        self.words = self.moving_text(self.axes, fontweight="bold")
        self.words.set(text="13.8 kN", position=(0.25, 0.25))


def test_the_layers_on_each_other_look_as_the_picture():
    picture = Drawing()
    background, moving = (PIL.Image.open(io.BytesIO(png)) for png in picture.layers())
    moving.load()  # every checksum
    both = PIL.Image.alpha_composite(background.convert("RGBA"), moving.convert("RGBA"))
    whole = PIL.Image.open(io.BytesIO(picture.png()))
    levels = np.abs(np.asarray(both, dtype=float) - np.asarray(whole))
    assert levels.max() <= 32  # at the edges of lines, which have more colors than a palette
    assert np.mean(levels > 2) < 0.005
    assert len(picture.layers()[1]) < len(picture.png()) / 3


def test_the_background_is_packed_only_when_it_changes():
    picture = OneLine()
    background, moving = picture.layers()
    picture.update([0, 5], None)
    assert picture.layers()[0] is background
    assert picture.layers()[1] != moving
    picture.axes.set_title("new")
    assert picture.layers()[0] is background
    picture.redraw_background()
    assert picture.layers()[0] != background


def test_moving_words_beside_the_axes_are_not_clipped():
    picture = Drawing()
    picture.words.set(position=(-0.12, 0.5))
    before = picture.png()
    picture.words.set(position=(-0.12, 0.6))
    assert picture.png() != before


@given(st.floats(1e-3, 1e9))
def test_round_top_is_above_and_near(value):
    assert value <= round_top(value) * (1 + 1e-12)
    assert round_top(value) <= 1.5 * value * (1 + 1e-9)


@given(st.lists(st.floats(0, 1), max_size=14))
def test_labels_are_apart_in_order_and_inside(positions):
    placed = np.asarray(spread_out(positions, 0.05, 0.0, 1.0))
    order = np.argsort(positions, kind="stable")
    assert np.all(np.diff(placed[order]) >= 0.05 - 2e-6)
    assert np.all((placed >= -1e-6) & (placed <= 1 + 1e-6))


def test_labels_with_room_stay_where_they_are():
    assert spread_out([0.5, 0.2, 0.9], 0.05, 0, 1) == pytest.approx([0.5, 0.2, 0.9])
