"""Docstrings of public functions against what the functions ask for and give.

A docstring names each argument with its limits, and after its name the symbol that stands for it
in the equation: "mass m > 0, 0 ≤ traction μ ≤ 2". The equation is worked out with quantities of
the kinds that are asked for, so a wrong kind, a lost factor and a wrong limit all show.
"""

import importlib
import math
import pkgutil
import re

import numpy as np
import pytest

import recoverykit
from recoverykit import InputError, Q
from recoverykit.units.quantities import GRAVITY, KINDS
from recoverykit.units.validation import from_si


def takes_quantities_of():
    """Every public function of the library that checks its arguments, by its name."""
    found = {}
    for info in pkgutil.walk_packages(recoverykit.__path__, "recoverykit."):
        module = importlib.import_module(info.name)
        owners = [module, *(each for each in vars(module).values() if isinstance(each, type))]
        for function in (each for owner in owners for each in vars(owner).values()):
            if hasattr(function, "si") and hasattr(function, "arguments"):
                found[function.__qualname__] = function
    return found


CHECKED = takes_quantities_of()

# Their equation needs a rope, a fit or a line; the class tells it, and other tests check it.
WITHOUT_EQUATION = {
    "Rope.tension",
    "Rope.extension",
    "Rope.stored_energy",
    "Pull.speed_for_tension",
    "LetGo.energy_after",
}


def flat(function):
    return " ".join(function.__doc__.split("\n\n    >>>")[0].split())


def limits_of(name, argument):
    """How a docstring writes the limits of an argument; the symbol is a group of the pattern."""
    name = rf"\b{name}(?: (?P<symbol>[^\s\d><≥≤]\S*))?"
    low = argument.at_least if argument.above is None else argument.above
    sign = "≥" if argument.above is None else ">"
    if argument.at_most is None:
        return f"{name} {sign} {low:g}"
    if argument.kind == "angle":
        high = f"{math.degrees(argument.at_most):g}°"
    else:
        high = f"{argument.at_most:g}"
    if low == -argument.at_most:
        return f"{name} within ±{high}"
    return f"{low:g} {'≤' if sign == '≥' else '<'} {name} ≤ {high}"


@pytest.mark.parametrize("name", CHECKED)
def test_a_docstring_names_every_argument_with_its_limits(name):
    function = CHECKED[name]
    for argument, asked in function.arguments.items():
        pattern = limits_of(argument, asked)
        assert re.search(pattern, flat(function)), f"{name}: nothing like {pattern}"


# --- equations --------------------------------------------------------------------------

FUNCTIONS = {"sin": np.sin, "cos": np.cos, "sqrt": lambda x: x**0.5}
CONSTANTS = {"g": Q(GRAVITY, "m/s^2"), "π": math.pi}
SIGNS = str.maketrans({"−": "-", "·": "*", "×": "*", "√": "sqrt", "²": "**2"})


def as_python(formula):
    """A formula as docstrings write it: "v √(k m)" becomes "v*sqrt(k*m)"."""
    plain = re.sub(r"\b(sin|cos) (\w)", r"\1(\2)", formula.translate(SIGNS))
    return re.sub(r"(?<=[\w)]) (?=[\w(])", "*", plain)


def equation_of(function):
    """The right side of the first equation in a docstring, or else None."""
    found = re.search(r"(?:^|[\s,])[A-Za-zΑ-ω]\w* = ([^,\n]*[^,.\n])", function.__doc__)
    return found and found[1]


WITH_EQUATION = [name for name, each in CHECKED.items() if each.returns]


def some_value(argument, random):
    low = argument.at_least if argument.above is None else argument.above
    high = argument.at_most
    value = low + random.lognormal() if high is None else random.uniform(low, min(high, 1.0))
    return from_si(value, argument.kind)


@pytest.mark.parametrize("name", [name for name in WITH_EQUATION if name not in WITHOUT_EQUATION])
def test_the_equation_in_a_docstring_is_what_the_function_gives(name):
    function = CHECKED[name]
    formula = as_python(equation_of(function))
    random = np.random.default_rng(1)
    agreed = 0
    for _ in range(200):
        given = {each: some_value(asked, random) for each, asked in function.arguments.items()}
        symbols = {
            re.search(limits_of(each, asked), flat(function))["symbol"] or each: given[each]
            for each, asked in function.arguments.items()
        }
        try:
            result = function(**given).m_as(KINDS[function.returns].si)
        except InputError:
            continue  # there is no answer for these
        if result == 0:
            continue  # cut off below
        value = Q(eval(formula, FUNCTIONS | CONSTANTS | symbols)).m_as(KINDS[function.returns].si)
        assert value == pytest.approx(result, rel=1e-9), f"{name}: {formula}"
        agreed += 1
    assert agreed >= 20


def test_every_function_without_equation_is_there():
    assert set(WITH_EQUATION) >= WITHOUT_EQUATION


@pytest.mark.parametrize(
    ("formula", "python"),
    [
        ("m v² / 2", "m*v**2 / 2"),
        ("D + √((D − T)² + k m v²)", "D + sqrt((D - T)**2 + k*m*v**2)"),
        ("m g (sin α + c cos α)", "m*g*(sin(α) + c*cos(α))"),
    ],
)
def test_formulas_are_read(formula, python):
    assert as_python(formula) == python
