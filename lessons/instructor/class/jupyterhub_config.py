"""A class on one machine: how JupyterHub is set. `serve.py` beside this starts it.

What keeps learners apart is the system: each has an account of their own, their server and kernels
run under it, and their home folder is closed to others. The hub itself runs as root.
"""

import functools
import os
import pwd
import subprocess
import sys
from pathlib import Path

import learner_limits
from jupyterhub.spawner import LocalProcessSpawner

LEARNER_SERVER = Path(__file__).with_name("learner_server.py")

c = get_config()  # noqa: F821 (JupyterHub provides it)

# Only this machine can reach the class. For a room, see "A class on one server" in the guide: the
# address must be https, or hub.py refuses it.
c.JupyterHub.bind_url = "http://127.0.0.1:8000"

# Who may come in: the accounts that learners.py made, each with its own password. A password that a
# whole class shares would let everybody in as anybody.
c.JupyterHub.authenticator_class = "pam"
c.PAMAuthenticator.allowed_groups = {"course-learners"}


class LearnerSpawner(LocalProcessSpawner):
    """Starts a learner's server under their account, within limits."""

    async def start(self):
        """Put the server into a group with a limit of its own, where the machine has such."""
        if learner_limits.can_limit_learners():
            subprocess.run(learner_limits.set_limit(self.user.name), check=True)
            before = learner_limits.start_in_group(self.user.name)
        else:
            before = learner_limits.PROGRAM
        self.cmd = [*before, sys.executable, str(LEARNER_SERVER)]
        return await super().start()

    def make_preexec_fn(self, name):
        """Stay root where systemd is to make a group: setpriv then changes to the learner."""
        if learner_limits.can_limit_learners():
            return functools.partial(os.chdir, pwd.getpwnam(name).pw_dir)
        return super().make_preexec_fn(name)


c.JupyterHub.spawner_class = LearnerSpawner
# Learners get nothing of root's own environment, such as folders that only root can look into.
c.Spawner.env_keep = ["LANG", "LC_ALL"]
c.Spawner.environment = {
    "PATH": "/usr/local/bin:/usr/bin:/bin",
    "OPENBLAS_NUM_THREADS": "1",  # a class shares the cores
}
c.Spawner.start_timeout = c.Spawner.http_timeout = 300  # seconds: when all come at once
c.JupyterHub.shutdown_on_logout = True
