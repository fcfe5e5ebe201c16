"""How long a key press on a slider takes to become a painted picture.

A panel is compared with what `interact` does: a new figure and a new output at every move.
"""

import json
import statistics

PRESSES = 25  # from 4 km/h: the picture still changes at the end

SETUP = """\
from io import BytesIO
from IPython.display import Image, display
from ipywidgets import FloatSlider, interact
import recoverykit
from recoverykit.lessons.peak_force.picture import PeakForcePicture
from recoverykit.course.picture import WIDTH
from recoverykit.lessons import PeakForcePanel"""
KEPT = "PeakForcePanel()"
REBUILT = """\
hidden = PeakForcePanel()
@interact(speed=FloatSlider(4, min=0, max=25, step=0.5))
def draw(speed):
    hidden.set(speed=recoverykit.Q(speed, "km/h"))
    picture = PeakForcePicture()
    picture.update(hidden.result, recoverykit.display.system)
    file = BytesIO()
    picture.figure.savefig(file, format="png")
    display(Image(file.getvalue(), width=WIDTH))"""

# Sets a promise of the time between the next key press in an area and its new picture's painting.
WATCH = """area => {
    const before = [...area.querySelectorAll('img')].at(-1).src;
    let pressed;
    const press = event => { pressed = event.timeStamp; };
    area.addEventListener('keydown', press, {capture: true, once: true});
    window.painted = new Promise((resolve, reject) => {
        const observer = new MutationObserver(async () => {
            const image = [...area.querySelectorAll('img')].at(-1);
            if (!image || image.src === before) return;
            observer.disconnect();
            await image.decode();
            requestAnimationFrame(() => setTimeout(() => resolve(performance.now() - pressed)));
        });
        observer.observe(area, {subtree: true, childList: true, attributeFilter: ['src']});
        setTimeout(() => reject(new Error('no new picture')), 20000);
    });
}"""


def notebook(*sources):
    blank = {"cell_type": "code", "metadata": {}, "execution_count": None, "outputs": []}
    cells = [blank | {"id": f"cell-{n}", "source": source} for n, source in enumerate(sources)]
    kernel = {"name": "python3", "display_name": "Python 3"}
    metadata = {"kernelspec": kernel}
    return {"nbformat": 4, "nbformat_minor": 5, "metadata": metadata, "cells": cells}


def test_key_press_to_painted_picture(started_course, open_page, record_property):
    path = started_course.folder / "speed.ipynb"
    path.write_text(json.dumps(notebook(SETUP, KEPT, REBUILT)), encoding="utf-8")
    opened = open_page(path.name)
    opened.wait_until_idle()
    opened.run()
    opened.wait_until_run(outputs=2)
    # A notebook that isn't a lesson of the course was not run before the button was pressed.
    prompts = opened.page.locator(".jp-CodeCell .jp-InputPrompt")
    assert prompts.all_text_contents() == ["[1]:", "[2]:", "[3]:"]
    kept, rebuilt = opened.panel.output, opened.output(has=opened.page.locator(".widget-interact"))

    def milliseconds(output, slider):
        output.evaluate(WATCH)
        slider.locator(".noUi-handle").press("ArrowRight")
        return opened.page.evaluate("window.painted")

    times = [
        (
            milliseconds(kept, opened.panel.slider("Speed")),
            milliseconds(rebuilt, rebuilt.locator(".widget-slider")),
        )
        for _ in range(PRESSES)
    ]
    ours, other = map(statistics.median, zip(*times, strict=True))
    record_property(
        "speed",
        f"key press to painted picture: {ours:.0f} ms; rebuilt by interact {other:.0f} ms, "
        f"{other / ours:.1f} times as long",
    )
    assert ours < other
