#!/usr/bin/env python3
"""Give learners accounts on this machine, and print a password for each, for slips of paper.

    sudo python3 lessons/instructor/class/learners.py ann ben cem

Who has an account already gets a new password and keeps their work.
"""

import grp
import pwd
import re
import secrets
import subprocess
import sys
from pathlib import Path

HOMES = Path("/home")
GROUP = "course-learners"  # whose members may log in to the class
NAME = re.compile(r"[a-z][a-z0-9-]{0,30}")
CHARACTERS = "abcdefghjkmnpqrstuvwxyz23456789"  # none that look alike


class AccountError(Exception):
    """Something that the trainer can put right; the message says what."""


def main(names):
    """Make or renew an account for each name; print names and passwords."""
    if not names:
        raise AccountError(__doc__)
    # Of the system's numbers: so each learner's own group gets the number of their account.
    run("groupadd", "--force", "--system", GROUP)
    for name in names:
        check(name)
    for name in names:
        if not exists(name):
            create(name)
        password = new_password()
        # By way of a pipe: a command line can be read by every user.
        run("chpasswd", typed=f"{name}:{password}\n")
        print(f"{name:31} {password}")


def check(name):
    """Refuse what is no name for a learner's account."""
    if not NAME.fullmatch(name):
        raise AccountError(
            f"'{name}' cannot be an account. Write small letters a to z, digits and hyphens, "
            "beginning with a letter, such as: ann or ben-2"
        )
    if exists(name) and name not in grp.getgrnam(GROUP).gr_mem:
        raise AccountError(
            f"The account {name} is not one of the class, and stays as it is. Take another name, "
            f"such as: {name}-2"
        )


def exists(name):
    """Tell whether this machine has such an account."""
    return name in (account.pw_name for account in pwd.getpwall())


def create(name):
    """Make an account that can log in to the class only, with a home closed to others."""
    home = HOMES / name
    options = ["--groups", GROUP, "--uid", user_id(home), "--shell", "/usr/sbin/nologin"]
    run("useradd", "--create-home", "--home-dir", home, *options, name)
    home.chmod(0o700)


def user_id(home):
    """Return the number for an account: the owner of its home, else one that owns none.

    Homes may outlive their accounts, as they do on a container's volume.
    """
    if home.exists():
        return home.stat().st_uid
    owners = [folder.stat().st_uid for folder in HOMES.iterdir()]
    accounts = [account.pw_uid for account in pwd.getpwall()]
    return max(1000, *(number for number in owners + accounts if number < 60000)) + 1


def new_password():
    """Return a password that can be typed from paper: 50 bits."""
    letters = "".join(secrets.choice(CHARACTERS) for _ in range(10))
    return f"{letters[:5]}-{letters[5:]}"


def run(*command, typed=None):
    """Run a command of the system; its own words say what is wrong."""
    command = [str(word) for word in command]
    result = subprocess.run(command, input=typed, capture_output=True, text=True)
    if result.returncode != 0:
        raise AccountError(result.stderr.strip() or f"{command[0]} failed.")


if __name__ == "__main__":
    try:
        main(sys.argv[1:])
    except AccountError as problem:
        sys.exit(str(problem))
