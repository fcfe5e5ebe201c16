// What moves and answers on an exported page. It computes no physics and judges no answer: all that
// it can show or say came with the page, as data. Text goes onto the page through textContent only.
"use strict";

const page = JSON.parse(document.getElementById("course-data").textContent);
if (page.version !== 1) throw new Error(`This page has data of version ${page.version}.`);

// --- words and elements ------------------------------------------------------------------

// A number stays on a line with its unit.
const words = (text) => text.replace(/([0-9]) (?=\S)/g, "$1\u00a0");

function make(tag, looks = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(looks)) {
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name in element && !name.startsWith("aria")) element[name] = value;
    else element.setAttribute(name, value);
  }
  element.append(...children);
  return element;
}

let ids = 0;
const newId = () => `live-${++ids}`;
const say = (element, text) => (element.textContent = words(text));
const button = (label, onclick) => make("button", { type: "button", onclick }, label);
const liveText = (className) => make("p", { className, role: "status" });

function reply(element, verdict, sentence) {
  element.classList.toggle("well", ["right", "committed", "kept", "skipped"].includes(verdict));
  say(element, sentence);
}
