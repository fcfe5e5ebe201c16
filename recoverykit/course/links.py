"""What panels ask of the links of a line."""

from recoverykit.physics.rigging import Link, RiggingLine


def first_links(line: RiggingLine) -> tuple[Link, Link]:
    """The first link of a demo line to pass its working limit, and the first to break."""
    assert not line.unrated  # else nobody could say which is the first
    limit, strength = line.first_past_working_limit, line.first_to_break
    assert limit is not None
    assert strength is not None
    return limit, strength
