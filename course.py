#!/usr/bin/env python3
"""Set the course up, then open, present, export, check or test it: launcher/ does all of that.

This file is for any Python, so that one that is too old can say so in a sentence.
"""

import os
import sys

OLDEST_PYTHON = (3, 11)


def too_old(version):
    """Return what to tell somebody whose Python is too old; None if it is not."""
    if tuple(version[:2]) >= OLDEST_PYTHON:
        return None
    found = ".".join(str(number) for number in version[:3])
    return (
        "The course needs Python 3.11 to 3.14, and this is Python " + found + ". "
        "Install one of those and start with it, for example: python3.12 course.py"
    )


def main():
    """Hand over to the launcher; return an exit code."""
    refusal = too_old(sys.version_info)
    if refusal:
        sys.exit(refusal)
    # First, whatever PYTHONPATH or PYTHONSAFEPATH say.
    sys.path.insert(0, os.path.dirname(os.path.realpath(__file__)))
    from launcher import cli

    return cli.main(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
