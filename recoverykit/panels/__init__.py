"""Panels: one module each, sliders wired to a picture and a sentence."""

from recoverykit.panels.asking import ask, guess
from recoverykit.panels.base import units_switch
from recoverykit.panels.energy import EnergyPanel
from recoverykit.panels.learner import ask_name
from recoverykit.panels.peak_force import PeakForcePanel
from recoverykit.panels.pegs import PegsPanel
from recoverykit.panels.stretch import StretchPanel
from recoverykit.panels.survey import ask_survey

__all__ = [
    "EnergyPanel",
    "PeakForcePanel",
    "PegsPanel",
    "StretchPanel",
    "ask",
    "ask_name",
    "ask_survey",
    "guess",
    "units_switch",
]
