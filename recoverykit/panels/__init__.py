"""Panels: one module each, sliders wired to a picture and a sentence."""

from recoverykit.panels.asking import ask, guess
from recoverykit.panels.base import units_switch
from recoverykit.panels.peak_force import PeakForcePanel

__all__ = ["PeakForcePanel", "ask", "guess", "units_switch"]
