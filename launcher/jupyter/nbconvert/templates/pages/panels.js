// A panel: each of its states came with the page.

const MOMENT = 200; // ms for each picture of a pull that is played: a third of its speed

function panelView(id) {
  const panel = () => data("panel", id);
  let numbers = null; // of the values that the controls are at
  let shown = null; // what a task shows in place of that
  let moment = 0;
  let timer = 0;
  const picture = pictureView();
  const sentence = liveText("sentence");
  const guess = make("p", { className: "guess-line" });
  const fixed = make("p", { className: "settings" });
  const controls = make("div", { className: "controls" });
  const player = make("div", { className: "controls" });
  const instead = make("p", { className: "settings" });
  const tasks = make("ol");
  const taken = []; // steps of each task, which all in turn do it

  function state() {
    if (shown) return shown.state;
    return numbers.reduce((at, number, i) => at + number * panel().controls[i].step, 0);
  }

  function show() {
    const { sentences, pictures, moments } = panel();
    const number = state() * Math.max(1, moments.length) + moment;
    picture.show(pictures[WIDE.matches ? "wide" : "narrow"], number);
    say(instead, shown ? `Set for this task: ${shown.text}. All else is as at the start.` : "");
    if (sentence.dataset.full !== sentences[state()]) {
      sentence.dataset.full = sentences[state()];
      say(sentence, sentences[state()]);
    }
    followTasks();
  }

  function followTasks() {
    panel().tasks.forEach(({ steps, seen }, i) => {
      if (!steps[taken[i]]?.includes(state())) return;
      if (++taken[i] === steps.length) tellDone(tasks.children[i], seen);
    });
  }

  function tellDone(item, seen) {
    reply(item.querySelector("[role=status]"), "right", `✓ ${seen}`);
    item.querySelector("details").hidden = true;
  }

  function start() {
    stop();
    numbers = panel().controls.map((control) => control.start);
    moment = 0;
    shown = null;
    draw();
  }

  function showFor(setting) {
    start();
    shown = setting;
    show();
  }

  function move(i, number) {
    numbers[i] = number;
    shown = null;
    show();
  }

  function slider({ label, texts }, number, onMove) {
    const id = newId();
    const told = make("output", { htmlFor: id });
    const handle = make("input", { id, type: "range", min: 0, max: texts.length - 1, step: 1 });
    const set = (value) => {
      handle.value = value;
      told.textContent = words(texts[value]);
      handle.setAttribute("aria-valuetext", texts[value]);
    };
    handle.addEventListener("input", () => (set(handle.valueAsNumber), onMove(handle.valueAsNumber)));
    set(number);
    const row = make("div", { className: "slider" }, make("label", { htmlFor: id }, `${label}: `, told), handle);
    return { row, set };
  }

  function list({ label, texts }, number, onMove) {
    const id = newId();
    const options = texts.map((text, value) => make("option", { value }, words(text)));
    const box = make("select", { id, onchange: () => onMove(Number(box.value)) }, ...options);
    box.value = number;
    return { row: make("div", { className: "slider" }, make("label", { htmlFor: id }, label), box) };
  }

  function tick({ label }, number, onMove) {
    const onchange = () => onMove(Number(box.checked));
    const box = make("input", { type: "checkbox", checked: number === 1, onchange });
    return { row: make("label", { className: "tick" }, box, label) };
  }

  function taskView(task, i) {
    // Its buttons are not drawn anew when they are pressed, so that the keyboard's place is kept.
    const shows = task.shown.map((setting) => button(setting.text, () => showFor(setting)));
    const seen = make("details", {}, make("summary", {}, "What there was to see"), words(task.seen));
    const item = make("li", {}, words(task.words), ...shows, seen, liveText("reply"));
    if (taken[i] === task.steps.length) tellDone(item, task.seen);
    return item;
  }

  function drawPlayer() {
    const { moments } = panel();
    player.hidden = !moments.length;
    if (player.hidden) return;
    const { row, set } = slider({ label: "Time", texts: moments }, moment, (number) => (stop(), (moment = number), show()));
    const play = button("Play", () => {
      if (timer) return stop();
      if (moment === moments.length - 1) moment = 0;
      play.textContent = "Pause";
      timer = setInterval(() => {
        set(++moment);
        show();
        if (moment === moments.length - 1) stop();
      }, MOMENT);
    });
    player.replaceChildren(row, play);
  }

  function stop() {
    clearInterval(timer);
    timer = 0;
    for (const play of player.getElementsByTagName("button")) play.textContent = "Play";
  }

  function draw() {
    const now = panel();
    controls.replaceChildren(
      ...now.controls.map(
        (control, i) =>
          ({ slider, list, tick })[control.shown_as](control, numbers[i], (n) => move(i, n)).row,
      ),
    );
    drawPlayer();
    say(guess, guessed());
    say(fixed, now.fixed && `Set for you here: ${now.fixed}. In the course on a computer you set these, too.`);
    show();
  }

  watchers.push(() => say(guess, guessed()));
  WIDE.addEventListener("change", show);
  // Another system has other steps: the panel goes back to where it started. What is done stays so.
  drawn(() => {
    panel().tasks.forEach(({ steps }, i) => {
      if (taken[i] !== steps.length) taken[i] = 0;
    });
    tasks.replaceChildren(...panel().tasks.map(taskView));
    start();
  });
  const again = button("Starting values", start);
  const toTry = make("p", {}, "Try this, each time from the starting values on:");
  return make(
    "div",
    { className: "panel" },
    make("div", {}, picture.canvas, player),
    make(
      "div",
      {},
      controls,
      make("div", { className: "row" }, again),
      instead,
      sentence,
      guess,
      ...(panel().tasks.length ? [toTry, tasks] : []),
      fixed,
    ),
  );
}
