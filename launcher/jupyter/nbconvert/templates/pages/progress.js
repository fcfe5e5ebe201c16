// What was answered: in the browser's storage, and as a progress file.

// --- progress ----------------------------------------------------------------------------

const KEY = "recoverykit progress";
const FORMAT = { format: "recoverykit progress", version: 1 };
const NOT_KEPT =
  "This browser can't keep your answers for later (its storage is full or off). They stay here " +
  "until you close this page: save your progress first.";
const notice = make("p", { className: "notice", role: "alert" });
let unsaved = null; // the progress that the browser refused to keep
let read = { text: null }; // what was kept when last looked at, and the progress that it holds

const isText = (...all) => all.every((each) => typeof each === "string");
const isEntry = (entry) =>
  entry &&
  isText(entry.id, entry.verdict, entry.time, entry.units ?? "") &&
  Number.isInteger(entry.seed) &&
  entry.typed !== null &&
  typeof entry.typed === "object" &&
  isText(...Object.values(entry.typed));

// Throws an error that says why, for anything that neither the course nor a page wrote.
function parseProgress(text) {
  const refuse = (why) => {
    throw new Error(why);
  };
  let found;
  try {
    found = JSON.parse(text);
  } catch {
    refuse("it is cut short, or is no progress file");
  }
  if (found?.format !== FORMAT.format) refuse("it is no progress file");
  if (found.version !== FORMAT.version) refuse("it comes from another version of the course");
  if (!isText(found.learner) || !Array.isArray(found.entries)) refuse("it is not complete");
  const wrong = found.entries.findIndex((entry) => !isEntry(entry));
  if (wrong >= 0) refuse(`its entry ${wrong + 1} holds something that the course does not write`);
  return found;
}

function progress() {
  const empty = { ...FORMAT, learner: "learner", entries: [] };
  if (unsaved) return unsaved;
  let text = null;
  try {
    text = localStorage.getItem(KEY);
  } catch {
    say(notice, NOT_KEPT);
  }
  if (text === null) return empty;
  try {
    if (text !== read.text) read = { text, found: parseProgress(text) };
    return read.found;
  } catch {
    say(notice, "The answers kept in this browser were damaged. They are set aside, and a new start is made.");
    setAside(text);
    return empty;
  }
}

// A damaged text waits under a key of its own, so that a new answer does not overwrite it.
function setAside(text) {
  try {
    localStorage.setItem(`${KEY}, damaged ${new Date().toISOString()}`, text);
    localStorage.removeItem(KEY);
  } catch {
    say(notice, NOT_KEPT);
  }
}

function keep(changed) {
  try {
    localStorage.setItem(KEY, JSON.stringify(changed));
    if (unsaved) say(notice, "");
    unsaved = null;
  } catch {
    unsaved = changed;
    say(notice, NOT_KEPT);
  }
}

function record(id, typed, verdict, seed = 0) {
  const now = progress();
  const time = `${new Date().toISOString().slice(0, 19)}+00:00`;
  const others = now.entries.filter((entry) => id !== "units" || entry.id !== "units");
  keep({ ...now, entries: [...others, { id, typed, verdict, seed, time, units: system }] });
}

// The last entry for a guess or question with these fields.
const latest = (id, fields = {}) =>
  progress().entries.findLast((entry) =>
    Object.entries({ id, ...fields }).every(([name, value]) => entry[name] === value),
  );

// --- name, saving, and what was done -----------------------------------------------------

function savingView() {
  const id = newId();
  const name = make("input", { id, type: "text", maxLength: 60, autocomplete: "off" });
  const learner = progress().learner;
  name.value = learner === "learner" ? "" : learner;
  name.addEventListener("change", () => {
    const plain = name.value.replace(/[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/g, " ");
    keep({ ...progress(), learner: plain.trim().replace(/\s+/g, " ") || "learner" });
  });
  const said = liveText("reply");

  function save() {
    const text = JSON.stringify(progress(), null, 1);
    const file = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    const stem = progress().learner.toLowerCase().replace(/[^a-z0-9]+/g, "-").slice(0, 40);
    make("a", { href: file, download: `progress-${stem}.json` }).click();
    setTimeout(() => URL.revokeObjectURL(file), 60000);
    reply(said, "kept", "Your progress file is in your downloads. Give it to your trainer, or load it here later.");
  }

  async function load() {
    const [file] = chooser.files;
    try {
      const loaded = parseProgress(await file.text());
      const now = progress();
      const has = new Set(now.entries.map((entry) => JSON.stringify(entry)));
      const fresh = loaded.entries.filter((entry) => !has.has(JSON.stringify(entry)));
      const entries = [...now.entries, ...fresh].sort((a, b) => Date.parse(a.time) - Date.parse(b.time));
      keep({ ...now, learner: now.learner === "learner" ? loaded.learner : now.learner, entries });
      if (unsaved) return;
      location.reload();
    } catch (fault) {
      reply(said, "unreadable", `${file.name} could not be read: ${fault.message}. Nothing was changed.`);
    }
  }

  const chooser = make("input", { type: "file", accept: ".json", "aria-label": "A progress file", onchange: load });
  return make(
    "section",
    { className: "saving", "aria-label": "Your progress" },
    make("h2", {}, "Your progress"),
    make("p", {}, "Your answers stay in this browser, and go nowhere else."),
    make("div", { className: "field" }, make("label", { htmlFor: id }, "Your name"), name),
    make("div", { className: "row" }, button("Save my progress", save)),
    make("label", { className: "chooser" }, "Go on from a saved file: ", chooser),
    said,
    notice,
  );
}

function tellWhatWasDone() {
  for (const lesson of page.overview) {
    const link = document.querySelector(`main a[href="${CSS.escape(lesson.page)}"]`);
    const asked = lesson.questions.length;
    const right = lesson.questions.filter((id) =>
      progress().entries.some((entry) => entry.id === id && entry.verdict === "right"),
    ).length;
    const guess = lesson.guess && guessIsShown(lesson.guess) ? "guess made, " : "";
    const surveyed = latest(lesson.survey)?.verdict === "committed" ? "survey done, " : "";
    if (!right && !guess && !surveyed) continue;
    const done = `${guess}${surveyed}${right} of ${asked} questions right`;
    link.after(make("span", { className: "done" }, ` ${right === asked ? "✓ " : ""}${done} `));
  }
}
