"""What panels ask of the links of a line, and say of them."""

from collections.abc import Iterable

from recoverykit.physics.rigging import ABOVE, Link, LinkLoad, RiggingLine


def first_links(line: RiggingLine) -> tuple[Link, Link]:
    """The first link of a demo line to pass its working limit, and the first to break."""
    limit, strength = line.first_past_working_limit, line.first_to_break
    assert limit is not None  # every line of Marram Point has rated parts
    assert strength is not None
    return limit, strength


def above_in_words(loads: Iterable[LinkLoad], limit: str) -> str:
    """The links above their working limits, each with its share of the limit; none, if none is."""
    return ", ".join(
        f"{load.link.name} ({100 * load.over_working_limit:.0f} % of {limit})"
        for load in loads
        if load.over_working_limit is not None and load.verdict == ABOVE
    )
