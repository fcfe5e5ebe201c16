/*
 * What the widgets themselves leave out for those who use a keyboard, a screen reader or a phone.
 *
 * Every widget of a kind in FIXERS is fixed as it comes onto the page, and again whenever it
 * changes. Nothing here needs JupyterLab: any page that shows the widgets can load it.
 */
(() => {
  // Only if it differs: otherwise fixing would be a change, to be fixed for ever.
  function set(element, attribute, value) {
    if (element.getAttribute(attribute) !== value) {
      element.setAttribute(attribute, value);
    }
  }

  function labelOf(widget) {
    return widget.querySelector('.widget-label').textContent;
  }

  // A slider over a list has no name and tells its position, not its value. And what is typed
  // into its readout is taken for nothing, but stays there.
  function fixSlider(widget) {
    const handle = widget.querySelector('.noUi-handle');
    const readout = widget.querySelector('.widget-readout');
    const [, name, unit] = /^(.*?)(?: \[(.*)\])?$/.exec(labelOf(widget));
    set(handle, 'aria-label', name);
    set(handle, 'aria-valuetext', unit ? `${readout.textContent} ${unit}` : readout.textContent);
    set(readout, 'contenteditable', 'false');
  }

  // Which of the buttons is chosen is told by its color alone.
  function fixToggleButtons(widget) {
    const group = widget.querySelector(':scope > div');
    set(group, 'role', 'group');
    set(group, 'aria-label', labelOf(widget));
    for (const button of group.children) {
      set(button, 'aria-pressed', String(button.classList.contains('mod-active')));
    }
  }

  let groups = 0;

  // Without a common name, radio buttons are no group, and arrow keys do not lead through them.
  function fixRadioButtons(widget) {
    const group = widget.querySelector('.widget-radio-box');
    set(group, 'role', 'radiogroup');
    set(group, 'aria-label', labelOf(widget));
    group.dataset.name ??= `radio-${++groups}`;
    for (const option of group.querySelectorAll('input')) {
      set(option, 'name', group.dataset.name);
    }
  }

  // These buttons are icons, without a name for the ear or for the eye.
  function fixPlayer(widget) {
    const [play, stop] = widget.querySelectorAll('button');
    const names = [
      [play, play.querySelector('.fa-pause') ? 'Pause' : 'Play'],
      [stop, 'Back to the start']
    ];
    for (const [button, name] of names) {
      set(button, 'aria-label', name);
      set(button, 'title', name);
    }
  }

  // A picture has no words of its own; what it shows is always said beside it. Of two layers one says so.
  function fixPicture(image) {
    const background = image.matches('.widget-gridbox > :first-child');
    set(image, 'alt', background ? '' : 'Picture. The words beside it say what it shows.');
  }

  // What is read out when it changes must stay itself, and only its content be new.
  function fixText(widget) {
    if (!widget.classList.contains('recoverykit-live-text')) {
      return; // most texts are still; and a class comes only after its widget
    }
    set(widget.querySelector('.widget-html-content'), 'role', 'status');
    for (const inner of widget.querySelectorAll('.widget-html-content [role=status]')) {
      inner.removeAttribute('role');
      inner.removeAttribute('aria-live');
    }
  }

  // Pictures have a layout for phones, and only the page knows how wide it is.
  const narrow = matchMedia('(max-width: 600px)');

  function tellWidth(widget) {
    const box = widget.querySelector('input');
    if (widget.classList.contains('recoverykit-narrow-page') && box.checked !== narrow.matches) {
      box.click();
    }
  }

  narrow.addEventListener('change', () => {
    document.querySelectorAll('.recoverykit-narrow-page').forEach(tellWidth);
  });

  const FIXERS = {
    '.widget-checkbox': tellWidth,
    '.widget-slider': fixSlider,
    '.widget-toggle-buttons': fixToggleButtons,
    '.widget-radio': fixRadioButtons,
    '.widget-play': fixPlayer,
    '.widget-image': fixPicture,
    '.widget-html': fixText
  };
  const ALL_CHANGES = { subtree: true, childList: true, characterData: true, attributes: true };

  const fixed = new WeakSet();

  function keepFixed(widget, fix) {
    if (!fixed.has(widget)) {
      fixed.add(widget);
      fix(widget);
      new MutationObserver(() => fix(widget)).observe(widget, ALL_CHANGES);
    }
  }

  function fixAllIn(element) {
    for (const [selector, fix] of Object.entries(FIXERS)) {
      for (const widget of element.querySelectorAll(selector)) {
        keepFixed(widget, fix);
      }
    }
  }

  new MutationObserver(changes => {
    for (const parent of new Set(changes.map(change => change.target))) {
      fixAllIn(parent);
    }
  }).observe(document.body, { subtree: true, childList: true });
  fixAllIn(document.body);

  // Keys on a control or a link are for it. Otherwise JupyterLab takes arrow keys to go to another
  // cell, Enter to change its text, and single letters for commands on it.
  document.addEventListener('focusin', event => {
    if (event.target.closest('.jp-OutputArea-output, .jp-MarkdownOutput')) {
      event.target.setAttribute('data-lm-suppress-shortcuts', 'true');
    }
  });
})();
