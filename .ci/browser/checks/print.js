// print: on paper nothing can be scrolled or unfolded, so that every table fits and every fold is open.
() => {
  const faults = [];
  const root = document.documentElement;
  if (root.scrollWidth > root.clientWidth) faults.push('the page is ' + root.scrollWidth + 'px wide on paper of ' + root.clientWidth + 'px');
  const boxes = all('table, figure, p, li, dl, pre').filter(shown);
  for (const el of boxes) {
    const box = el.getBoundingClientRect();
    if (box.right > root.clientWidth + 1) faults.push('off the paper by ' + px(box.right - root.clientWidth) + ': ' + where(el));
  }
  for (const cell of all('td, th, caption')) {
    if (cell.scrollWidth > cell.clientWidth + 1 && cell.clientWidth) faults.push('runs over its cell by ' + px(cell.scrollWidth - cell.clientWidth) + ': ' + where(cell));
  }
  for (const fold of all('details')) {
    if (fold.closest('nav')) continue; // contents are for the screen, paper has none of them
    for (const el of [...fold.children].slice(1)) {
      if (!el.checkVisibility({ contentVisibilityAuto: true }) || el.getBoundingClientRect().height === 0) faults.push('folded away on paper: ' + where(fold));
    }
  }
  return { seen: boxes.length, faults };
}
