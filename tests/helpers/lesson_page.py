"""A lesson on the page: what a learner sees of it and does to it."""

import base64
import contextlib
import io

from PIL import Image
from playwright.sync_api import TimeoutError, expect

from launcher import lesson_copies, paths

expect.set_options(timeout=60_000)  # milliseconds; a busy machine starts kernels slowly

PIXELS = """async layers => {
    const canvas = document.createElement('canvas');
    for (const layer of layers) {
        await layer.decode();
        if (layer === layers[0])
            [canvas.width, canvas.height] = [layer.naturalWidth, layer.naturalHeight];
        canvas.getContext('2d').drawImage(layer, 0, 0);
    }
    return canvas.toDataURL();
}"""

# How far each of these is cut off, or sticks out of its cell, in CSS pixels.
SPILLS = """() => {
    const spills = [];
    const note = (element, by) => by > 1 && spills.push(
        `${element.tagName} ${element.className} "${element.textContent.slice(0, 40)}": ${by} px`);
    for (const box of document.querySelectorAll('html, body, .jp-WindowedPanel-outer'))
        note(box, box.scrollWidth - box.clientWidth);
    const shown = document.querySelector('.jp-NotebookPanel:not(.lm-mod-hidden)') ?? document;
    for (const cell of shown.querySelectorAll('.jp-Cell')) {
        const edge = cell.getBoundingClientRect().right;
        for (const part of cell.querySelectorAll('.jp-OutputArea *, .jp-MarkdownOutput *'))
            if (!part.closest('mjx-assistive-mml'))
                note(part, Math.round(part.getBoundingClientRect().right - edge));
    }
    const cut = '.jp-OutputArea-output, .widget-label, .widget-readout, button, label';
    for (const part of shown.querySelectorAll(`.jp-Cell :is(${cut})`)) {
        note(part, part.scrollWidth - part.clientWidth);
        note(part, part.scrollHeight - part.clientHeight);
    }
    return spills;
}"""

# A page that was given a new size first answers with the measures of the old one.
DRAWN_ANEW = "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"

SETTLED = 3_000  # milliseconds, after a change of width or content
SAID = "[role=status]:not(:empty)"  # what is read out when it changes, if it says anything


def resize(page, size):
    """Give a page another size, and wait until it is drawn in it."""
    page.set_viewport_size(size)
    page.evaluate(DRAWN_ANEW)


def opener_of_lessons(open_page):
    """A function that opens a lesson as `open_page` does, and waits until it has run."""

    def opened(name):
        page = open_page(name)
        page.wait_until_lesson_has_run(name)
        return page

    return opened


class LessonPage:
    """One notebook in one tab. `complaints` and `outside` collect what should not happen."""

    def __init__(self, page, address):
        self.page = page
        self._address = address
        self.complaints = []
        self.outside = []
        page.on("console", lambda said: said.type == "error" and self.complaints.append(said.text))
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.on("request", lambda request: self._note(request.url))
        page.on("websocket", lambda socket: self._note(socket.url.replace("ws:", "http:", 1)))
        page.route(lambda url: not self._is_inside(url), lambda route: route.abort())

    def _is_inside(self, url):
        # Pictures and scripts that the page makes itself have no host.
        return url.startswith((self._address, "blob:", "data:"))

    def _note(self, url):
        if not self._is_inside(url):
            self.outside.append(url)

    def go(self, path):
        """Load a page of the course."""
        self.page.goto(self._address + path)

    def follow(self, link, heading):
        """Click a link to another page of the course, which has a heading."""
        self.page.get_by_role("link", name=link, exact=True).first.click()
        self.wait_for(heading)

    def wait_for(self, heading):
        """Wait until a page of the course is shown."""
        headings = self.page.get_by_role("heading", level=1)  # pages that are hidden have none
        expect(headings.filter(has_text=heading)).to_be_visible()

    @property
    def shown(self):
        """The notebook on the page. Others that were opened on it are still there, hidden."""
        return self.page.locator(".jp-NotebookPanel:not(.lm-mod-hidden)")

    def wait_until_lesson_has_run(self, name):
        """Wait until all cells with code show something, but for the last, which is for tests."""
        cells = lesson_copies.notebook_cells(paths.LESSONS / name)
        self.wait_until_run(sum(kind == "code" for kind, _ in cells) - 1)

    def wait_until_run(self, outputs):
        """Wait until so many cells show something and the kernel has nothing left to do."""
        expect(self.shown.locator(".jp-CodeCell:not(.jp-mod-noOutputs)")).to_have_count(outputs)
        self.wait_until_idle()

    def wait_until_idle(self):
        """Wait until the kernel is there and has nothing to do."""
        idle = self.page.locator("#jp-main-statusbar", has_text="(ipykernel) | Idle")
        expect(idle).to_have_count(1)  # hidden, and yet up to date

    def run(self):
        """Press the one button that a newcomer needs."""
        self.button("Run the lesson").click()

    def restart_kernel(self):
        """Forget all that the kernel knows."""
        self.page.get_by_role("menuitem", name="Kernel").click()
        self.page.get_by_role("menuitem", name="Restart Kernel and Clear Outputs").click()
        self.button("Confirm Kernel Restart").click()
        expect(self.shown.locator(".widget-image")).to_have_count(0)

    def button(self, name):
        """A button by its label."""
        return self.page.get_by_role("button", name=name, exact=True)

    def keep_guess_and_see(self):
        """Keep the guess that is filled in, and let the answer be shown."""
        self.button("Keep my guess").click()
        self.button("Show the answer").click()

    def output(self, **having):
        """The output of a cell, by what is in it."""
        return self.shown.locator(".jp-Cell-outputArea").filter(**having)

    def worked_example(self, code):
        """A worked example, by a part of its code."""
        return self.shown.locator(".jp-CodeCell").filter(has_text=code, visible=True)

    def write_over(self, cell, number, typed):
        """Write another number into a cell, where this one stands; the cell keeps the focus."""
        cell.scroll_into_view_if_needed()
        cell.get_by_text(number, exact=True).dblclick()
        self.page.keyboard.type(typed)

    def switch_units(self, name, switch=0):
        """Press a button of one of the switches for units; wait until all has followed."""
        self.button(name).nth(switch).click()
        speed = name.partition(",")[0]
        expect(self.panel.sentence).to_contain_text(speed)
        self.wait_until_idle()

    def resize(self, size):
        """Give the page another size."""
        resize(self.page, size)

    def spills(self):
        """What is cut off or sticks out, in words."""
        return self.found_when_settled(SPILLS)

    def found_when_settled(self, script):
        """What a script still finds, once the page has had the time it takes to settle."""
        with contextlib.suppress(TimeoutError):
            self.page.wait_for_function(f"({script})().length === 0", timeout=SETTLED)
        return self.page.evaluate(script)

    @property
    def panel(self):
        """The panel of a lesson that has one."""
        return PanelOnPage(self._panels)

    def panel_at(self, place):
        """One of a lesson's panels, counted from the top."""
        return PanelOnPage(self._panels.nth(place))

    @property
    def _panels(self):
        return self.output(has=self.page.locator("img.widget-image"))

    @property
    def errors(self):
        """What cells say that is an error or a warning."""
        return self.shown.locator(
            '[data-mime-type="application/vnd.jupyter.error"], '
            '[data-mime-type="application/vnd.jupyter.stderr"]'
        )

    def expect_no_faults(self):
        """No error in a cell or in the console, and no request to another host."""
        expect(self.errors).to_have_count(0)
        assert self.complaints == []
        assert self.outside == []

    def question(self, text):
        """A question by its text."""
        return QuestionOnPage(self.output(has_text=text))


class PanelOnPage:
    """A panel's sliders, sentence and picture."""

    def __init__(self, output):
        self.output = output
        self.sentence = output.locator(f".widget-html-content{SAID}:not(.recoverykit-tasks *)")
        self._layers = output.locator("img.widget-image")
        self.image = self._layers.last

    def slider(self, label):
        """A slider by its label, without the unit."""
        return self.output.locator(".widget-slider").filter(has_text=label, visible=True)

    def handle(self, label):
        """What is moved."""
        return self.slider(label).locator(".noUi-handle")

    def readout(self, label):
        """The number at the end of a slider."""
        return self.slider(label).locator(".widget-readout")

    def number(self, label):
        """The number at the end of a slider, as a number."""
        return float(self.readout(label).inner_text())

    def control(self, label):
        """A box to write in or to tick, or a list, by its label; other units have their own."""
        return self.output.get_by_label(label, exact=True).filter(visible=True)

    def drag(self, label, steps=8, by=0.3):
        """Move a handle with the mouse, by a share of the slider's length."""
        self.slider(label).scroll_into_view_if_needed()
        grip, track = (
            self.slider(label).locator(part).bounding_box() for part in (".noUi-handle", ".slider")
        )
        x, y = grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2
        mouse = self.output.page.mouse
        mouse.move(x, y)
        mouse.down()
        mouse.move(x + by * track["width"], y, steps=steps)
        mouse.up()

    def pixels(self):
        """The picture, as it is painted."""
        png = base64.b64decode(self._layers.evaluate_all(PIXELS).partition(",")[2])
        return Image.open(io.BytesIO(png)).convert("RGB")


class QuestionOnPage:
    """A question's box to fill in, or its options, and the reply."""

    def __init__(self, output):
        self._output = output
        self.box = output.get_by_role("textbox")
        self.reply = output.locator(SAID).first

    def answer(self, typed):
        """Write an answer and send it."""
        self.box.fill(typed)
        self.box.press("Enter")

    def choose(self, option):
        """Choose one of the options and check it."""
        self._output.get_by_label(option, exact=True).check()
        self._output.get_by_role("button", name="Check").click()
