package report

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"bedstock/survey"
)

// leftOut stands for the name of a person or permit in a text.
const leftOut = "(left out)"

// scrubber leaves the names of permits, observers and other people out of texts that people wrote.
type scrubber struct{ names *regexp.Regexp } // nil: there are none

func newScrubber(f *survey.Folder) scrubber {
	var names []string
	add := func(list ...string) {
		for _, s := range list {
			for part := range strings.FieldsFuncSeq(s, func(r rune) bool { return r == ';' || r == ',' }) {
				if part = strings.TrimSpace(part); part != "" {
					names = append(names, part)
				}
			}
		}
	}
	for _, p := range f.Permits {
		add(p.Permit)
	}
	for _, c := range f.Cuts {
		add(c.Permit)
	}
	for _, u := range f.Unallocated {
		add(u.Permit)
	}
	for _, d := range f.Decisions {
		add(d.Permit, d.DecidedBy)
	}
	for _, s := range f.Surveys {
		add(s.People)
	}
	for _, s := range f.SetAside {
		add(s.By)
	}
	for _, ids := range [][]uint32{f.Quadrats.Observer, f.Readings.Observer} {
		for i, id := range ids {
			if i == 0 || id != ids[i-1] {
				add(f.Names[id])
			}
		}
	}
	slices.SortFunc(names, func(x, y string) int { return cmp.Or(cmp.Compare(len(y), len(x)), strings.Compare(x, y)) })
	if names = slices.Compact(names); len(names) == 0 {
		return scrubber{}
	}
	for i, n := range names {
		names[i] = regexp.QuoteMeta(n)
	}
	return scrubber{regexp.MustCompile(`(?i)(^|[^\pL\pN])(?:` + strings.Join(names, "|") + `)($|[^\pL\pN])`)}
}

// LeaveOutNames gives texts without the names of the folder's permits, observers and other people.
func LeaveOutNames(f *survey.Folder) func(string) string { return newScrubber(f).text }

// text is a text without the names.
func (s scrubber) text(t string) string {
	if s.names == nil {
		return t
	}
	var b strings.Builder
	for { // the letter behind a name may be that before the next
		at := s.names.FindStringSubmatchIndex(t)
		if at == nil {
			return b.String() + t
		}
		b.WriteString(t[:at[3]] + leftOut)
		t = t[at[4]:]
	}
}

// weights in a text.
var weights = regexp.MustCompile(`\b` + aNumber + `( (?:kg|t)\b)|(granted )` + aNumber + `\b`)

// aNumber is a number with or without parted thousands.
const aNumber = `[0-9]+(?:[ \x{00a0}\x{202f}][0-9]{3})*(?:\.[0-9]+)?`

// hushed is a text without the weights in it, if it is about what was cut or granted.
func hushed(t string) string {
	for _, word := range []string{"cut", "granted", "take", "harvest"} {
		if strings.Contains(strings.ToLower(t), word) {
			return weights.ReplaceAllString(t, "${2}undisclosed${1}")
		}
	}
	return t
}

// landings without a bed or species in a text, as [survey.LandingWords] names them, and what may still be cut besides them.
var (
	landings    = regexp.MustCompile(aNumber + ` kg without a (?:bed or species|bed|species) \(harvest\.csv:[^)]*\)`)
	mayBeLeft   = regexp.MustCompile(`: as little as ` + aNumber + ` kg may still be cut`)
	mayBeBeyond = regexp.MustCompile(aNumber + ` kg were or may have been cut beyond the advice`)
)

// unplaced is a text that tells neither how much was landed without a bed or species nor where it stands in the file.
func unplaced(t string) string {
	t = landings.ReplaceAllString(t, "landings without a bed or species")
	t = mayBeLeft.ReplaceAllString(t, "")
	return mayBeBeyond.ReplaceAllString(t, "more was or may have been cut beyond the advice")
}

// ofPeople tells whether a warning on the survey folder is about the files that tell who cut what.
func ofPeople(warning string) bool {
	for _, file := range []string{"harvest.csv", "decisions.csv", "permits.csv", "setaside.csv", "surveys.csv", "readings.csv"} {
		if strings.HasPrefix(warning, file+":") {
			return true
		}
	}
	return false
}
