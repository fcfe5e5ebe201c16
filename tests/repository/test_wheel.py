"""The library as a package of its own, for anybody's Jupyter."""

import json
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

from launcher import paths

IN_ANOTHER_PLACE = """
import json
import recoverykit
from recoverykit.lessons import PeakForcePanel
from recoverykit.measurements.session import CurrentSession
from recoverykit.tables import records

print(json.dumps({
    "library": recoverykit.__file__,
    "tables": sorted(path.name for path in records.DATA.glob("*.csv")),
    "summary": PeakForcePanel().summary,
    "pulls": len(CurrentSession().session.log),
}))
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """The package, built of this checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "-d", folder]
    subprocess.run(command, cwd=paths.ROOT, check=True, capture_output=True)
    (built,) = folder.glob("*.whl")
    return built


def test_the_library_and_its_tables_work_outside_the_checkout(wheel, tmp_path):
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", tmp_path / "venv"], check=True)
    python = tmp_path / "venv" / paths.VENV_PYTHON.relative_to(paths.VENV)
    question = "import sysconfig; print(sysconfig.get_path('purelib'))"
    site = Path(subprocess.check_output([python, "-c", question], text=True).strip())
    zipfile.ZipFile(wheel).extractall(site)
    # numpy and the like from here. Of a path that is added so, no other .pth file is followed:
    # so this checkout is not found.
    (site / "dependencies.pth").write_text(sysconfig.get_path("purelib"))
    command = [python, "-I", "-c", IN_ANOTHER_PLACE]
    found = json.loads(subprocess.check_output(command, cwd=tmp_path, text=True))
    assert Path(found["library"]).is_relative_to(site)
    assert found["tables"] == sorted(path.name for path in (paths.ROOT / "data").glob("*.csv"))
    assert "km/h" in found["summary"]
    assert found["pulls"] > 0


def test_a_package_of_the_library_needs_nothing_of_the_course(wheel):
    with zipfile.ZipFile(wheel) as package:
        names = package.namelist()
        (metadata,) = (name for name in names if name.endswith("/METADATA"))
        lines = package.read(metadata).decode().splitlines()
    assert {name.split("/")[0].split("-")[0] for name in names} == {"recoverykit"}
    needed = {line.split()[1] for line in lines if line.startswith("Requires-Dist")}
    assert needed == {"filelock", "ipywidgets", "matplotlib", "numpy", "pint", "scipy"}
