"""The panels of measured pulls: at their start, at every corner, with a guess, and other logs."""

import re

import pytest

from recoverykit.course.guesses import Guess
from recoverykit.course.html import as_html
from recoverykit.lessons import ExtrapolationPanel, MeasuredPullsPanel, MeterPanel
from recoverykit.lessons.bank import find_guess
from recoverykit.measurements.session import CurrentSession
from recoverykit.measurements.shapes import ROPE
from recoverykit.units.quantities import InputError, Q, show

PANELS = (MeasuredPullsPanel, ExtrapolationPanel, MeterPanel)

LOGS = {
    "one pull": b"speed [mph],peak [lbf]\n3,2500\n",
    "standing starts": b"speed [km/h],peak [kN]\n0,8\n0,8.5\n",
    "three speeds": b"speed [km/h],peak [kN]\n2,7\n4,14\n6,21\n",
    "no repeats": b"speed [km/h],peak [kN]\n2,7.1\n3,10.4\n4,14.3\n5,17.2\n6,21.1\n",
    "without scatter": b"speed [km/h],peak [kN]\n2,7\n4,14\n6,21\n8,28\n2,7\n4,14\n6,21\n8,28\n",
    "a digit too many": b"speed [km/h],peak [kN]\n2,7\n3,10\n4,140\n5,17\n6,21\n7,25\n",
    "square": b"speed [km/h],peak [kN]\n1,1\n2,4\n3,9\n4,16.1\n5,25\n6,35.8\n1,1\n6,36.2\n",
    "many rounds": b"speed [km/h],peak [kN]\n"
    + b"".join(b"%d,%d.%d\n" % (v, 4 * v, n) for n in range(7) for v in range(1, 6)),
}


@pytest.fixture
def book():
    return CurrentSession()


@pytest.mark.parametrize("kind", PANELS)
@pytest.mark.parametrize("log", LOGS)
def test_every_log_gets_a_picture_and_a_sentence(kind, log, book):
    panel = kind(book)
    book.read(LOGS[log], "today.csv")
    for _ in panel.paired_corners():
        assert panel.png().startswith(b"\x89PNG")
        assert "nan" not in panel.summary
        assert "−" not in panel.summary  # no force below zero
        assert panel.summary.endswith(".")
    assert panel.result is not None


# --- what was measured ------------------------------------------------------------------


def labels_of(panel):
    panel.png()
    (axes,) = panel.figure.axes
    legend = [text.get_text() for text in axes.get_legend().get_texts()]
    return [text.get_text() for text in axes.texts], legend


def test_suspicious_rows_are_ringed_and_named(book):
    panel = MeasuredPullsPanel(book)
    texts, legend = labels_of(panel)
    assert {"row 4", "row 12"} < set(texts)
    assert {"round 1", "round 2", "looks wrong"} < set(legend)
    assert "left out" not in legend


def test_rounds_are_told_apart_by_marker(book):
    panel = MeasuredPullsPanel(book)
    (axes,) = panel.figure.axes
    markers = {
        line.get_label(): line.get_marker()
        for line in axes.lines
        if str(line.get_label()).startswith("round")
    }
    assert len(set(markers.values())) == len(markers) == 2


def test_a_row_that_is_left_out_is_crossed_and_the_axis_is_for_the_rest(book):
    panel = MeasuredPullsPanel(book)
    before = panel.figure.axes[0].get_ylim()[1]
    book.leave_out(4, 12)
    texts, legend = labels_of(panel)
    assert "row 4 ↑" in texts  # above what is shown now
    assert "left out" in legend
    assert panel.figure.axes[0].get_ylim()[1] < before


def test_beyond_the_measured_speeds_is_said_loudly(book):
    for kind in (MeasuredPullsPanel, ExtrapolationPanel):
        panel = kind(book)
        texts, _ = labels_of(panel)
        assert "BEYOND\nTHE MEASURED\nSPEEDS" in texts
        hatched = [patch for patch in panel.figure.axes[0].patches if patch.get_hatch()]
        assert [patch.get_x() for patch in hatched] == pytest.approx([0, 6])


def test_the_mistakes_make_the_band_say_nothing(book):
    panel = MeasuredPullsPanel(book)
    at_top = panel.result.fit.value.band(Q(6, "km/h"))
    book.leave_out(4, 12)
    accepted = panel.result.fit.value.band(Q(6, "km/h"))
    assert at_top.prediction_high - at_top.force > 9 * (accepted.prediction_high - accepted.force)


def test_two_panels_follow_one_book(book):
    measured, reach = MeasuredPullsPanel(book), ExtrapolationPanel(book)
    book.leave_out(4, 12)
    assert measured.result.session is reach.result.session is book.session


# --- how far it carries -----------------------------------------------------------------


def test_an_own_limit_counts(book):
    book.leave_out(4, 12)
    panel = ExtrapolationPanel(book)
    panel.set(own_limit="2,700 lbf")
    assert panel.values["line"] == "my own limit"
    assert panel.result.line.working_load_limit == Q(2700, "lbf")
    assert not panel.result.limit.value.beyond
    assert panel.summary.startswith("The next pull at 3.1 km/h may hit the limit. ")
    with pytest.raises(InputError, match="'T' can mean three things"):
        panel.set(own_limit="4 T")


def box_of(panel):
    """The box for a limit of one's own and the list of lines, as on the page."""
    _ = panel.view
    shown = {each.name: widget for each, widget in panel._view._in_sight()}
    return shown["own_limit"], shown["line"]


@pytest.mark.parametrize("invented", [True, False])
def test_my_own_limit_picked_without_a_number_has_no_limit_speed(book, invented):
    book.leave_out(4, 12)
    if not invented:
        book.read(LOGS["no repeats"], "today.csv")
    panel = ExtrapolationPanel(book)
    box, lines = box_of(panel)
    assert box._line.value == ""
    lines.value = "my own limit"
    assert panel.result.line is None
    assert panel.result.limit.value is None
    assert "It needs the lowest working load limit of your own line" in panel.summary
    texts, _ = labels_of(panel)
    assert "no limit of\nyour own yet" in texts
    box._line.value = "4 T"
    assert "Until then the panel has no number" in box._reply.value
    assert panel.result.line is None
    lines.value = "yard line"
    box._line.value = "2,700 lbf"
    assert lines.value == "my own limit"
    assert panel.result.limit.value.limit == Q(2700, "lbf")
    for emptied in ("", "  "):
        box._line.value = "20 kN"
        box._line.value = emptied
        assert (panel.values["own_limit"], panel.values["line"]) == ("", "my own limit")
        assert panel.result.limit.value is None


@pytest.mark.parametrize("own_limit", ["", "20 kN"])
def test_the_rope_is_drawn_no_further_than_one_step_beyond(book, own_limit):
    book.read(LOGS["without scatter"].replace(b"28", b"28.2"), "today.csv")
    panel = ExtrapolationPanel(book)
    panel.set(own_limit=own_limit, speed=Q(15, "km/h"))
    (axes,) = panel.figure.axes
    (rope,) = [line for line in axes.lines if line.get_label() == ROPE.name]
    assert max(rope.get_xdata()) == pytest.approx(10)  # the steps are 2 km/h wide


def test_a_log_of_ones_own_has_no_limit_speed_for_the_invented_line(book):
    book.read(b"speed [km/h],peak [kN]\n2,7\n4,14.1\n6,21\n8,28.6\n", "today.csv")
    panel = ExtrapolationPanel(book)
    assert panel.result.limit.value is None
    assert "lowest working load limit of your own line" in panel.summary
    assert "26.7 kN" not in panel.summary
    panel.set(own_limit="20 kN")
    assert panel.result.limit.value.limit == Q(20, "kN")


def test_an_unrated_link_leaves_the_limit_speed_unknown(book):
    panel = ExtrapolationPanel(book)
    panel.set(line="line over a tow ball")
    assert panel.summary.startswith("No limit speed yet. ")
    assert "tow ball" in panel.summary


def test_a_limit_far_above_all_pulls_does_not_flatten_them(book):
    book.leave_out(4, 12)
    panel = ExtrapolationPanel(book)
    panel.set(line="my own limit", own_limit="1000 kN")
    assert panel.figure.axes[0].get_ylim()[1] < 100
    texts, _ = labels_of(panel)
    assert any(text.startswith("↑ limit") for text in texts)


@pytest.mark.parametrize(
    ("shape", "says"),
    [
        ("stiffening rope", "The stiffening rope fits these pulls, and so do 4 other curves."),
        ("square of the speed", "The square of the speed misses these pulls: it's ruled out."),
    ],
)
def test_the_first_sentence_says_whether_the_curve_fits(book, shape, says):
    book.leave_out(4, 12)
    panel = MeasuredPullsPanel(book)
    panel.set(shape=shape)
    assert panel.summary.startswith(says)


def test_the_dots_of_a_speed_far_beyond_stay_in_the_picture_with_their_numbers(book):
    book.leave_out(4, 12)
    panel = ExtrapolationPanel(book)
    panel.set(speed=Q(15, "km/h"))
    picture, top = panel._picture, panel.figure.axes[0].get_ylim()[1]
    on = panel.result.line_extrapolation.value
    assert on.straight.m_as("kN") > top
    for dot in (picture._straight, picture._rope):
        assert 0.9 * top < dot.get_ydata()[0] < top
    assert picture._label.get_text().count("↑") == 2
    panel.set(speed=Q(6, "km/h"))
    assert panel._picture._rope.get_ydata()[0] < 0.9 * top
    assert "↑" not in panel._picture._label.get_text()


def test_a_guess_far_above_the_pulls_stands_at_the_edge_with_its_number():
    guess = Guess(find_guess("08.guess"))
    panel = MeasuredPullsPanel(guess=guess)
    panel.book.leave_out(4, 12)
    guess.commit({"fast_peak": "310 kN", "rows": "right", "meter": "higher"})
    (axes,) = panel.figure.axes
    (dots,) = [line for line in axes.lines if line.get_label() == "your guess"]
    assert max(dots.get_ydata()) < axes.get_ylim()[1] < 310
    assert "↑ 310 kN" in [text.get_text() for text in axes.texts]


# --- what the meter missed --------------------------------------------------------------


def test_the_reading_is_between_the_worst_and_the_true_peak(book):
    book.leave_out(4, 12)
    panel = MeterPanel(book)
    panel.set(rate=Q(4, "Hz"))
    readings = []
    for phase in range(0, 101, 5):
        panel.set(phase=Q(phase, "percent"))
        found = panel.result.value
        readings.append((found.shown / found.peak).m_as(""))
    assert min(readings) >= found.capture.worst.m_as("") - 1e-9
    assert min(readings) == pytest.approx(found.capture.worst.m_as(""), abs=0.01)
    assert max(readings) == pytest.approx(1, abs=0.01)


def test_twice_the_mass_is_half_the_stiffness(book):
    panel = MeterPanel(book)
    panel.set(mass=Q(2000, "kg"))
    light = panel.result.value.rope
    panel.set(mass=Q(4000, "kg"))
    heavy = panel.result.value.rope
    assert (heavy.at_top[0] / light.at_top[0]).m_as("") == pytest.approx(0.5)
    assert (heavy.stretch[0] / light.stretch[0]).m_as("") == pytest.approx(2)


def test_it_is_said_whether_the_rope_stiffens(book):
    panel = MeterPanel(book)
    book.leave_out(4, 12)
    over_all = show(panel.result.value.rope.at_top[0], "stiffness")
    assert f"A stiffening rope of {over_all} (" in panel.summary
    book.read(b"speed [km/h],peak [kN]\n2,7\n4,14.2\n2,7.2\n", "today.csv")
    rope = panel.result.value.rope
    assert rope.first[0].m_as("N/m") == pytest.approx(rope.at_top[0].m_as("N/m"), rel=0.005)
    assert f"A straight-line rope of {show(rope.first[0], 'stiffness')} (" in panel.summary


def test_too_slow_a_meter_can_miss_it_all(book):
    panel = MeterPanel(book)
    panel.set(rate=Q(1, "Hz"))
    assert "miss the peak altogether" in panel.summary
    panel.set(rate=Q(100, "Hz"))
    assert "next to nothing" in panel.summary
    panel.set(mass=Q(8000, "kg"))
    samples = int(re.search(r"time for (\d+) samples", panel.summary)[1])
    assert samples == pytest.approx(panel.result.value.duration.m_as("s") * 100, rel=0.05)
    assert samples > 100


# --- rows that were looked at ------------------------------------------------------------


def test_a_row_that_was_looked_at_stays_and_shouts_no_more(book):
    panel = MeasuredPullsPanel(book)
    _ = panel.view
    leave_out, stays = panel._suspects._ticks, panel._suspects._settled
    assert list(leave_out) == list(stays) == [4, 12]
    pulls = len(book.session.kept)
    leave_out[4].value = True
    stays[12].value = True
    assert (book.session.kept.left_out, book.session.kept.accepted) == ((4,), (12,))
    assert len(book.session.kept) == pulls - 1
    assert book.session.rows_to_look_at == {4}
    assert "Looked at, and kept: row 12. Left out on purpose: row 4." in panel.summary
    assert "Don't trust" not in panel.summary
    stays[4].value = True  # takes the other tick of that row away
    assert not leave_out[4].value
    assert len(book.session.kept) == pulls
    assert "Don't trust" not in panel.summary
    leave_out[12].value = True
    assert not stays[12].value
    stays[4].value = leave_out[12].value = False
    assert (book.session.kept.left_out, book.session.kept.accepted) == ((), ())
    assert panel.summary.startswith("Don't trust any curve yet: 2 places in this log look wrong.")
    book.leave_out(4, 12)
    assert [tick.value for tick in leave_out.values()] == [True, True]


def at_full_scale(book, pulls):
    """A panel of pulls that all show what the meter can show at most, and so look wrong."""
    rows = "".join(f"{4 + number / 10:.1f},40\n" for number in range(pulls))
    book.read(f"speed [km/h],peak [kN]\n{rows}".encode(), "today.csv")
    book.set_full_scale(Q(40, "kN"))
    panel = MeasuredPullsPanel(book)
    _ = panel.view
    return panel


def test_a_tick_that_would_leave_no_pull_goes_back_and_is_told_why(book):
    suspects = at_full_scale(book, pulls=1)._suspects
    suspects._ticks[2].value = True
    assert not suspects._ticks[2].value
    assert len(book.session.kept) == 1
    assert "No pull would be left" in suspects._reply.value
    suspects._settled[2].value = True
    assert book.session.kept.accepted == (2,)
    assert suspects._reply.value == ""


def test_of_very_many_rows_that_look_wrong_the_first_have_ticks(book):
    suspects = at_full_scale(book, pulls=1034)._suspects
    assert list(suspects._ticks) == list(range(2, 32))
    assert suspects.view.children[-2].value == as_html("And 1,004 more places.")


def test_only_rows_to_look_at_are_ringed(book):
    panel = MeasuredPullsPanel(book)

    def ringed():
        panel.png()
        axes = panel._picture._axes
        return {text.get_text() for text in axes.texts if text.get_text().startswith("row ")}

    assert ringed() == {"row 4", "row 12"}
    book.accept(12)
    assert ringed() == {"row 4"}
    book.accept(4, 12)
    assert ringed() == set()
