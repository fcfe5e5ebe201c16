"""JupyterLab for a learner, run in .venv; it ends with the start of the course that began it."""

import sys

from launcher.common import end_with_starter

if __name__ == "__main__":
    end_with_starter()
    from jupyterlab.labapp import main  # it takes a second, in which the start may have ended

    sys.exit(main())
