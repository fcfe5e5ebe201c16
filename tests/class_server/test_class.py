"""A class of three on one server: who comes in, what each can do, and what nobody else can."""

import asyncio
import ipaddress
import itertools
import json
from pathlib import Path
from types import SimpleNamespace

import psutil
import pytest

from class_server.classroom import IN_CLASS, NAMES, PLACE, processes_of, run
from recoverykit.classroom.class_files import read_class
from recoverykit.course.questions import QuestionInstance
from recoverykit.lessons.bank import find_question

QUESTIONS = {"ann": "03.peak", "ben": "05.line-limit", "cem": "06.mired"}


@pytest.fixture(scope="module")
def lessons(learners, wait_for):
    """A lesson on each learner's page, another for each, run at the same time."""

    async def open_all():
        return await asyncio.gather(
            learners.ann.open("03-peak-force.ipynb"),
            learners.ben.open("05-weakest-link.ipynb"),
            learners.cem.open("06-what-holds-it.ipynb"),
        )

    return SimpleNamespace(**dict(zip(QUESTIONS, wait_for(open_all()), strict=True)))


@pytest.fixture(scope="module")
def replies(lessons, wait_for):
    """What learners are told: Ann and Ben answer rightly, Cem does not."""
    answers = {
        who: QuestionInstance(find_question(id), 0).right_answer for who, id in QUESTIONS.items()
    }
    answers["cem"] = "1 kN"

    async def all_answer():
        return await asyncio.gather(
            *(vars(lessons)[who].answer(id, answers[who]) for who, id in QUESTIONS.items())
        )

    return dict(zip(QUESTIONS, wait_for(all_answer()), strict=True))


def test_a_wrong_password_is_refused(classroom, wait_for):
    async def try_to_get_in(password):
        stranger = classroom.learner(NAMES.ann, password)
        said = await stranger.log_in()
        inside = await stranger.client.get(stranger.api("contents/"))
        await stranger.close()
        return said, inside

    async def try_all():
        of_another = classroom.passwords[NAMES.ben]
        return await asyncio.gather(*map(try_to_get_in, ["not the password", "", of_another]))

    for said, inside in wait_for(try_all()):
        assert said.status_code == 403
        assert "Invalid username or password" in said.text
        assert inside.url.path == "/hub/login"


def test_lessons_run(lessons):
    for lesson in vars(lessons).values():
        assert not lesson.faults
        assert "Units" in [state.get("description") for state in lesson.models.values()]


def test_sliders_move_pictures(lessons, wait_for):
    async def move(lesson):
        await lesson.press("Show without a guess")
        return await lesson.press_keys(lesson.shown_slider(), times=3, every=0.2)

    async def all_move():
        return await asyncio.gather(*map(move, vars(lessons).values()))

    assert [len(delays) for delays in wait_for(all_move())] == [3, 3, 3]


def test_answers_are_checked_and_kept(learners, replies, wait_for):
    assert "Right" in replies["ann"]
    assert "Right" in replies["ben"]
    assert "Right" not in replies["cem"]
    for who, question in QUESTIONS.items():
        kept = [entry["id"] for entry in wait_for(vars(learners)[who].answers())]
        assert question in kept
        assert not set(QUESTIONS.values()) - {question} & set(kept)


PROBE = """
import json, os, socket, pathlib
def outcome(act, *arguments):
    try:
        act(*arguments)
    except OSError as fault:
        return type(fault).__name__
    return "done"
def connect(path):
    with socket.socket(socket.AF_UNIX) as probe:
        probe.connect(path)
folder = pathlib.Path({folder!r})
print(json.dumps({{
    "list": outcome(os.listdir, folder),
    "read": outcome((folder / "progress" / "learner.json").read_bytes),
    "write": outcome((folder / "note.txt").write_text, "was here"),
    "read what the server was told": outcome(pathlib.Path("/proc/{server}/environ").read_bytes),
    "send the server a signal": outcome(os.kill, {server}, 0),
    "listen to the kernel": outcome(connect, {kernel!r}),
}}))
"""


def probe_of(name: str) -> str:
    """Code that tries what only the owner of a learner's account may do."""
    folder = Path("/home", name, "my-course")
    server = next(p.pid for p in processes_of(name) if "jupyterhub.singleuser" in p.cmdline())
    kernel = next(path for path in (folder / ".jupyter" / "runtime").glob("kernel-*-ipc-*"))
    return PROBE.format(folder=str(folder), server=server, kernel=str(kernel))


def test_learners_reach_their_own_files_only(learners, lessons, replies, wait_for):
    to_ben = wait_for(lessons.ann.execute(probe_of(NAMES.ben)))
    assert set(json.loads(to_ben).values()) == {"PermissionError"}
    to_herself = wait_for(lessons.ann.execute(probe_of(NAMES.ann)))
    assert set(json.loads(to_herself).values()) == {"done"}


OF_THE_CLASS = [PLACE / "my-class" / "jupyterhub.sqlite", "/etc/shadow"]


@pytest.mark.parametrize("path", OF_THE_CLASS, ids=str)
def test_learners_cannot_read_what_the_hub_knows(lessons, wait_for, path):
    code = f"try: open({str(path)!r}).read()\nexcept PermissionError: print('refused')"
    assert wait_for(lessons.ann.execute(code)) == "refused\n"


def test_learners_cannot_change_the_course(lessons, wait_for):
    code = f"""
import os
print([place for place, _, _ in os.walk({str(PLACE)!r}) if os.access(place, os.W_OK)])
"""
    assert wait_for(lessons.ann.execute(code)) == "[]\n"


def test_learners_get_no_path_of_roots(lessons, wait_for):
    folders = wait_for(lessons.ann.execute("import os; print(os.environ['PATH'])"))
    assert folders.strip() == "/usr/local/bin:/usr/bin:/bin"


GREED = """
try:
    bytearray(1_200_000_000)
except MemoryError:
    print("refused")
print("going on")
"""


def test_one_learner_cannot_take_all_memory(lessons, wait_for):
    assert wait_for(lessons.ann.execute(GREED)) == "refused\ngoing on\n"


ASK = """
import os, urllib.error, urllib.request
def ask(url, method="GET"):
    token = {{"Authorization": "token " + os.environ["JUPYTERHUB_API_TOKEN"]}}
    request = urllib.request.Request(url, headers=token, method=method)
    try:
        return urllib.request.urlopen(request).status
    except urllib.error.HTTPError as refusal:
        return refusal.code
print(ask({url!r}, {method!r}))
"""


def test_learners_reach_their_own_server_only(classroom, lessons, wait_for):
    """From a kernel, with the token that the hub gave to its server."""

    def asked(url, method="GET"):
        return int(wait_for(lessons.ann.execute(ASK.format(url=url, method=method))))

    hub = f"{classroom.address}/hub/api"
    assert asked(f"{hub}/user") == 200
    assert asked(f"{server_of(NAMES.ann)}/api/contents") == 200
    assert asked(f"{server_of(NAMES.ben)}/api/contents") == 403
    assert asked(f"{hub}/users") == 403
    assert asked(f"{hub}/users/{NAMES.ben}") == 404
    assert asked(f"{hub}/users/{NAMES.ben}/server", "DELETE") == 403
    assert asked(f"{classroom.proxy_api}/api/routes") == 403


def server_of(name: str) -> str:
    """The address of a learner's server, past the proxy."""
    port = next(each.laddr.port for p in processes_of(name) for each in listening(p))
    return f"http://127.0.0.1:{port}/user/{name}"


def listening(process: psutil.Process) -> list:
    """Where a process can be reached over a network."""
    connections = process.net_connections("inet")
    return [each for each in connections if each.status == psutil.CONN_LISTEN]


def test_a_page_of_one_learner_opens_nothing_of_another(learners, wait_for):
    def asked(path, **options):
        return wait_for(learners.ann.client.get(path, **options)).status_code

    assert asked(learners.ann.api("contents/")) == 200
    assert asked(learners.ben.api("contents/")) == 403
    assert asked(f"/hub/spawn/{NAMES.ben}") in (403, 404)
    assert asked("/hub/admin") == 403


def test_nothing_listens_beyond_loopback(classroom, lessons):
    running = classroom.processes()
    places = {
        kind: [each.laddr.ip for process in processes for each in listening(process)]
        for kind, processes in running.items()
    }
    assert [len(places[kind]) for kind in ("hub", "proxy", "servers")] == [1, 2, 3]
    assert all(ipaddress.ip_address(ip).is_loopback for ips in places.values() for ip in ips)
    # What a kernel is told and says goes through files. Its one port takes in, with a secret, what
    # its child processes print, and gives nothing out.
    assert [len(listening(kernel)) for kernel in running["kernels"]] == [1, 1, 1]


def test_no_secret_is_said(classroom, lessons):
    """Neither in the log nor in the list of processes, which every account can read."""
    running = itertools.chain(*classroom.processes().values())
    told = [pair for process in running for pair in process.environ().items()]
    secrets = {text for name, text in told if name.endswith("TOKEN") and text}
    assert len(secrets) >= 4  # the proxy's, and one for each learner
    secrets |= set(classroom.passwords.values())
    secrets.add((PLACE / "my-class" / "jupyterhub_cookie_secret").read_text().strip())
    said = classroom.log.read_text(encoding="utf-8")
    commands = [" ".join(p.info["cmdline"] or []) for p in psutil.process_iter(["cmdline"])]
    assert not [secret for secret in secrets if secret in said]
    assert not [secret for secret in secrets if any(secret in command for command in commands)]


def test_progress_of_the_class_can_be_gathered(replies, tmp_path):
    """By the line that the guide gives."""
    files = [f"/home/{name}/my-course/progress/learner.json" for name in IN_CLASS.values()]
    run("cp", "--parents", *files, tmp_path)
    assert len(read_class(tmp_path).learners) == 3


def test_a_hub_that_breaks_off_costs_nobody_their_lesson(classroom, learners, lessons, wait_for):
    wait_for(lessons.ann.execute("mine = 5"))
    classroom.kill_hub()
    classroom.start()

    async def go_on():
        return await (await learners.ann.reopen("03-peak-force.ipynb")).execute("print(mine)")

    assert wait_for(go_on()) == "5\n"


def test_answers_are_there_after_a_restart(classroom, learners, replies, wait_for):
    before = wait_for(learners.ann.answers())
    classroom.stop()
    assert not [p for name in IN_CLASS.values() for p in processes_of(name)]
    classroom.start()

    async def come_back():
        await learners.ann.start()  # the browser still knows who is there
        return await learners.ann.open("03-peak-force.ipynb")

    assert "Right" in wait_for(come_back()).text('ask("03.peak")')
    assert wait_for(learners.ann.answers()) == before
