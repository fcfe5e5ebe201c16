"""A class server on loopback, with learners' accounts that are gone afterwards."""

import asyncio
import os
from types import SimpleNamespace

import pytest
from helpers.needs import skip_or_fail

from class_server.classroom import IN_CLASS, NAMES, Classroom, what_is_missing


@pytest.fixture(scope="package")
def wait_for():
    """A function that runs a coroutine to its end; what that leaves running goes on next time."""
    with asyncio.Runner() as runner:
        yield runner.run


@pytest.fixture(scope="package")
def classroom(request):
    """The class server, running, with an account for each learner."""
    if os.environ.get("CI") != "true" and not request.config.getoption("--accounts"):
        pytest.skip("The class tests make accounts on this machine. To run them, add --accounts")
    if missing := what_is_missing():
        skip_or_fail(missing)
    classroom = Classroom()
    try:
        classroom.install()
        classroom.add(*vars(NAMES).values())
        classroom.start()
        yield classroom
    finally:
        classroom.close()


@pytest.fixture(scope="package")
def learners(classroom, wait_for):
    """Ann, Ben and Cem, logged in at the same time, each with a server of their own."""
    browsers = {each: classroom.learner(name) for each, name in IN_CLASS.items()}

    async def begin(learner):
        await learner.log_in()
        await learner.start()

    async def all_begin():
        await asyncio.gather(*map(begin, browsers.values()))

    async def all_close():
        await asyncio.gather(*(learner.close() for learner in browsers.values()))

    wait_for(all_begin())
    yield SimpleNamespace(**browsers)
    wait_for(all_close())
