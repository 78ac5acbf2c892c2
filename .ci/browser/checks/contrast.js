// contrast: every text against what lies behind it, at least 4.5 to 1, large text 3 to 1 (WCAG 2.2, 1.4.3). Printed
// pages (PAPER) are white wherever the style does not insist on its colours.
() => {
  const faults = new Map();
  let seen = 0;
  const colour = (s) => {
    const m = /^rgba?\(([\d.]+), ([\d.]+), ([\d.]+)(?:, ([\d.]+))?\)$/.exec(s);
    return m && { r: +m[1], g: +m[2], b: +m[3], a: m[4] === undefined ? 1 : +m[4] };
  };
  const over = (top, under) => {
    const mix = (x, y) => x * top.a + y * (1 - top.a);
    return { r: mix(top.r, under.r), g: mix(top.g, under.g), b: mix(top.b, under.b), a: 1 };
  };
  const luminance = (c) => [[c.r, 0.2126], [c.g, 0.7152], [c.b, 0.0722]].reduce((sum, [v, w]) => {
    const u = v / 255;
    return sum + w * (u <= 0.04045 ? u / 12.92 : ((u + 0.055) / 1.055) ** 2.4);
  }, 0);
  const ratio = (a, b) => {
    const [x, y] = [luminance(a), luminance(b)];
    return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05);
  };
  const dark = !PAPER && matchMedia('(prefers-color-scheme: dark)').matches;
  const canvas = dark && getComputedStyle(document.documentElement).colorScheme.includes('dark') ? { r: 18, g: 18, b: 18, a: 1 } : { r: 255, g: 255, b: 255, a: 1 };

  // ground is the colour behind an element of the page: its own background over those of its ancestors.
  const known = new Map();
  const ground = (el) => {
    if (!el) return canvas;
    if (known.has(el)) return known.get(el);
    const style = getComputedStyle(el);
    let out = ground(el.parentElement);
    const drawn = !PAPER || style.printColorAdjust === 'exact';
    const own = colour(style.backgroundColor);
    if (drawn && style.backgroundImage !== 'none') out = null;
    else if (drawn && own && out) out = over({ ...own, a: own.a * Number(style.opacity) }, out);
    else if (drawn && !own) out = null;
    known.set(el, out);
    return out;
  };

  const judge = (el, style, ink, behind, what) => {
    seen++;
    if (!ink || !behind) { faults.set('colour not understood: ' + where(el), 1); return; }
    let clear = ink.a;
    for (let up = el; up; up = up.parentElement) clear *= Number(getComputedStyle(up).opacity);
    const size = parseFloat(style.fontSize);
    const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
    const got = ratio(over({ ...ink, a: clear }, behind), behind);
    if (got < (large ? 3 : 4.5)) faults.set('contrast ' + got.toFixed(2) + ' of ' + what + ': ' + where(el), 1);
  };

  // Words of the page, and those that the style itself writes before and after an element.
  for (const el of all('body, body *')) {
    if (el.closest('svg') || !shown(el)) continue;
    const style = getComputedStyle(el);
    if ([...el.childNodes].some((n) => n.nodeType === 3 && n.data.trim())) judge(el, style, colour(style.color), ground(el), 'text');
    for (const pseudo of ['::before', '::after']) {
      const p = getComputedStyle(el, pseudo);
      if (['none', 'normal', '""'].includes(p.content)) continue;
      const own = colour(p.backgroundColor), base = ground(el);
      judge(el, p, colour(p.color), own && base && over(own, base), pseudo);
    }
  }

  // Words of a figure: behind them lie the shapes drawn before them, looked for at three points of the word.
  for (const svg of all('svg').filter(shown)) {
    const shapes = [];
    const base = ground(svg.parentElement);
    const style = getComputedStyle(svg);
    const own = colour(style.backgroundColor);
    const paper = own && base && (!PAPER || style.printColorAdjust === 'exact') ? over(own, base) : base;
    for (const el of all('path, rect, circle, ellipse, polygon, text', svg)) {
      const s = getComputedStyle(el);
      if (el.localName !== 'text') {
        const fill = colour(s.fill);
        if (fill) shapes.push({ el, fill: { ...fill, a: fill.a * Number(s.fillOpacity) * Number(s.opacity) }, box: el.getBoundingClientRect(), back: el.getScreenCTM().inverse() });
        continue;
      }
      if (!el.textContent.trim()) continue;
      const box = el.getBoundingClientRect();
      for (const part of [0.1, 0.5, 0.9]) {
        const at = box.width >= box.height
          ? new DOMPoint(box.left + part * box.width, (box.top + box.bottom) / 2)
          : new DOMPoint((box.left + box.right) / 2, box.top + part * box.height);
        let behind = paper;
        for (const { el: shape, fill, box: b, back } of shapes) {
          if (at.x < b.left || at.x > b.right || at.y < b.top || at.y > b.bottom) continue;
          if (behind && shape.isPointInFill(at.matrixTransform(back))) behind = over(fill, behind);
        }
        judge(el, s, colour(s.fill), behind, 'words of a figure');
      }
    }
  }
  return { seen, faults: [...faults.keys()] };
}
