"""A class on one machine: how JupyterHub is set. `serve.py` beside this starts it.

What keeps learners apart is the system: each has an account of their own, their server and kernels
run under it, and their home folder is closed to others. The hub itself runs as root.
"""

import sys
from pathlib import Path

LEARNER_SERVER = Path(__file__).with_name("learner_server.py")

c = get_config()  # noqa: F821 (JupyterHub provides it)

# Only this machine can reach the class. For a room, see "A class on one server" in the guide: the
# address must be https, or the pages do not run the lessons.
c.JupyterHub.bind_url = "http://127.0.0.1:8000"

# Who may come in: the accounts that learners.py made, each with its own password. A password that a
# whole class shares would let everybody in as anybody.
c.JupyterHub.authenticator_class = "pam"
c.PAMAuthenticator.allowed_groups = {"course-learners"}

# What each gets: a server under their own account, which is the hub's own way. The limits are for
# one process, a server or one open lesson: what goes beyond them fails alone, and others go on.
LIMITS = ["prlimit", "--data=1000000000", "--nproc=300"]  # bytes; processes and threads of all
c.Spawner.cmd = [*LIMITS, sys.executable, str(LEARNER_SERVER)]
c.Spawner.environment = {"OPENBLAS_NUM_THREADS": "1"}  # a class shares the cores
c.Spawner.start_timeout = c.Spawner.http_timeout = 300  # seconds: when all come at once
c.JupyterHub.shutdown_on_logout = True
