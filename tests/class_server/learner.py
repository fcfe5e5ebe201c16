"""A simulated learner: what a browser asks of the class server, without the browser.

It logs in by the form, lets the hub start its server, opens a lesson, runs its cells over the
kernel's websocket and moves sliders with the messages, and the waiting, that the page has.
"""

import asyncio
import itertools
import json
import time
import uuid
from datetime import UTC, datetime

import httpx
from jupyter_server.services.kernels.connection.base import (
    deserialize_msg_from_ws_v1,
    serialize_msg_to_ws_v1,
)
from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

PATIENCE = 300  # seconds: when a whole class comes at once
PROTOCOL = "v1.kernel.websocket.jupyter.org"
NOT_FOR_READERS = "drive-panels"  # the tag of a cell that the page does not run


class Learner:
    """One browser of one learner."""

    def __init__(self, address: str, name: str, password: str):
        self.address, self.name, self._password = address, name, password
        self.client = httpx.AsyncClient(
            base_url=address, follow_redirects=True, timeout=PATIENCE, trust_env=False
        )
        self._lessons = []

    async def log_in(self) -> httpx.Response:
        """Fill in the form and send it."""
        await self.client.get("/hub/login")
        form = {"username": self.name, "password": self._password, "_xsrf": self._xsrf("/hub/")}
        return await self.client.post("/hub/login", data=form)

    async def start(self) -> None:
        """Wait, as the page does, until the server is there."""
        give_up = time.monotonic() + PATIENCE
        page = await self.client.get("/hub/spawn")
        while not page.url.path.startswith(f"/user/{self.name}/"):
            page.raise_for_status()
            assert time.monotonic() < give_up, f"no server for {self.name} at {page.url}"
            await asyncio.sleep(0.5)
            page = await self.client.get(f"/hub/spawn-pending/{self.name}")
        page.raise_for_status()

    async def open(self, lesson: str) -> "OpenLesson":
        """Open a lesson, which runs it."""
        notebook = await self.contents(lesson)
        opened = await self.reopen(lesson)
        await opened.run(notebook["content"]["cells"])
        return opened

    async def reopen(self, lesson: str) -> "OpenLesson":
        """Show a lesson, with the kernel that it has; with a new one if it has none."""
        place = {"path": lesson, "name": lesson, "type": "notebook", "kernel": {"name": "python3"}}
        session = await self.client.post(self.api("sessions"), json=place, headers=self.headers)
        session.raise_for_status()
        self._lessons.append(OpenLesson(await self._connect(session.json()["kernel"]["id"])))
        return self._lessons[-1]

    async def contents(self, path: str) -> dict:
        """A file of the learner's folder."""
        answer = await self.client.get(self.api(f"contents/{path}"))
        answer.raise_for_status()
        return answer.json()

    async def answers(self) -> list[dict]:
        """The entries of the learner's progress file."""
        return json.loads((await self.contents("progress/learner.json"))["content"])["entries"]

    def api(self, path: str) -> str:
        """The path of something that the learner's own server offers."""
        return f"/user/{self.name}/api/{path}"

    @property
    def headers(self) -> dict[str, str]:
        """What shows that a request comes from the learner's own page."""
        return {"X-XSRFToken": self._xsrf(f"/user/{self.name}/")}

    def _xsrf(self, path: str) -> str:
        return self.client.cookies.get("_xsrf", path=path)

    async def _connect(self, kernel: str):
        path = self.api(f"kernels/{kernel}/channels?session_id={uuid.uuid4().hex}")
        cookies = self.client.build_request("GET", path).headers["cookie"]
        request = HTTPRequest(
            self.address.replace("http", "ws", 1) + path, headers={"Cookie": cookies}
        )
        return await websocket_connect(request, subprotocols=[PROTOCOL])

    async def close(self) -> None:
        """Close the browser. Server and kernels go on."""
        for lesson in self._lessons:
            lesson.close()
        await self.client.aclose()


class OpenLesson:
    """A lesson on the page, and the kernel behind it. `faults` holds what should not happen."""

    def __init__(self, socket):
        self._socket = socket
        self._session = uuid.uuid4().hex
        self._idle = {}  # by message: what waits for the kernel to be done with it
        self._cells = {}  # by message: the source of the cell that it ran
        self._home = {}  # by model: the source of the cell that made it
        self._pictured = {}  # by message: when its picture came
        self.models = {}
        self.printed = ""
        self.faults = []
        self._listening = asyncio.create_task(self._listen())

    async def run(self, cells: list[dict]) -> None:
        """Run all cells that the page runs."""
        for cell in cells:
            is_for_readers = NOT_FOR_READERS not in cell["metadata"].get("tags", [])
            if cell["cell_type"] == "code" and is_for_readers:
                await self.execute("".join(cell["source"]))

    async def execute(self, code: str) -> str:
        """Run code; return what it printed."""
        self.printed = ""
        request = {"code": code, "silent": False, "store_history": True, "allow_stdin": False}
        message = self._send("execute_request", request)
        self._cells[message] = code
        await self._done(message)
        return self.printed

    def find(self, model: str, cell: str = "", description: str = "") -> str:
        """The id of the widget of this kind, in this cell, with this beginning of its label."""
        return next(
            id
            for id, state in self.models.items()
            if state.get("_model_name") == model
            and cell in self._home[id]
            and (state.get("description") or "").startswith(description)
        )

    async def press(self, button: str) -> None:
        """Press the first button with this label."""
        click = {"method": "custom", "content": {"event": "click"}}
        id = self.find("ButtonModel", description=button)
        await self._done(self._send("comm_msg", {"comm_id": id, "data": click}))

    def shown_slider(self) -> str:
        """The id of the first slider that the page shows."""
        return next(
            id
            for id, state in self.models.items()
            if state.get("_model_name") == "SelectionSliderModel" and "[" in state["description"]
        )

    async def answer(self, question: str, typed: str) -> str:
        """Write an answer and press Enter; return all that the question says then."""
        cell = f'ask("{question}")'
        await self._done(self._update(self.find("TextModel", cell), {"value": typed}))
        return self.text(cell)

    def text(self, cell: str) -> str:
        """All words that the output of a cell shows."""
        shown = (state for id, state in self.models.items() if cell in self._home[id])
        return " ".join(s["value"] for s in shown if s["_model_name"] == "HTMLModel")

    async def press_keys(self, slider: str, times: int, every: float) -> list[float]:
        """Press an arrow key many times; return the seconds from each press to its picture.

        As the page does, a new position is sent only when the kernel is done with the last one,
        and then only the newest.
        """
        delays, pressed = [], []

        async def send():
            while pressed:
                positions, times_pressed = zip(*pressed, strict=True)
                pressed.clear()
                message = self._update(slider, {"index": positions[-1]})
                await self._done(message)
                if message in self._pictured:  # else the picture is the same as before
                    delays.extend(self._pictured[message] - moment for moment in times_pressed)

        sending = asyncio.create_task(send())
        for position in itertools.islice(self._positions(slider), times):
            pressed.append((position, time.monotonic()))
            if sending.done():
                await sending
                sending = asyncio.create_task(send())
            await asyncio.sleep(every)
        await sending
        return delays

    def _positions(self, slider):
        """One step on at each key press, and from the end back to the beginning."""
        state = self.models[slider]
        count = len(state["_options_labels"])
        return (position % count for position in itertools.count(state["index"] + 1))

    def _update(self, model, state) -> str:
        self.models[model] |= state
        data = {"method": "update", "state": state, "buffer_paths": []}
        return self._send("comm_msg", {"comm_id": model, "data": data})

    def _send(self, kind, content) -> str:
        header = {
            "msg_id": uuid.uuid4().hex,
            "session": self._session,
            "username": "",
            "date": datetime.now(UTC).isoformat(),
            "msg_type": kind,
            "version": "5.3",
        }
        parts = [json.dumps(part).encode() for part in (header, {}, {}, content)]
        self._idle[header["msg_id"]] = asyncio.get_running_loop().create_future()
        self._socket.write_message(serialize_msg_to_ws_v1(parts, "shell"), binary=True)
        return header["msg_id"]

    async def _done(self, message):
        async with asyncio.timeout(PATIENCE):
            await self._idle[message]

    async def _listen(self):
        while (received := await self._socket.read_message()) is not None:
            channel, parts = deserialize_msg_from_ws_v1(received)
            header, parent, _, content = map(json.loads, parts[:4])
            if channel == "iopub":
                self._hear(header["msg_type"], content, parent.get("msg_id"))

    def _hear(self, kind, content, parent):
        match kind:
            case "status" if content["execution_state"] == "idle" and parent in self._idle:
                self._idle[parent].set_result(None)
            case "comm_open":
                self.models[content["comm_id"]] = content["data"]["state"]
                self._home[content["comm_id"]] = self._cells.get(parent, "")
            case "comm_msg" if content["data"].get("method") == "update":
                self.models[content["comm_id"]] |= content["data"]["state"]
                if ["value"] in content["data"].get("buffer_paths", []):
                    self._pictured.setdefault(parent, time.monotonic())
            case "stream":
                self.printed += content["text"]
            case "error":
                self.faults.append("\n".join(content["traceback"]))

    def close(self):
        """Close the page. The kernel goes on."""
        self._listening.cancel()
        self._socket.close()
