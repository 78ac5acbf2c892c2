// figures: every svg is seen, lies in its figure's box, has a name and a description, and its words are whole and apart.
() => {
  const faults = [];
  const figures = all('svg');
  for (const svg of figures) {
    const box = svg.getBoundingClientRect();
    const frame = svg.closest('figure')?.getBoundingClientRect();
    if (!frame) faults.push('svg outside a figure: ' + where(svg));
    if (!shown(svg) || box.width <= 0 || box.height <= 0) { faults.push('figure not visible: ' + where(svg)); continue; }
    const pushed = svg.closest('.scroll'); // where it is narrow a figure is pushed sideways in a frame of its own
    const right = pushed ? pushed.getBoundingClientRect().left + pushed.scrollWidth : frame?.right;
    if (frame && (box.left < frame.left - 0.5 || box.right > right + 0.5 || box.top < frame.top - 0.5 || box.bottom > frame.bottom + 0.5)) {
      faults.push('figure outside its box: ' + where(svg));
    }
    if (svg.closest('figure') && !svg.closest('figure').querySelector('figcaption')?.textContent.trim()) faults.push('figure without a caption: ' + where(svg));

    if (svg.getAttribute('role') !== 'img') faults.push('figure without role=img: ' + where(svg));
    const named = (svg.getAttribute('aria-labelledby') || '').split(/\s+/);
    for (const part of ['title', 'desc']) {
      const el = svg.querySelector(':scope > ' + part);
      if (!el?.textContent.trim()) faults.push('figure without a ' + part + ': ' + where(svg));
      else if (!named.includes(el.id)) faults.push('figure not named by its ' + part + ': ' + where(svg));
    }

    const words = all('text', svg).filter((t) => t.textContent.trim()).map((t) => ({ t, b: t.getBoundingClientRect() }));
    const scale = box.width / (svg.viewBox.baseVal?.width || box.width);
    for (const { t } of words) {
      const size = parseFloat(getComputedStyle(t).fontSize) * scale;
      if (size < 8.99) faults.push('letters of ' + px(size) + ' in a figure: ' + where(t));
    }
    for (const { t, b } of words) {
      const out = Math.max(box.left - b.left, b.right - box.right, box.top - b.top, b.bottom - box.bottom);
      if (out > 1) faults.push('words cut off at the edge by ' + px(out) + ': ' + where(t));
    }
    // A box of text has room above and below its letters, so that neighbours may share a third of a line's height.
    words.forEach((a, i) => words.slice(i + 1).forEach((c) => {
      const x = Math.min(a.b.right, c.b.right) - Math.max(a.b.left, c.b.left);
      const y = Math.min(a.b.bottom, c.b.bottom) - Math.max(a.b.top, c.b.top);
      const line = Math.min(a.b.width, a.b.height, c.b.width, c.b.height);
      if (x > line / 3 && y > line / 3) faults.push('words over each other: ' + where(a.t) + ' and "' + c.t.textContent.trim() + '"');
    }));
  }
  return { seen: figures.length, faults };
}
