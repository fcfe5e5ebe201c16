"""How much memory learners get: one program of theirs, and all that one learner runs.

The first is a limit of the system for each process, so that a greedy program fails and can say so.
The second needs a group of processes with a limit of its own, which systemd makes.
"""

import pwd
import shutil
from pathlib import Path

PROGRAM = ["prlimit", "--data=1000000000", "--nproc=300", "--"]  # bytes; processes and threads
LEARNER = 1_500_000_000  # bytes

SYSTEMD = Path("/run/systemd/system")  # it is there where systemd runs the machine
CONTROLLERS = Path("/sys/fs/cgroup/cgroup.controllers")

NO_GROUPS = """\
Each program of a learner can use 1 GB of memory at most. On this machine nothing limits a learner
as a whole: that takes systemd with control groups of version 2. A learner who starts many programs
can use up the memory of the whole class. In a container, limit the container itself."""


def can_limit_learners():
    """Tell whether this machine can limit all that one learner runs."""
    controllers = CONTROLLERS.read_text().split() if CONTROLLERS.exists() else []
    return SYSTEMD.is_dir() and "memory" in controllers


def group_of(name):
    """Return the name of the group in which all programs of a learner run.

    It goes by the number of the account: systemd reads a hyphen in a name as a group in a group.
    """
    return f"courseclass-{pwd.getpwnam(name).pw_uid}.slice"


def set_limit(name):
    """Return the command that gives a learner's group its limit."""
    limits = [f"MemoryMax={LEARNER}", "MemorySwapMax=0"]
    return ["systemctl", "set-property", "--runtime", group_of(name), *limits]


def start_in_group(name):
    """Return what goes before a command that root runs, so that it runs as a learner, in a group.

    systemd-run replaces itself by the command, as setpriv and prlimit do: one process all along.
    Where memory runs out only the largest program ends, since the group is delegated.
    """
    # Found by the path of root: the command is started with that of a learner.
    systemd_run = shutil.which("systemd-run")
    scope = [systemd_run, "--scope", "--quiet", "--collect", "--property=Delegate=yes"]
    account = pwd.getpwnam(name)
    learner = [f"--reuid={account.pw_uid}", f"--regid={account.pw_gid}", "--init-groups"]
    return [*scope, f"--slice={group_of(name)}", "--", "setpriv", *learner, "--", *PROGRAM]
