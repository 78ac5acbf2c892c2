package browsercheck

import "testing"

// Picking a bed, a species or both leaves the rows that the lists promise, without any script of the page.
func TestFilter(t *testing.T) {
	path := report(t)
	p := open(t, browser(t), path, false)
	for _, width := range []int64{360, 1400} {
		p.view(t, width, "light", "")
		p.check(t, filterJS).require(t)
	}
	p.view(t, 1400, "light", "print")
	p.check(t, filterPrintJS).require(t)
	p.quiet(t, path)
}

// filterJS picks every bed with every species. A reader's pick is a change of the list's value.
const filterJS = `() => {
  const faults = [];
  const rows = all('.first tbody tr');
  const bed = document.querySelector('#pick-bed'), species = document.querySelector('#pick-species');
  if (!bed || !species) return { seen: 0, faults: ['nothing to pick from'] };
  if (!shown(bed) || !shown(species)) faults.push('the lists are not seen');
  const count = () => rows.filter(shown).length;
  let seen = 0;
  for (const b of bed.options) {
    for (const s of species.options) {
      bed.value = b.value; species.value = s.value; seen++;
      const want = rows.filter((r) => (!b.value || r.classList.contains(b.value)) && (!s.value || r.classList.contains(s.value))).length;
      if (count() !== want) faults.push(b.text + ', ' + s.text + ': ' + count() + ' rows, want ' + want);
      const told = b.value && !s.value ? b : s.value && !b.value ? s : null;
      if (told && !told.text.endsWith('(' + want + ')')) faults.push(told.text + ' leaves ' + want);
    }
  }
  bed.value = ''; species.value = '';
  if (count() !== rows.length) faults.push('all is not all');
  return { seen, faults };
}`

// filterPrintJS picks a bed and looks at the page on paper: it holds every row.
const filterPrintJS = `() => {
  const rows = all('.first tbody tr');
  const bed = document.querySelector('#pick-bed');
  bed.value = bed.options[1].value;
  const faults = rows.every(shown) ? [] : ['a picked bed hides rows on paper'];
  if (shown(bed)) faults.push('the list is printed');
  bed.value = '';
  return { seen: rows.length, faults };
}`
