"""Text put together from kept words stands where matplotlib itself would put it."""

import numpy as np
import pytest
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

from recoverykit.course.lettering import WordCanvas, WordRenderer

LINES = [
    "limit 6,000 lbf ◄ 1st",
    "AVAIL To. 4 3/4 short tons, 30° off",
    "○ within working limit",
    "½ of  7.5 kN",  # a space that does not break, and two that do
    " led by a space",
    "one\nbelow the other",
]
WHOLE = {  # read leftward; a formula; at an angle
    "חבל ירוק 3 m": {},
    "$E = \\frac{1}{2} m v^2$": {},
    "peak [kN]": {"rotation": 90},
}


def drawn(renderer, text, **looks):
    """Red, green, blue and opacity of a text on blank ground."""
    figure = Figure(dpi=125)
    figure.add_artist(Text(30.4, 60.7, text, transform=None, **looks)).draw(renderer)
    return np.asarray(renderer.buffer_rgba()).astype(int)


def by_us(text, **looks):
    return drawn(WordRenderer(500, 120, 125), text, **looks)


def by_matplotlib(text, **looks):
    return drawn(RendererAgg(500, 120, 125), text, **looks)


def edges(pixels):
    """The first and last row and column with ink."""
    rows, columns = np.nonzero(pixels[..., 3] > 60)
    return np.array([rows.min(), rows.max(), columns.min(), columns.max()])


@pytest.mark.parametrize("looks", [{}, {"weight": "bold", "fontsize": 15}, {"bbox": {"fc": "w"}}])
@pytest.mark.parametrize("line", LINES)
def test_a_line_is_where_matplotlib_draws_it(line, looks):
    ours, theirs = by_us(line, **looks), by_matplotlib(line, **looks)
    assert np.abs(edges(ours) - edges(theirs)).max() <= 1
    ink = ours[..., 3].sum() / theirs[..., 3].sum()
    assert ink == pytest.approx(1, abs=0.02)


@pytest.mark.parametrize("line", [line for line in LINES if "\n" not in line])
def test_a_line_is_as_large_as_matplotlib_finds_it(line):
    font = Text(0, 0, line, fontsize=11).get_fontproperties()
    ours, theirs = (
        renderer(9, 9, 125).get_text_width_height_descent(line, font, False)
        for renderer in (WordRenderer, RendererAgg)
    )
    assert ours == pytest.approx(theirs, abs=0.02)


@pytest.mark.parametrize(("text", "looks"), WHOLE.items())
def test_what_is_no_level_row_of_words_is_left_to_matplotlib(text, looks):
    assert np.array_equal(by_us(text, **looks), by_matplotlib(text, **looks))


def test_a_word_is_kept_for_each_color_weight_and_size():
    seen = [
        by_us("rope", **looks).tobytes()
        for looks in ({}, {"color": "red"}, {"weight": "bold"}, {"fontsize": 9}, {"alpha": 0.5})
    ]
    assert len(set(seen)) == len(seen)


@pytest.mark.parametrize("looks", [{"alpha": 0.5}, {"color": (0, 0, 0, 0.5)}])
def test_what_is_seen_through_is_seen_through_once(looks):
    assert by_us("IIII", **looks)[..., 3].max() == pytest.approx(127, abs=2)


def test_what_was_drawn_before_changes_nothing():
    renderer = WordRenderer(500, 120, 125)
    first = drawn(renderer, "holds 12 kN").copy()
    for text in ("holds 7.5 kN", "no 12 kN"):
        drawn(renderer, text)
    renderer.clear()
    assert np.array_equal(drawn(renderer, "holds 12 kN"), first)


def test_a_canvas_is_as_large_as_its_figure_and_shows_its_words():
    figure = Figure(figsize=(4, 1), dpi=100)
    canvas = WordCanvas(figure)
    for dpi in (100, 230):
        figure.set_dpi(dpi)
        canvas.draw()
        blank = np.asarray(canvas.buffer_rgba()).copy()
        assert blank.shape == (dpi, 4 * dpi, 4)
        figure.text(0.1, 0.5, "twelve kN")
        canvas.draw()
        assert not np.array_equal(np.asarray(canvas.buffer_rgba()), blank)
        figure.texts[0].remove()
