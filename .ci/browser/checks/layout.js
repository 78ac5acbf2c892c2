// layout: nothing makes the page as a whole scroll sideways, and nothing is cut off or runs over its neighbour.
() => {
  const faults = [];
  const root = document.documentElement;
  const width = root.clientWidth;
  if (innerWidth !== SCREEN) faults.push('the page lays itself out for ' + innerWidth + 'px');
  for (const el of [root, document.body]) {
    if (['hidden', 'clip'].includes(getComputedStyle(el).overflowX)) faults.push('what is too wide is hidden by ' + el.localName);
  }
  const wide = Math.max(root.scrollWidth, document.body.scrollWidth);
  if (wide > width) faults.push('the page scrolls sideways: ' + wide + 'px of content');

  const boxes = all('body *').filter((el) => !el.closest('svg') || el.localName === 'svg').filter(shown);
  for (const el of boxes) {
    const box = el.getBoundingClientRect();
    const style = getComputedStyle(el);
    let inside = false;
    for (let up = el.parentElement; up && up !== document.body; up = up.parentElement) inside ||= scrolls(up);
    if (!inside && box.width && box.right > width + 0.5) faults.push('sticks out to the right by ' + px(box.right - width) + ': ' + where(el));
    if (!inside && box.right > 0 && box.left < -0.5) faults.push('sticks out to the left: ' + where(el));
    if (['hidden', 'clip'].includes(style.overflowX) && el.scrollWidth > el.clientWidth + 1) faults.push('text cut off: ' + where(el));
    if (['TD', 'TH', 'CAPTION', 'DD', 'LI'].includes(el.tagName) && el.scrollWidth > el.clientWidth + 1 && el.clientWidth && !el.querySelector('svg, table')) {
      faults.push('runs over its cell by ' + px(el.scrollWidth - el.clientWidth) + ': ' + where(el));
    }
    if (scrolls(el) && el.scrollWidth > el.clientWidth + 1 && el.tabIndex < 0) faults.push('scrolls by mouse only: ' + where(el));
  }
  return { seen: boxes.length, faults };
}
