/*
 * A JupyterLab extension written by hand: no build step, no other files than those beside this one.
 *
 * It runs a lesson as soon as it is opened, but only one that asks for it in its metadata
 * ("recoverykit": {"run_on_open": true}) and whose code is exactly the course's own. Anything
 * else, such as a notebook that somebody sent, waits for the reader to run it. And it says so when
 * what stood behind a page has gone, because the page itself still looks alive.
 */
(() => {
  const NAME = 'recoverykit-lessons';

  const STOPPED =
    'This lesson has stopped: its sliders and buttons do nothing now. What you answered before ' +
    'is kept. Press "Run the lesson" to go on.';
  const NOT_STARTED =
    'This lesson does not start by itself: its address begins with "http:", and there the browser ' +
    'does not let the page find out whether it is the course\'s own. Is it from somebody whom you ' +
    'trust? Then press "Run the lesson".';
  const STARTING_AGAIN =
    'This lesson was not on show for a while. It starts again: please wait a few seconds. What you ' +
    'answered before is kept.';
  const LOST =
    'This page has lost the course: what you do on it now is not kept. What you answered before ' +
    'is. If the course has ended, start it again. Then load this page again.';

  const LEFT_FOR = 30 * 60 * 1000; // as cull_idle_timeout in jupyter_server_config.json

  // Somewhat less than a message to the kernel may hold: websocket_max_message_size, there too.
  const LARGEST_FILE = 250_000_000;
  const TOO_LARGE =
    'is far too large for a log of pulls, and was not opened. Save the pulls alone as CSV, and ' +
    'choose that file.';

  const pageConfig = JSON.parse(
    document.getElementById('jupyter-config-data').textContent
  );

  function asksToRun(notebook) {
    return notebook.model.getMetadata('recoverykit')?.run_on_open === true;
  }

  // The same sum as code_hash() in launcher/lesson_copies.py, which lists the course's own lessons.
  async function codeHash(notebook) {
    const sources = notebook.widgets
      .filter(cell => cell.model.type === 'code')
      .map(cell => cell.model.sharedModel.source);
    const bytes = new TextEncoder().encode(sources.join('\0'));
    const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
    return [...digest].map(byte => byte.toString(16).padStart(2, '0')).join('');
  }

  async function isCourseCode(notebook) {
    const known = pageConfig.courseLessonCode ?? [];
    return known.includes(await codeHash(notebook));
  }

  function kernelIsIdle(sessionContext) {
    return new Promise(resolve => {
      const check = () => {
        if (sessionContext.session?.kernel?.status === 'idle') {
          sessionContext.statusChanged.disconnect(check);
          resolve();
        }
      };
      sessionContext.statusChanged.connect(check);
      check();
    });
  }

  // The last cell of a lesson tries its panels at all their limits: for tests, not for readers.
  function isCheckOfThePanels(cell) {
    return (cell.model.getMetadata('tags') ?? []).includes('drive-panels');
  }

  // Unlike JupyterLab's own "run all" this waits for the kernel, which may still be starting,
  // and leaves the page where it is instead of jumping to the last cell.
  async function runLesson(panel, NotebookActions) {
    const { content: notebook, context, sessionContext } = panel;
    await context.ready;
    await sessionContext.ready;
    await kernelIsIdle(sessionContext);
    const cells = notebook.widgets.filter(cell => !isCheckOfThePanels(cell));
    await NotebookActions.runCells(notebook, cells, sessionContext);
    placeForTrouble(panel, 'stopped').textContent = '';
  }

  // What is not the course's own is not run, and the page says `otherwise`.
  async function runWhenOpened(panel, NotebookActions, otherwise = '') {
    await panel.context.ready;
    if (!asksToRun(panel.content)) {
      return;
    }
    if (!crypto.subtle) {
      // Browsers give it to pages from this machine, and to https.
      placeForTrouble(panel, 'stopped').textContent = NOT_STARTED;
    } else if (await isCourseCode(panel.content)) {
      await runLesson(panel, NotebookActions);
    } else {
      placeForTrouble(panel, 'stopped').textContent = otherwise;
    }
  }

  // Cells that are for one unit system alone: see units.js.
  async function markSystems(panel) {
    await panel.context.ready;
    for (const cell of panel.content.widgets) {
      const tags = cell.model.getMetadata('tags') ?? [];
      for (const system of ['US', 'metric'].filter(name => tags.includes(name))) {
        cell.addClass(`recoverykit-${system}`);
      }
    }
  }

  function addPlace(node, name) {
    const place = document.createElement('div');
    place.className = `${NAME}-${name}`;
    place.setAttribute('role', 'alert');
    node.append(place);
    return place;
  }

  function placeForTrouble(panel, name) {
    return panel.node.querySelector(`.${NAME}-${name}`);
  }

  function sayWhenItStops(panel) {
    const stopped = addPlace(panel.node, 'stopped');
    const lost = addPlace(panel.node, 'lost');
    panel.sessionContext.statusChanged.connect((_, status) => {
      if (['restarting', 'autorestarting', 'dead'].includes(status)) {
        stopped.textContent = STOPPED;
      }
    });
    let wasConnected = false;
    panel.sessionContext.connectionStatusChanged.connect((_, status) => {
      const connected = status === 'connected';
      lost.textContent = wasConnected && !connected ? LOST : '';
      wasConnected ||= connected;
    });
  }

  // JupyterLab keeps a page that was left by a link, and its kernel. A lesson that was not on show
  // for long lets go of its kernel, which the server then ends, as one that no page has open.
  function letGoWhenLeft(panel, NotebookActions) {
    const { sessionContext } = panel;
    let timer = null;
    let left = false;

    function letGo() {
      left = asksToRun(panel.content);
      if (left) {
        sessionContext.session?.dispose();
        placeForTrouble(panel, 'lost').textContent = '';
      }
    }

    async function startAgain() {
      left = false;
      placeForTrouble(panel, 'stopped').textContent = STARTING_AGAIN;
      await sessionContext.startKernel();
      if (sessionContext.session) {
        await runWhenOpened(panel, NotebookActions, STOPPED);
      } else {
        placeForTrouble(panel, 'lost').textContent = LOST;
      }
    }

    function follow() {
      if (!panel.isVisible) {
        timer ??= setTimeout(letGo, LEFT_FOR);
        return;
      }
      clearTimeout(timer);
      timer = null;
      if (left) {
        void startAgain();
      }
    }

    // JupyterLab's own signal tells which page has the focus, which is not always the one on show.
    new MutationObserver(follow).observe(panel.node, { attributeFilter: ['class'] });
    panel.disposed.connect(() => clearTimeout(timer));
  }

  // Outside a box a key alone, such as b, x or d d, would add, cut and delete cells.
  function ignoreSingleKeys() {
    window.addEventListener('keydown', event => {
      const alone = event.key.length === 1 && !event.ctrlKey && !event.altKey && !event.metaKey;
      const inBox = event.target.matches('input, select, textarea, [contenteditable="true"]');
      if (alone && event.key !== ' ' && !inBox && event.target.closest('.jp-Notebook')) {
        event.stopImmediatePropagation();
      }
    }, true);
  }

  // A file that no message to the kernel holds would be lost in silence.
  function refuseTooLargeFiles() {
    let button;

    function check(event) {
      const [file] = event.target.files;
      const row = button.parentElement;
      const place = row.querySelector(`.${NAME}-too-large`) ?? addPlace(row, 'too-large');
      const tooLarge = file && file.size > LARGEST_FILE;
      place.textContent = tooLarge ? `${file.name} ${TOO_LARGE}` : '';
      if (tooLarge) {
        event.stopImmediatePropagation();
      }
    }

    document.addEventListener('click', event => {
      button = event.target.closest('.widget-upload');
    }, true);
    // The box for the file never stands on the page: its button clicks it.
    const click = HTMLInputElement.prototype.click;
    HTMLInputElement.prototype.click = function () {
      if (button && this.type === 'file') {
        this.addEventListener('change', check, true);
      }
      click.call(this);
    };
  }

  // JupyterLab writes the page that it shows into the address, once more if it stands there
  // already. And it does not show a page to which the reader goes back.
  function followBackAndForward(app) {
    const pushState = history.pushState.bind(history);
    history.pushState = (state, title, url) => {
      if (new URL(url, location.href).href !== location.href) {
        pushState(state, title, url);
      }
    };
    window.addEventListener('popstate', () => {
      const [, path] = /\/tree\/(.+)/.exec(location.pathname) ?? [];
      if (path) {
        // As a click on a link to it.
        void app.commands.execute('rendermime:handle-local-link', { path: decodeURIComponent(path) });
      }
    });
  }

  function addFiles() {
    const folder = `${pageConfig.fullLabextensionsUrl}/${NAME}/static`;
    const link = document.createElement('link');
    link.rel = 'stylesheet';
    link.href = `${folder}/lesson.css`;
    document.head.append(link);
    for (const file of ['accessible.js', 'units.js']) {
      const script = document.createElement('script');
      script.src = `${folder}/${file}`;
      document.head.append(script);
    }
  }

  let shared; // the modules that JupyterLab shares with its extensions

  async function sharedModule(name) {
    const [provided] = Object.values(shared[name]);
    return (await provided.get())();
  }

  async function plugin() {
    const { INotebookTracker, NotebookActions } = await sharedModule('@jupyterlab/notebook');
    return {
      id: `${NAME}:plugin`,
      autoStart: true,
      requires: [INotebookTracker],
      activate: (app, tracker) => {
        addFiles();
        followBackAndForward(app);
        ignoreSingleKeys();
        refuseTooLargeFiles();
        app.commands.addCommand(`${NAME}:run`, {
          label: 'Run the lesson',
          execute: () => runLesson(tracker.currentWidget, NotebookActions)
        });
        tracker.widgetAdded.connect((_, panel) => {
          sayWhenItStops(panel);
          letGoWhenLeft(panel, NotebookActions);
          void markSystems(panel);
          void runWhenOpened(panel, NotebookActions);
        });
      }
    };
  }

  window._JUPYTERLAB = window._JUPYTERLAB ?? {};
  window._JUPYTERLAB[NAME] = {
    init: scope => {
      shared = scope;
    },
    get: async () => {
      const lessonPlugin = await plugin();
      return () => ({ __esModule: true, default: lessonPlugin });
    }
  };
})();
