#!/usr/bin/env python3
"""Serve the course to a class on this machine, until Ctrl-C.

    sudo python3 lessons/instructor/class/serve.py             loopback only
    sudo python3 lessons/instructor/class/serve.py --install   install what is missing, and stop

What else is written there is handed on to JupyterHub, such as --JupyterHub.bind_url=...
"""

import fcntl
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

CLASS = Path(__file__).resolve().parent
ROOT = CLASS.parents[2]
sys.path.insert(0, str(ROOT))

import learner_limits  # noqa: E402

from launcher import common, environment, paths  # noqa: E402

PACKAGES = "lessons/instructor/class/requirements.txt"
PROXY = paths.VENV / "class-proxy"
STATE = ROOT / "my-class"  # who has logged in, and the hub's secrets
OLDEST_NODE = 18


def main(arguments):
    """Install what is missing, then become the hub."""
    check_machine()
    keep_to_one_class()
    environment.prepare(environment.LEARNER_PACKAGES, PACKAGES)
    install_proxy()
    # Learners cannot write here: without this, each kernel would compile the library for itself.
    library = str(ROOT / "recoverykit")
    subprocess.run([str(paths.VENV_PYTHON), "-m", "compileall", "-q", library], check=True)
    check_readable(paths.VENV_PYTHON.resolve(), CLASS)
    if "--install" in arguments:
        return 0
    if not learner_limits.can_limit_learners():
        common.say(learner_limits.NO_GROUPS)
    os.chdir(STATE)
    os.umask(0o077)  # for what the hub writes; a learner's files are in a folder of their own
    hub = [str(paths.VENV_PYTHON), f"{CLASS}/hub.py", f"--config={CLASS}/jupyterhub_config.py"]
    path = f"{PROXY}/node_modules/.bin:{os.environ['PATH']}"  # where the hub looks for the proxy
    os.execve(hub[0], [*hub, *arguments], environment.clean_environment(PATH=path))


def check_machine():
    """Say what this machine lacks for a class."""
    if not sys.platform.startswith("linux") or os.geteuid() != 0:
        raise common.CourseError(
            "A class needs Linux, and root, since each learner's programs run under an account of "
            "their own. Start it with: sudo python3 lessons/instructor/class/serve.py"
        )
    if node_version() < OLDEST_NODE or not shutil.which("npm"):
        raise common.CourseError(
            f"The class needs Node {OLDEST_NODE} or newer, and npm. On Debian and Ubuntu: "
            "sudo apt install nodejs npm"
        )


def keep_to_one_class():
    """Refuse to go on while a class runs from this folder: a second hub would end its proxy.

    The lock is kept by the hub that this process becomes, and is gone when that ends, however.
    """
    lock = os.open(common.private_folder(STATE) / "running.lock", os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise common.CourseError(
            f"A class is already running from {ROOT} (process {os.read(lock, 20).decode()}). It "
            "was left alone. To start it again, first press Ctrl-C where it was started."
        ) from None
    os.truncate(lock, 0)
    os.write(lock, str(os.getpid()).encode())
    os.set_inheritable(lock, True)


def node_version():
    """Return the first number of Node's version; 0 if there is none."""
    node = shutil.which("node")
    said = subprocess.run([node, "--version"], capture_output=True, text=True) if node else None
    found = re.match(r"v(\d+)", said.stdout) if said else None
    return int(found.group(1)) if found else 0


def install_proxy():
    """Install the pinned proxy; not beside its lock file, since lessons/ is what learners get."""
    lock = CLASS / "package-lock.json"
    done = PROXY / "installed-lock.json"
    if done.exists() and common.file_hash(done) == common.file_hash(lock):
        return
    PROXY.mkdir(exist_ok=True)
    for name in ("package.json", "package-lock.json"):
        shutil.copyfile(CLASS / name, PROXY / name)
    npm = [shutil.which("npm"), "ci", "--omit=dev", "--ignore-scripts", "--no-fund", "--no-audit"]
    environment.run_installer([*npm, "--prefix", str(PROXY)])
    shutil.copyfile(lock, done)


def check_readable(*paths):
    """Find out before learners do that their accounts cannot reach a file of the course."""
    for path in paths:
        for place in (path, *path.parents):
            if not place.stat().st_mode & 0o001 and place.is_dir():
                raise common.CourseError(
                    f"Learners' accounts cannot look into {place}. Put the course where all users "
                    "of this machine can read it, such as /srv/course, delete .venv there, and "
                    "start with the system's Python, /usr/bin/python3."
                )


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except common.CourseError as problem:
        sys.exit(str(problem))
