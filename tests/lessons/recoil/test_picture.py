"""The picture of what lets go: nothing is cut off, bars end where their numbers say."""

import re

import numpy as np
import pytest
from helpers.guessed_panels import waiting
from helpers.paper import overlapping, written

from recoverykit.lessons import LettingGoPanel
from recoverykit.physics.recoil import CAUTION
from recoverykit.units.quantities import Q, display


@pytest.mark.parametrize("system", ["metric", "US"])
def test_the_names_of_things_are_apart(system):
    display.use(system)
    panel = LettingGoPanel()
    panel.png()
    axes = panel._picture._axes
    names = [text for text in axes.texts if not text.get_animated()]
    assert len(names) == {"metric": 5, "US": 4}[system]
    assert overlapping(names) == []


def end(bar):
    """The energy in joules at which a bar ends."""
    return 10 ** (bar.get_x() + bar.get_width())


def test_bars_end_at_their_energies():
    panel = LettingGoPanel()
    panel.set(tension=Q(35, "kN"))
    picture, result = panel._picture, panel.result
    for bar, energy in (
        (picture._held[0], result.let_go.energy),
        (picture._piece[0], result.let_go.energy),
        (picture._piece_least, result.let_go.least_energy),
        (picture._must_least, result.catch.least_to_absorb),
        (picture._must[0], result.catch.most_to_absorb),
        (picture._can[0], result.catch.can_absorb),
    ):
        assert end(bar) == pytest.approx(energy.m_as("J"))


def test_the_things_on_the_scale_stand_at_their_energies():
    panel = LettingGoPanel()
    dotted = [line for line in panel._picture._axes.lines if line.get_linestyle() == ":"]
    energies = [10 ** line.get_xdata()[0] for line in dotted]
    # A fragment of 79 J; 75 kg falling 3 m; 2500 kg at 10, 20 and 50 km/h.
    speeds = np.array([10, 20, 50]) / 3.6
    assert energies == pytest.approx([79, 75 * 9.80665 * 3, *1250 * speeds**2])


def test_bounds_are_rounded_to_the_careful_side():
    panel = LettingGoPanel()
    # 20.17²/(2 · 50) = 4.0683 kJ, of which 0.8/5.5 or 0.59175 kJ; 20.17 kN / √(50 kN/m · 5.5 kg)
    # is 138.47 km/h, and √(2 · 4.0683 kJ / 0.8 kg) is 363.06 km/h.
    panel.set(tension=Q(20.17, "kN"))
    texts = [text.get_text() for text in written(panel.figure)]
    assert {"0.591 to 4.07 kJ", "138 to 364 km/h"} <= set(texts)


@pytest.mark.parametrize("narrow", [False, True])
def test_the_ground_is_shaded_to_every_edge_with_the_caution_and_no_distance(narrow):
    picture = LettingGoPanel().picture(narrow)
    scene = picture._scene
    (shading,) = scene.images
    assert shading.get_extent() == [*scene.get_xlim(), *scene.get_ylim()]
    assert np.all(shading.get_array()[..., 3] > 0.1)
    box = scene.get_position()
    assert (box.x0, box.x1, box.y1) == (0, 1, 1)
    still = " ".join(text.get_text() for text in scene.texts if not text.get_animated())
    assert CAUTION in still.replace("\n", " ")
    assert "past both ends" in still.replace("\n", " ")
    assert not re.search(r"\d", still), "a number that may be read as a distance"


STATES = [
    ({"tension": Q(0, "kN")}, "", 1),
    ({"tension": Q(10, "kN")}, "tether taut", 1),
    ({}, "tether may part", 1),
    ({"tension": Q(60, "kN")}, "tether parted", 2),
    ({"tension": Q(90, "kN"), "strength": Q(80, "kN")}, "rope parted", 1),
]


@pytest.mark.parametrize(("values", "fate", "pieces_of_tether"), STATES)
def test_the_tether_is_drawn_as_what_becomes_of_it(values, fate, pieces_of_tether):
    panel = LettingGoPanel()
    panel.set(**values)
    picture = panel._picture
    assert picture._fate.get_text() == fate
    gaps = np.isnan(picture._tether.get_xdata()).sum()
    assert gaps == pieces_of_tether - 1
    assert np.isnan(picture._rope.get_xdata()).any() == (fate == "rope parted")
    assert (picture._tether.get_linestyle() == ":") == (fate == "tether may part")
    assert bool(picture._speed.get_text()) == fate.startswith("tether")


@pytest.mark.parametrize(
    ("mass", "kind"),
    [(0.2, "soft shackle"), (0.8, "bow shackle"), (3, "recovery point"), (10, "recovery point")],
)
def test_what_flies_is_drawn_as_what_it_is(mass, kind):
    panel = LettingGoPanel()
    panel.set(piece=Q(mass, "kg"))
    assert f"The {kind} flies at" in panel.summary
    shown = {
        kind for kind, place in panel._picture._pieces.items() if place.transform((0, 0))[0] > 0
    }
    assert shown == {kind}


def test_before_the_guess_the_line_is_whole():
    panel, *_ = waiting(LettingGoPanel)
    picture = panel._picture
    assert picture._rope.get_ydata() == pytest.approx([100, 100])
