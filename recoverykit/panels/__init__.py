"""Panels: one module each, sliders wired to a picture and a sentence."""

from recoverykit.panels.asking import ask, guess
from recoverykit.panels.energy import EnergyPanel
from recoverykit.panels.holding import HoldingPanel
from recoverykit.panels.learner import ask_name
from recoverykit.panels.letting_go import LettingGoPanel
from recoverykit.panels.measured import MeasuredPullsPanel
from recoverykit.panels.meter import MeterPanel
from recoverykit.panels.more_speed import MoreSpeedPanel
from recoverykit.panels.own_line import ask_line
from recoverykit.panels.own_log import OwnLog
from recoverykit.panels.peak_force import PeakForcePanel
from recoverykit.panels.pegs import PegsPanel
from recoverykit.panels.plan import PlanPanel
from recoverykit.panels.pull_card import make_card
from recoverykit.panels.pull_in_time import PullInTimePanel
from recoverykit.panels.reach import ReachPanel
from recoverykit.panels.record import RecordSaver
from recoverykit.panels.stamps import StampsPanel
from recoverykit.panels.stretch import StretchPanel
from recoverykit.panels.survey import ask_survey
from recoverykit.panels.units_switch import units_switch
from recoverykit.panels.weakest_link import WeakestLinkPanel

__all__ = [
    "EnergyPanel",
    "HoldingPanel",
    "LettingGoPanel",
    "MeasuredPullsPanel",
    "MeterPanel",
    "MoreSpeedPanel",
    "OwnLog",
    "PeakForcePanel",
    "PegsPanel",
    "PlanPanel",
    "PullInTimePanel",
    "ReachPanel",
    "RecordSaver",
    "StampsPanel",
    "StretchPanel",
    "WeakestLinkPanel",
    "ask",
    "ask_line",
    "ask_name",
    "ask_survey",
    "guess",
    "make_card",
    "units_switch",
]
