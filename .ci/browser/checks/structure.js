// structure: one h1, headings without a jump, tables with captions and scopes, ids, links, and nothing that could run.
() => {
  const faults = [];
  const headings = all('h1, h2, h3, h4, h5, h6');
  const first = headings.filter((h) => h.localName === 'h1');
  if (first.length !== 1) faults.push('the page has ' + first.length + ' h1');
  let level = 0;
  for (const h of headings) {
    const next = Number(h.localName[1]);
    if (next > level + 1) faults.push('heading jumps from h' + level + ' to ' + where(h));
    if (!h.textContent.trim()) faults.push('empty heading: ' + where(h));
    level = next;
  }

  const tables = all('table');
  for (const t of tables) {
    if (!t.caption?.textContent.trim()) faults.push('table without a caption: ' + where(t));
    const heads = all('th', t);
    if (!heads.length) faults.push('table without th: ' + where(t));
    for (const th of heads) {
      if (!['row', 'col', 'rowgroup', 'colgroup'].includes(th.getAttribute('scope'))) faults.push('th without scope: ' + where(th));
    }
    const widths = new Set([...t.rows].map((r) => [...r.cells].reduce((n, c) => n + c.colSpan, 0)));
    if (widths.size > 1) faults.push('rows of unlike length, ' + [...widths].join(' and ') + ': ' + where(t));
  }

  const ids = new Map();
  for (const el of all('[id]')) {
    if (ids.has(el.id)) faults.push('id twice: #' + el.id);
    if (!el.id || /\s/.test(el.id)) faults.push('id that cannot be linked: "' + el.id + '"');
    ids.set(el.id, el);
  }
  for (const el of all('[aria-labelledby], [aria-describedby], [for]')) {
    for (const name of ['aria-labelledby', 'aria-describedby', 'for']) {
      for (const id of (el.getAttribute(name) || '').split(/\s+/).filter(Boolean)) {
        if (!ids.get(id)?.textContent.trim()) faults.push(name + ' to nothing, #' + id + ': ' + where(el));
      }
    }
  }
  const links = all('a');
  for (const a of links) {
    const href = a.getAttribute('href') || '';
    if (!a.textContent.trim()) faults.push('link without text: ' + href);
    if (href.startsWith('#')) {
      if (!ids.has(decodeURIComponent(href.slice(1)))) faults.push('link to nothing: ' + href);
    } else if (!/^(https?|mailto):/.test(a.protocol + '')) {
      faults.push('link that is neither of the page nor of the web: ' + href);
    }
  }

  for (const el of all('script, iframe, object, embed, form, base, link[rel=stylesheet]')) faults.push('does not belong into a report: ' + where(el));
  for (const el of all('*')) {
    for (const a of el.attributes) {
      if (/^on/i.test(a.name) || /^\s*javascript:/i.test(a.value)) faults.push('attribute that can run, ' + a.name + ': ' + where(el));
    }
  }
  if (document.compatMode !== 'CSS1Compat') faults.push('the page has no doctype');
  if (!document.documentElement.lang) faults.push('the page has no language');
  if (!document.title.trim()) faults.push('the page has no title');
  if (all('main').length !== 1) faults.push('the page has ' + all('main').length + ' main');
  return { seen: Math.min(headings.length, tables.length, ids.size, links.length), faults };
}
