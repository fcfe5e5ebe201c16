"""One learner's server in a class: the lessons copied and Jupyter set as course.py does it.

The hub starts this in place of jupyterhub-singleuser, under the learner's own account.
"""

import os
import shutil
import sys
from pathlib import Path

from launcher import common, environment, lesson_copies, paths

LIMITS = [
    # Sockets in the learner's own folder. Ports, which is the default, can be listened to by
    # everybody on the machine.
    "--KernelManager.transport=ipc",
    # A server whose lessons have all ended ends after two hours.
    "--ServerApp.shutdown_no_activity_timeout=7200",
]


def main(arguments):
    """Copy the lessons to the learner's home, then become their server."""
    folder = Path.home() / "my-course"
    state = common.state_folder(folder)
    lesson_copies.copy_lessons(folder)
    lesson_copies.list_course_code(state)
    allow_hub_menu(state)
    copy_font_list(state)
    # What the hub tells this server is kept; all else that would steer Jupyter is not.
    from_hub = {name: text for name, text in os.environ.items() if name.startswith("JUPYTERHUB_")}
    from_hub["JUPYTERHUB_ROOT_DIR"] = str(folder)
    from_hub["JUPYTERHUB_DEFAULT_URL"] = f"/doc/tree/{lesson_copies.lessons()[0].name}"
    os.chdir(folder)
    server = [str(paths.VENV_PYTHON), "-m", "jupyterhub.singleuser", *LIMITS, *arguments]
    os.execve(server[0], server, environment.jupyter_environment(state, **from_hub))


def allow_hub_menu(state):
    """Bring back what the course hides where there is no hub: the way to log out."""
    settings = state / "config" / "labconfig" / "page_config.json"
    shown = {"disabledExtensions": {"@jupyterlab/hub-extension": False}}
    common.write_json(settings, {**common.read_json(settings), **shown})


def copy_font_list(state):
    """Spare each learner Matplotlib's search for fonts, which was done when it was installed."""
    if paths.FONT_CACHE.is_dir() and environment.font_cache(state) != paths.FONT_CACHE:
        shutil.copytree(paths.FONT_CACHE, environment.font_cache(state), dirs_exist_ok=True)


if __name__ == "__main__":
    main(sys.argv[1:])
