// Guesses, questions and the survey: what is said to an answer comes with the page.

// --- units -------------------------------------------------------------------------------

const redraws = []; // of all that shows numbers
let system = latest("units")?.typed.system;
if (!(system in page.systems)) system = page.start;
document.documentElement.dataset.units = system; // of the text, whose style sheet hides the other
const data = (kind, name) => page.systems[system][kind][name];

function drawn(redraw) {
  redraws.push(redraw);
  redraw();
}

function unitsSwitch() {
  const options = Object.entries(page.labels).map(([name, label]) => {
    const box = make("input", { type: "radio", name: "units", checked: name === system });
    box.addEventListener("change", () => {
      document.documentElement.dataset.units = system = name;
      record("units", { system: name }, "committed");
      redraws.forEach((redraw) => redraw());
    });
    return make("label", {}, box, label);
  });
  return make("fieldset", { className: "units" }, make("legend", {}, "Units"), ...options);
}

// --- fields ------------------------------------------------------------------------------

// The number that was typed; null where there is none.
function readNumber(typed) {
  const plain = typed.trim();
  if (/^[1-9][0-9]{0,2}([, ][0-9]{3})+(\.[0-9]*)?$/.test(plain)) {
    return Number(plain.replace(/[, ]/g, ""));
  }
  if (!/^([0-9]{1,18}([.,][0-9]{0,12})?|[.,][0-9]{1,12})$/.test(plain)) return null;
  return Number(plain.replace(",", "."));
}

// How a number was read, where it may have been meant as another one a thousand times as large.
function noteOn(typed, thousands) {
  const number = readNumber(typed);
  if (!/^[1-9][0-9]{0,2}[.,][0-9]{3}$/.test(typed) || typed.includes(".") !== thousands) return "";
  return `${typed} is read as ${number}, not as ${thousands ? 1000 * number : number / 1000}`;
}

const toldOf = new Set(); // what is always read so, of which a learner is told once

const unitsOf = (kind) => page.systems[system].units[kind];

class NumberField {
  constructor() {
    const id = newId();
    this.number = make("input", { id, type: "text", inputMode: "decimal", autocomplete: "off" });
    this.unit = make("select", { "aria-label": "Unit" });
    this.label = make("label", { htmlFor: id });
    this.element = make("div", { className: "field" }, this.label, this.number, this.unit);
  }

  relabel(field) {
    const chosen = this.unit.value;
    say(this.label, field.label);
    this.kind = field.kind;
    const symbols = unitsOf(field.kind).map((each) => each.unit);
    this.unit.replaceChildren(
      make("option", { value: "" }, "unit"),
      ...symbols.map((symbol) => make("option", { value: symbol }, symbol)),
    );
    this.unit.value = chosen;
  }

  get typed() {
    return `${this.number.value.trim()} ${this.unit.value}`.trim();
  }

  set typed(text) {
    const [, number, unit] = /^([\d.,\s]*)(.*)$/s.exec(text);
    const offered = unitsOf(this.kind).some((each) => each.unit === unit);
    this.number.value = offered || !unit ? number.trim() : text;
    this.unit.value = offered ? unit : "";
  }

  // What is wrong with what is filled in, in a sentence; null if it can be read.
  get fault() {
    if (readNumber(this.number.value) === null) return "Write a number, such as 8.5 or 3,970.";
    if (!this.unit.value) return "Choose the unit of your number, too.";
    return null;
  }

  // What a learner is told of how the answer was read.
  get note() {
    const unit = this.chosenUnit;
    if (unit.size === null) return "";
    const convention = toldOf.has(unit.note) ? "" : unit.note;
    toldOf.add(unit.note);
    return [noteOn(this.number.value.trim(), unit.thousands), convention].filter(Boolean).join("; ");
  }

  get chosenUnit() {
    return unitsOf(this.kind).find((each) => each.unit === this.unit.value);
  }

  get si() {
    const { size } = this.chosenUnit;
    return size === null ? null : readNumber(this.number.value) * size;
  }
}

class ChoiceField {
  constructor() {
    this.label = make("legend");
    this.element = make("fieldset", { className: "choices" }, this.label);
    this.name = newId();
    this.boxes = {};
  }

  relabel(field) {
    const chosen = this.typed;
    say(this.label, field.label);
    this.boxes = {};
    const rows = Object.entries(field.options).map(([name, text]) => {
      this.boxes[name] = make("input", { type: "radio", name: this.name, value: name });
      return make("label", {}, this.boxes[name], words(text));
    });
    this.element.replaceChildren(this.label, ...rows);
    this.typed = chosen;
  }

  get typed() {
    return Object.keys(this.boxes).find((name) => this.boxes[name].checked) ?? "";
  }

  set typed(name) {
    for (const [each, box] of Object.entries(this.boxes)) box.checked = each === name;
  }

  get fault() {
    return this.typed ? null : "Choose one of the answers first.";
  }

  get note() {
    return "";
  }
}

const fieldFor = (field) => (field.options ? new ChoiceField() : new NumberField());
const inBrackets = (note) => note && ` (${note[0].toUpperCase()}${note.slice(1)}.)`;

function close(fields, closed) {
  for (const field of fields) {
    for (const box of field.element.querySelectorAll("input, select")) box.disabled = closed;
  }
}

// --- a question --------------------------------------------------------------------------

function judge({ asked, others }, seed, field) {
  if (field.fault) return ["unreadable", field.fault];
  const { replies, ranges } = asked[seed];
  if (replies) return replies[field.typed];
  if (field.si === null) return others[field.unit.value];
  const [, verdict, sentence] = ranges.find(([end]) => end === null || field.si <= end);
  return [verdict, sentence.replace("{typed}", field.typed)];
}

function questionView(id) {
  const last = latest(id);
  const sets = () => data("question", id).asked;
  let seed = (last?.seed ?? 0) % sets().length;
  let checked = "";
  let hints = 0;
  const prompt = make("p", { className: "prompt" });
  const field = fieldFor(sets()[seed].field);
  const said = liveText("reply");
  const hinted = make("div", { role: "status" });

  function answer() {
    checked = field.typed;
    draw();
    const [verdict, sentence] = judge(data("question", id), seed, field);
    if (checked) record(id, { answer: checked }, verdict, seed);
    reply(said, verdict, sentence + inBrackets(verdict === "unreadable" ? "" : field.note));
  }

  function draw() {
    const asked = sets()[seed];
    say(prompt, asked.text);
    field.relabel(asked.field);
    const texts = asked.hints.slice(0, hints);
    hinted.replaceChildren(...texts.map((text) => make("p", {}, words(`Hint: ${text}`))));
    if (checked && checked === field.typed) reply(said, ...judge(data("question", id), seed, field));
    else say(said, "");
  }

  // What was answered to these numbers, which are others in the other unit system. A choice holds
  // in both.
  function takeUp() {
    const asked = sets()[seed];
    const units = asked.field.options ? {} : { units: system };
    field.relabel(asked.field);
    field.typed = latest(id, { seed, ...units })?.typed.answer ?? "";
    checked = field.typed; // as the boxes write it
    draw();
  }

  const more = () => (hints++, draw());
  const others = () => {
    seed = (seed + 1) % sets().length;
    hints = 0;
    takeUp();
  };
  drawn(takeUp);
  const form = make(
    "form",
    { className: "asked", onsubmit: (event) => (event.preventDefault(), answer()) },
    prompt,
    field.element,
    make(
      "div",
      { className: "row" },
      make("button", { type: "submit" }, "Check"),
      button("Hint", more),
      button("New numbers", others),
    ),
    said,
    hinted,
  );
  return form;
}

// --- a guess -----------------------------------------------------------------------------

const watchers = []; // of the guess of this page
const guessIsShown = (id) => ["committed", "skipped"].includes(latest(id)?.verdict);

function guessView(id, place) {
  const fields = Object.fromEntries(
    Object.entries(data("guess", id).fields).map(([name, field]) => [name, fieldFor(field)]),
  );
  const all = Object.values(fields);
  const prompt = make("p", { className: "prompt" });
  const said = liveText("reply");
  const keepIt = button("", () => (isKept() ? change() : keepGuess()));
  const showIt = button("", show);
  let changing = false;
  const isKept = () => latest(id)?.verdict === "kept" && !changing;
  const typed = () => Object.fromEntries(Object.entries(fields).map(([name, f]) => [name, f.typed]));

  function keepGuess() {
    const faulty = Object.entries(fields).find(([, field]) => field.fault);
    if (faulty) {
      const label = data("guess", id).fields[faulty[0]].label;
      return reply(said, "unreadable", `${label}: ${faulty[1].fault}`);
    }
    changing = false;
    record(id, typed(), "kept");
    draw();
  }

  function change() {
    changing = true;
    draw();
  }

  function show() {
    if (isKept()) record(id, typed(), "committed");
    else record(id, {}, "skipped");
    draw();
  }

  function draw() {
    const asked = data("guess", id);
    const verdict = latest(id)?.verdict;
    say(prompt, asked.text);
    for (const [name, field] of Object.entries(fields)) field.relabel(asked.fields[name]);
    keepIt.textContent = isKept() ? "Change my guess" : "Keep my guess";
    showIt.textContent = isKept() ? "Show the answer" : "Show without a guess";
    reply(said, verdict, changing ? "" : (asked.replies[verdict] ?? ""));
    const shown = guessIsShown(id);
    close(all, shown || isKept());
    keepIt.hidden = showIt.hidden = shown;
    place.closest("main > *").classList.toggle("waiting", !shown);
    watchers.forEach((watcher) => watcher());
  }

  for (const [name, field] of Object.entries(fields)) {
    field.relabel(data("guess", id).fields[name]);
    field.typed = latest(id)?.typed[name] ?? "";
  }
  drawn(draw);
  const boxes = all.map((field) => field.element);
  const row = make("div", { className: "row" }, keepIt, showIt);
  return make("div", { className: "asked" }, prompt, ...boxes, row, said);
}

// What the learner guessed, in a line.
function guessed() {
  for (const [id, asked] of Object.entries(page.systems[system].guess)) {
    const last = latest(id);
    if (last?.verdict !== "committed") continue;
    const lines = Object.entries(asked.fields).map(([name, field]) => {
      const typed = last.typed[name] ?? "";
      return `${field.label}: ${field.options?.[typed] ?? typed}`;
    });
    return `Your guess: ${lines.join("; ")}`;
  }
  return "";
}
