package survey

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// sites are the lines where one thing was met, in the order of the file.
type sites struct {
	lines []int
	n     int
}

// maxSites is how many lines are named beside the first.
const maxSites = 5

func (s *sites) add(line int) {
	s.n++
	if len(s.lines) <= maxSites {
		s.lines = append(s.lines, line)
	}
}

// also names the lines after the first: "; also in lines 4, 7 and 9".
func (s *sites) also() string {
	rest := s.lines[1:]
	if len(rest) == 0 {
		return ""
	}
	words := make([]string, len(rest), len(rest)+1)
	for i, line := range rest {
		words[i] = fmt.Sprint(line)
	}
	if more := s.n - len(s.lines); more > 0 {
		words = append(words, fmt.Sprintf("%d more", more))
	}
	return "; also in " + plural("line", s.n-1) + " " + enumerate(words)
}

// fold gathers like things, each once, in the order in which they were met.
type fold[K comparable] struct {
	keys []K
	at   map[K]*sites
}

func (g *fold[K]) add(key K, line int) {
	s := g.at[key]
	if s == nil {
		if g.at == nil {
			g.at = map[K]*sites{}
		}
		s = &sites{}
		g.at[key] = s
		g.keys = append(g.keys, key)
	}
	s.add(line)
}

// each calls do with every thing, the line where it was met first, and the others in words.
func (g *fold[K]) each(do func(key K, line int, also string)) {
	for _, k := range g.keys {
		s := g.at[k]
		do(k, s.lines[0], s.also())
	}
}

// some names the first few words and counts the rest.
func some(words []string, most int) string {
	if len(words) <= most+1 {
		return enumerate(words)
	}
	return enumerate(append(slices.Clone(words[:most]), fmt.Sprintf("%d more", len(words)-most)))
}

// listed is a list of the first few words.
func listed(words []string, most int) string {
	if len(words) > most {
		words = append(slices.Clone(words[:most]), "...")
	}
	return strings.Join(words, ", ")
}

// meant is a hint with the name that was perhaps meant.
func meant(name string, names []string) string {
	if clean := unhidden(name); clean != name && slices.Contains(names, clean) {
		return "did you mean " + clean + "? The name here has a letter that cannot be seen: type it anew"
	}
	if best := nearest(name, names); best != "" {
		return "did you mean " + best + "?"
	}
	return ""
}

// unhidden is a text without letters that cannot be seen, as marks of byte order and joiners.
func unhidden(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, s)
}

// nearest is the name that was perhaps meant: one that differs in case and blanks only, else by a letter or two. Names
// of up to three letters, and names that differ in a number, are not guessed at.
func nearest(name string, names []string) string {
	key := foldSpecies(name)
	best, least := "", 1+min(2, len(key)/4)
	if len(key) <= 3 {
		least = 1
	}
	for _, n := range names {
		other := foldSpecies(n)
		d := editDistance(key, other)
		if swapped(key, other) {
			d = 1
		}
		if d < least && digits(key) == digits(other) {
			best, least = n, d
		}
	}
	return best
}

// swapped says whether two texts differ in the order of two neighbours.
func swapped(a, b string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range len(a) - 1 {
		if a[i] != b[i] {
			return a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
		}
	}
	return false
}

// digits are the digits of a text alone.
func digits(s string) string {
	return strings.Map(func(r rune) rune {
		if '0' <= r && r <= '9' {
			return r
		}
		return -1
	}, s)
}

// plural puts a noun in the plural but for 1.
func plural(noun string, n int) string {
	if n == 1 {
		return noun
	}
	return noun + "s"
}
