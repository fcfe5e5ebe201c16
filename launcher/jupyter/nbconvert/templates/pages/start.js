// Puts all that is live in its places.

const VIEWS = { guess: guessView, question: questionView, panel: panelView, survey: surveyView };

document.documentElement.classList.add("js");
document.querySelector("nav").append(unitsSwitch());
// What is folded in the course is unfolded on paper only.
const folds = [...document.querySelectorAll("details")];
const unfold = (open) => folds.forEach((fold) => (fold.open = open));
unfold(false);
addEventListener("beforeprint", () => unfold(true));
addEventListener("afterprint", () => unfold(false));
for (const place of document.querySelectorAll(".live")) {
  place.append(VIEWS[place.dataset.part](place.dataset.name, place));
}
tellWhatWasDone();
document.querySelector("main").append(savingView());
