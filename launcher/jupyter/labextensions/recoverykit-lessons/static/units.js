/*
 * Running text in the units of the lesson's switch: of "5 mph (8 km/h)" a reader sees one.
 *
 * Here each number of a pair gets its class (cells that are for one system have theirs already), and
 * each notebook its system; lesson.css hides what is for the other one. The top of a lesson tells by
 * its class which one is in use, but comes late, and goes for a moment whenever the lesson is run:
 * till then what the last one told holds. A reader who has none yet sees both.
 */
(() => {
  const NUMBER = String.raw`[\d.,½]*[\d½]`;
  const NUMBERS = String.raw`(?:${NUMBER} (?:to|and|or) )?${NUMBER}`;
  const US = String.raw`(?:mph|lbf per mph|lbf\/ft|lbf|lb|ft·lbf|ft|in)`;
  const METRIC = String.raw`(?:km\/h|kN per km\/h|kN\/m|kN|N|kg|kJ|J|cm|m)`;
  // The same stands in launcher/lesson_cells.py.
  const PAIR = new RegExp(String.raw`(?<![\d.,])(${NUMBERS} ${US}) \((${NUMBERS} ${METRIC})\)`);

  function part(text, shownIn) {
    const span = document.createElement('span');
    span.className = `recoverykit-${shownIn}`;
    span.textContent = text;
    return span;
  }

  function markPairs(text) {
    const [before, ...pieces] = text.data.split(PAIR);
    const parts = [before];
    for (let i = 0; i < pieces.length; i += 3) {
      const [us, metric, after] = pieces.slice(i, i + 3);
      parts.push(part(us, 'US'), part(' (', 'both'), part(metric, 'metric'), part(')', 'both'), after);
    }
    text.replaceWith(...parts);
  }

  function markAllIn(element) {
    for (const output of element.querySelectorAll('.jp-Notebook .jp-MarkdownOutput')) {
      const texts = document.createTreeWalker(output, NodeFilter.SHOW_TEXT);
      const pairs = [];
      while (texts.nextNode()) {
        if (PAIR.test(texts.currentNode.data)) {
          pairs.push(texts.currentNode);
        }
      }
      pairs.forEach(markPairs);
    }
  }

  const TOP = '.jp-Notebook [class*="recoverykit-in-"]';
  const TOLD = 'recoverykit-units'; // what the last one told, on this browser

  function followTop(element) {
    const [, system] = /recoverykit-in-(\w+)/.exec(element.className);
    element.closest('.jp-Notebook').dataset.units = system;
    localStorage.setItem(TOLD, system);
  }

  function followAllIn(element) {
    for (const notebook of element.querySelectorAll('.jp-Notebook:not([data-units])')) {
      notebook.dataset.units = localStorage.getItem(TOLD) ?? '';
    }
    element.querySelectorAll(TOP).forEach(followTop);
  }

  new MutationObserver(changes => {
    for (const { type, target } of changes) {
      if (type === 'attributes' && target.matches(TOP)) {
        followTop(target);
      }
    }
    const added = changes.filter(change => change.type === 'childList');
    for (const parent of new Set(added.map(change => change.target))) {
      followAllIn(parent);
      markAllIn(parent.parentElement ?? parent);
    }
  }).observe(document.body, { subtree: true, childList: true, attributeFilter: ['class'] });
  followAllIn(document.body);
  markAllIn(document.body);
})();
