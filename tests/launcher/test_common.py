"""What stands where the course keeps its own files: nothing waits, and no other file is written."""

import pytest
from helpers.in_the_way import assert_nothing_was_followed, each_special, put_in_the_way

from launcher import common, server


def refusal(capsys, command, *arguments):
    """What a command says that ends."""
    assert common.explained(command, *arguments) == 1
    return capsys.readouterr().err


def take_lock(path):
    with common.open_lock(path) as lock:
        return 0 if lock() else 2


USES = {
    "server.log": lambda path: common.state_folder(path.parents[1]) and path.open("w"),
    "server.lock": lambda path: common.state_folder(path.parents[1]) and take_lock(path),
    "versions.json.part": lambda path: common.write_json(path.with_suffix(""), {"a": 1}),
    "open-course.html": lambda path: server.show(path.parent, "http://x/", "aa", browser=True),
}


@each_special
@pytest.mark.parametrize("name", USES)
def test_what_is_no_file_is_refused_in_a_sentence(what, name, tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("BROWSER", "true")
    path = tmp_path / ".jupyter" / name
    put_in_the_way(what, path)
    said = refusal(capsys, USES[name], path)
    assert said.startswith(f"{path} is not what the course keeps under that name. Move or delete")
    assert_nothing_was_followed(path)


@each_special
def test_a_file_takes_the_place_of_what_is_no_file_but_not_of_a_folder(what, tmp_path, capsys):
    path = tmp_path / "versions.json"
    put_in_the_way(what, path)
    if what == "a folder":
        assert f"{path} is not what" in refusal(capsys, common.write_json, path, {"a": 1})
    else:
        common.write_json(path, {"a": 1})
        assert common.read_json(path) == {"a": 1}
    assert_nothing_was_followed(path)


def test_a_hard_link_keeps_its_content(tmp_path):
    other, path = tmp_path / "other", tmp_path / "versions.json"
    other.write_text("of another")
    path.hardlink_to(other)
    path.with_name("versions.json.part").hardlink_to(other)
    common.write_json(path, {"a": 1})
    assert other.read_text() == "of another"


@each_special
def test_what_is_no_file_is_no_entry(what, tmp_path):
    put_in_the_way(what, tmp_path / "versions.json")
    assert common.read_json(tmp_path / "versions.json") == {}


@pytest.mark.parametrize("what", ["a folder", "a link", "a link to itself"])
def test_a_lock_that_is_no_file_is_refused_and_not_followed(what, tmp_path, capsys):
    path = tmp_path / ".venv.lock"
    put_in_the_way(what, path)
    assert refusal(capsys, take_lock, path).startswith(f"{path} is not what the course keeps")
    assert_nothing_was_followed(path)
