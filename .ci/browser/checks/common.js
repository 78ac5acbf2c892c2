// What every check uses. A check is a function that returns { seen: how many things it looked at, faults: [text] }.

// where names an element well enough to find it: its tag, id or class, text, and the nearest ancestor with an id.
const where = (el) => {
  const short = (s, n) => { const t = (s || '').replace(/\s+/g, ' ').trim(); return t.length > n ? t.slice(0, n) + '…' : t; };
  const cls = typeof el.className === 'string' ? el.className : el.className?.baseVal || '';
  const mark = el.id ? '#' + el.id : cls ? '.' + cls.trim().split(/\s+/).join('.') : '';
  const near = el.parentElement?.closest('[id]');
  const text = short(el.textContent, 40);
  return el.localName + mark + (text ? ' "' + text + '"' : '') + (near ? ' in #' + near.id : '');
};

const all = (selector, root = document) => [...root.querySelectorAll(selector)];

// shown tells whether the reader can see the element's box.
const shown = (el) => el.checkVisibility({ opacityProperty: true, visibilityProperty: true });

// scrolls tells whether the box scrolls sideways on its own.
const scrolls = (el) => ['auto', 'scroll'].includes(getComputedStyle(el).overflowX);

const px = (n) => n.toFixed(1) + 'px';
