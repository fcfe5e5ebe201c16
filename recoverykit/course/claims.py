"""What the answers to a choice claim, as multiples of what was before."""

from collections.abc import Mapping


def nearest(claims: Mapping[str, float], ratio) -> str:
    """The name of the claim that comes nearest to a ratio.

    >>> from recoverykit.units.quantities import Q
    >>> nearest({"same": 1.0, "doubles": 2.0}, Q(19, "kN") / Q(10, "kN"))
    'doubles'
    """
    return min(claims, key=lambda name: abs(claims[name] - ratio.m_as("")))
