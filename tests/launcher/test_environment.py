"""The packages in .venv: when they are installed, and what reaches the programs that use them."""

import errno
import os
import re
import sys
import time
import tomllib

import pytest

from launcher import common, environment, paths


class FakeInstallation:
    """A course folder in which installing only notes what was asked for."""

    def __init__(self, root, monkeypatch):
        self.root, self.site = root, root / ".venv" / "site-packages"
        self.calls = []
        self.fails = False
        (root / "tests").mkdir()
        self.write("requirements.txt", "numpy==1")
        self.write("tests/requirements.txt", "ruff==1")
        monkeypatch.setattr(paths, "ROOT", root)
        monkeypatch.setattr(paths, "VENV", root / ".venv")
        monkeypatch.setattr(paths, "OLD_VENV", root / ".venv-old")
        monkeypatch.setattr(environment, "find_uv", lambda: "uv")
        monkeypatch.setattr(environment, "site_packages", self.site_packages)
        monkeypatch.setattr(environment, "create_venv", self.create_venv)
        monkeypatch.setattr(environment, "install", self.install)
        monkeypatch.setattr(environment, "try_network", lambda uv, site: None)
        monkeypatch.setattr(environment, "check_packages", lambda: self.calls.append("check"))

    def write(self, name, text):
        (self.root / name).write_text(text)

    def site_packages(self):
        return self.site if self.site.exists() else None

    def create_venv(self, uv):
        self.calls.append("create")
        self.site.mkdir(parents=True)
        common.write_json(self.site / environment.INSTALL_RECORD, {})
        return self.site

    def install(self, uv, names):
        self.calls.append(list(names))
        if self.fails:
            raise common.CourseError("no network")

    def prepare(self, *names):
        self.calls.clear()
        environment.prepare(*names)
        return list(self.calls)


@pytest.fixture
def fake(tmp_path, monkeypatch):
    return FakeInstallation(tmp_path, monkeypatch)


LEARNER, TESTS = environment.LEARNER_PACKAGES, environment.TEST_PACKAGES


def test_the_first_start_installs_and_the_second_does_nothing(fake):
    assert fake.prepare(LEARNER) == ["create", [LEARNER], "check"]
    assert fake.prepare(LEARNER) == []


def test_the_library_is_found_by_a_path_that_survives_moving_the_folder(fake):
    fake.prepare(LEARNER)
    line = (fake.site / environment.LIBRARY_PATH).read_text()
    assert not os.path.isabs(line)
    assert (fake.site / line).resolve() == fake.root.resolve()


def test_the_tests_add_their_packages_to_the_learners(fake):
    fake.prepare(LEARNER)
    assert fake.prepare(LEARNER, TESTS) == [[TESTS], "check"]
    assert fake.prepare(LEARNER) == []


def test_changed_requirements_are_installed(fake):
    fake.prepare(LEARNER, TESTS)
    fake.write(LEARNER, "numpy==2")
    assert fake.prepare(LEARNER) == ["create", [LEARNER], "check"]
    assert fake.prepare(LEARNER, TESTS) == [[TESTS], "check"]
    assert not paths.OLD_VENV.exists()


@pytest.mark.parametrize("record", ["", "{", "{}", '{"other": 1}'])
def test_a_half_made_venv_is_made_again(fake, record):
    fake.site.mkdir(parents=True)
    (fake.site / environment.INSTALL_RECORD).write_text(record)
    assert fake.prepare(LEARNER) == ["create", [LEARNER], "check"]


def test_an_install_that_fails_puts_back_what_was_there_and_is_tried_again(fake, capsys):
    fake.prepare(LEARNER)
    (fake.site / "numpy").touch()
    fake.write(LEARNER, "numpy==2")
    fake.fails = True
    fake.prepare(LEARNER)
    assert (
        "no network\nUsing the packages of an earlier version instead." in capsys.readouterr().out
    )
    assert (fake.site / "numpy").exists()
    fake.fails = False
    assert fake.prepare(LEARNER) == ["create", [LEARNER], "check"]
    assert not (fake.site / "numpy").exists()


def test_packages_that_work_stay_in_place_while_the_network_does_not_answer(
    fake, monkeypatch, capsys
):
    fake.prepare(LEARNER)
    fake.write(LEARNER, "numpy==2")

    def no_network(uv, site):
        assert site == fake.site
        raise common.CourseError("no network")

    monkeypatch.setattr(environment, "try_network", no_network)
    monkeypatch.setattr(environment, "set_aside", lambda: pytest.fail("it was moved"))
    assert fake.prepare(LEARNER) == []
    assert "Using the packages of an earlier version instead." in capsys.readouterr().out


def test_a_first_install_that_fails_leaves_nothing(fake):
    fake.fails = True
    with pytest.raises(common.CourseError):
        fake.prepare(LEARNER)
    assert not paths.VENV.exists()


def test_packages_that_start_are_never_forgotten(fake, monkeypatch):
    fake.prepare(LEARNER)
    environment.forget_damaged()
    assert fake.prepare(LEARNER) == []

    def fail():
        raise common.CourseError("numpy is missing")

    with monkeypatch.context() as broken:
        broken.setattr(environment, "check_packages", fail)
        with pytest.raises(common.CourseError, match=r"are damaged \(numpy is missing\)"):
            environment.forget_damaged()
    assert fake.prepare(LEARNER) == ["create", [LEARNER], "check"]


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("PIP_INDEX_URL", True),
        ("PIP_CERT", True),
        ("HTTPS_PROXY", True),
        ("PIP_TARGET", False),
        ("PIP_NO_INDEX", False),
        ("UV_OFFLINE", False),
        ("PYTHONOPTIMIZE", False),
        ("JUPYTER_TOKEN", False),
    ],
)
def test_of_what_steers_installers_only_where_packages_come_from_is_kept(monkeypatch, name, kept):
    monkeypatch.setenv(name, "x")
    assert (name in environment.clean_environment()) == kept


WRONG_CLOCK = f"clock, which shows {time.strftime('%d %B %Y')}"
NO_NETWORK = "the network did not answer"


@pytest.mark.parametrize(
    ("line", "words"),
    [
        # pip 23.2 and uv 0.13, at a server whose certificate was made for another year.
        ("certificate verify failed: certificate is not yet valid", WRONG_CLOCK),
        ("certificate verify failed: certificate has expired", WRONG_CLOCK),
        ("invalid peer certificate: certificate not valid yet: verification time", WRONG_CLOCK),
        ("invalid peer certificate: certificate expired: verification time", WRONG_CLOCK),
        # Older versions of uv, from memory.
        ("invalid peer certificate: NotValidYet", WRONG_CLOCK),
        ("invalid peer certificate: Expired", WRONG_CLOCK),
        # pip 23 and uv.
        ("after connection broken by 'NewConnectionError('Failed to establish a new", NO_NETWORK),
        ("connection: [Errno -3] Temporary failure in name resolution')'", NO_NETWORK),
        ("error sending request for url (https://example.org/simple/anyio/)", NO_NETWORK),
        ("dns error: failed to lookup address information", NO_NETWORK),
        ("OSError: [Errno 28] No space left on device", "The disk is full"),
    ],
)
def test_what_an_installer_says_becomes_a_sentence(line, words):
    sentence = environment.explain_installer(["Collecting anyio==1", line, "ERROR: No matching"])
    assert words in sentence
    assert "anyio" not in sentence


def test_tests_that_cannot_be_installed_leave_the_learners_packages_alone(fake):
    fake.prepare(LEARNER)
    fake.fails = True
    with pytest.raises(common.CourseError):
        fake.prepare(LEARNER, TESTS)
    assert fake.prepare(LEARNER) == []


def test_without_uv_a_venv_that_has_no_pip_is_made_again(fake, monkeypatch):
    fake.prepare(LEARNER)
    monkeypatch.setattr(environment, "find_uv", lambda: None)
    assert fake.prepare(LEARNER, TESTS) == ["create", [LEARNER, TESTS], "check"]
    (fake.site / "pip").mkdir()
    fake.write(TESTS, "ruff==2")
    assert fake.prepare(LEARNER, TESTS) == [[TESTS], "check"]


def test_a_read_only_folder_is_noticed_before_anything_is_installed(fake, monkeypatch):
    def refuse(**_):
        raise OSError(errno.EROFS, "Read-only file system")

    monkeypatch.setattr(common.tempfile, "TemporaryFile", refuse)
    with pytest.raises(common.CourseError, match=r"cannot be written to \(Read-only"):
        fake.prepare(LEARNER)
    assert fake.calls == []


def test_a_folder_that_cannot_be_made_is_told(tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(common.CourseError, match=r"cannot be made \(.+\)\. Write another folder"):
        common.state_folder(tmp_path / "file")


@pytest.mark.parametrize("python", ["is gone", sys.executable])
def test_a_python_that_is_gone_or_belongs_elsewhere_has_no_packages(tmp_path, monkeypatch, python):
    monkeypatch.setattr(paths, "VENV", tmp_path)
    monkeypatch.setattr(paths, "VENV_PYTHON", tmp_path / python)
    assert environment.site_packages() is None


def test_a_broken_uv_counts_as_none(tmp_path, monkeypatch):
    uv = tmp_path / "uv"
    uv.write_text("#!/bin/sh\nexit 1\n")
    uv.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert environment.find_uv() is None


def test_debian_without_python3_venv_is_told_the_command(monkeypatch):
    monkeypatch.setattr(environment.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(common.CourseError, match="sudo apt install python3-venv"):
        environment.check_venv_module()


def test_other_trouble_shows_the_installers_last_words():
    sentence = environment.explain_installer([f"line {n}" for n in range(20)] + ["ERROR: odd"])
    assert sentence.endswith("ERROR: odd")
    assert "line 3" not in sentence


def test_a_failed_installer_is_explained():
    script = "print('No space left on device'); raise SystemExit(1)"
    with pytest.raises(common.CourseError, match="disk is full"):
        environment.run_installer([sys.executable, "-c", script])


def test_the_readers_own_settings_do_not_reach_the_course(tmp_path, monkeypatch):
    for name in ("JUPYTER_CONFIG_DIR", "JUPYTERLAB_DIR", "PYTHONPATH", "MPLCONFIGDIR"):
        monkeypatch.setenv(name, "/their/own")
    monkeypatch.setenv("LANG", "C.UTF-8")
    settings = environment.jupyter_environment(tmp_path)
    assert "/their/own" not in settings.values()
    assert settings["LANG"] == "C.UTF-8"
    folders = {v for k, v in settings.items() if k.startswith(("JUPYTER", "IPYTHON", "MPL"))}
    assert len(folders) == 8
    assert all(str(tmp_path) in f or str(paths.ROOT) in f for f in folders)


# --- the pins -------------------------------------------------------------------------------


def pins(name):
    lines = (paths.ROOT / name).read_text(encoding="utf-8").splitlines()
    return [line for line in lines if line and not line.lstrip().startswith("#")]


def test_every_package_is_pinned_once_for_all_pythons_and_machines():
    lines = pins(LEARNER) + pins(TESTS)
    assert all(re.match(r"[a-z0-9-]+==[\w.]+( ;.*)?$", line) for line in lines)
    names = [line.split("==")[0] for line in lines]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("uv", [None, "/usr/bin/uv"])
def test_what_is_not_pinned_is_not_installed(uv, monkeypatch):
    commands = []
    monkeypatch.setattr(environment, "run_installer", commands.append)
    environment.install(uv, [LEARNER])
    assert "--no-deps" in commands[0]
    left_out = {"lark", "rfc3987-syntax"}  # they take more than half of JupyterLab's start
    assert not left_out & {line.split("==")[0] for line in pins(LEARNER)}


def test_what_the_project_asks_for_is_pinned():
    project = tomllib.loads((paths.ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    asked = set(project["project"]["dependencies"])
    assert asked <= {line.split("==")[0] for line in pins(LEARNER)}
    asked_by_tests = set(project["dependency-groups"]["tests"])
    assert asked_by_tests <= {line.split("==")[0] for line in pins(TESTS)}
