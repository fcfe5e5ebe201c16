// The survey of ideas, before and after.

function surveyView(occasion) {
  const asked = () => data("survey", occasion);
  const fields = asked().ideas.map(() => new ChoiceField());
  const said = liveText("reply");
  const changes = make("div");
  const keepIt = make("button", { type: "submit" }, "Keep my answers");
  const chosenIn = (id) =>
    progress().entries.find((entry) => entry.id === id && entry.verdict === "committed")?.typed;
  const prompts = asked().ideas.map(() => make("p", { className: "prompt" }));

  function answer() {
    const ideas = asked().ideas;
    const typed = {};
    ideas.forEach((idea, i) => fields[i].typed && (typed[idea.id] = fields[i].typed));
    const missing = ideas.flatMap((idea, i) => (fields[i].typed ? [] : [i + 1]));
    const verdict = missing.length ? "incomplete" : "committed";
    if (Object.keys(typed).length) record(asked().id, typed, verdict);
    draw();
    if (missing.length) reply(said, verdict, asked().missing.replace("{missing}", missing.join(", ")));
  }

  function draw() {
    const kept = chosenIn(asked().id);
    const typed = kept ?? latest(asked().id)?.typed ?? {};
    asked().ideas.forEach((idea, i) => {
      say(prompts[i], idea.text);
      fields[i].relabel(idea.field);
      fields[i].typed = typed[idea.id] ?? "";
    });
    close(fields, Boolean(kept));
    keepIt.hidden = Boolean(kept);
    if (kept) reply(said, "committed", asked().kept);
    if (kept && asked().words) compare(kept);
  }

  function compare(now) {
    const { before: id, right, words: told, explained, summaries, ideas, kept } = asked();
    const before = chosenIn(id);
    const count = (all) => ideas.filter((idea) => all[idea.id] === right[idea.id]).length;
    const row = summaries[before ? count(before) : summaries.length - 1];
    reply(said, "committed", `${kept} ${row[count(now)]}`);
    changes.replaceChildren(
      ...ideas.flatMap((idea) => {
        const isRight = [before ?? {}, now].map((all) => all[idea.id] === right[idea.id]);
        const option = (all) => idea.field.options[all?.[idea.id]] ?? "(not asked)";
        const sign = isRight[1] ? "✓" : "✗";
        return [
          make("h3", {}, idea.field.label),
          make("p", {}, `Before the course: ${words(option(before))}`),
          make("p", {}, `Now: ${words(option(now))} `, make("b", {}, `${sign} ${told[isRight.join(", ")]}`)),
          make("p", {}, `What the course says: ${words(explained[idea.id])}`),
        ];
      }),
    );
  }

  drawn(draw);
  const items = fields.map((field, i) => make("div", { className: "asked" }, prompts[i], field.element));
  const submit = (event) => (event.preventDefault(), answer());
  return make("form", { onsubmit: submit }, ...items, keepIt, said, changes);
}
