package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"bedstock/survey"
)

// alike is problems of one kind: same file, column, severity and wording.
type alike struct {
	list []survey.Problem
	n    int // those that are only counted too
}

// kinds puts problems in the order in which they are to be mended: errors first, then what changes the numbers most, then
// what there is most of.
func kinds(found survey.Problems) []alike {
	type key struct {
		file, column, kind string
		severity           survey.Severity
	}
	at := map[key]int{}
	var out []alike
	for i, p := range found {
		k := key{p.File, p.Name, p.Kind, p.Severity}
		if p.Kind == "" {
			k.kind = fmt.Sprint(i)
		}
		n, ok := at[k]
		if !ok {
			n = len(out)
			at[k] = n
			out = append(out, alike{})
		}
		out[n].list = append(out[n].list, p)
		out[n].n += 1 + p.More
	}
	slices.SortStableFunc(out, func(a, b alike) int {
		p, q := a.list[0], b.list[0]
		return cmp.Or(cmp.Compare(p.Severity, q.Severity), cmp.Compare(touches(p), touches(q)), -cmp.Compare(a.n, b.n))
	})
	return out
}

// What a problem may change, the gravest first.
const (
	touchesStock = iota
	touchesWhich
	touchesGrowth
	touchesRest
)

// touchWords say it in the list to work through.
var touchWords = []string{"stock", "which stock", "growth and offtake", "other"}

// touches is what the cell of a problem goes into: amounts of quadrats and areas scale the stock; labels and species say
// whose stock it is; dates, cuts and plots bear on regrowth and with it on the offtake.
func touches(p survey.Problem) int {
	table := cmp.Or(p.Table, p.File)
	switch {
	case p.First, strings.HasSuffix(p.Name, "_m2"), table != "harvest.csv" && slices.Contains([]string{"biomass_g", "cover_pct", "wet_g"}, p.Name):
		return touchesStock
	case table == "quadrats.csv" && slices.Contains([]string{"bed", "stratum", "transect", "quadrat", "species", "visit"}, p.Name),
		table == "beds.csv", table == "strata.csv":
		return touchesWhich
	case p.Name == "date", p.Name == "frond_cm", slices.Contains([]string{"harvest.csv", "regrowth.csv", "events.csv", "surveys.csv", "rules.toml"}, table):
		return touchesGrowth
	}
	return touchesRest
}

// mostListed is how many problems of one kind are kept for the list.
const mostListed = 10_000

// shownAlike is how many problems of one kind are printed, the rest in a line.
const shownAlike = 3

// printKinds prints the problems in the order of work.
func printKinds(w io.Writer, all []alike) {
	for _, k := range all {
		shown := k.list[:min(shownAlike, len(k.list))]
		if k.n == shownAlike+1 {
			shown = k.list // a line for one more says less than itself
		}
		hint := ""
		for i, p := range shown {
			if i > 0 && p.Hint != hint {
				printHint(w, hint)
			}
			fmt.Fprintln(w, p.String())
			hint = p.Hint
		}
		if rest := k.list[len(shown):]; len(rest) > 0 {
			fmt.Fprintf(w, "    ... and %d more like it, in %s\n", k.n-len(shown), linesOf(rest))
		}
		printHint(w, hint)
	}
}

func printHint(w io.Writer, hint string) {
	if hint != "" {
		fmt.Fprintf(w, "    hint: %s\n", hint)
	}
}

// linesOf names the first few lines of problems.
func linesOf(ps []survey.Problem) string {
	const most = 6
	var words []string
	for _, p := range ps[:min(most, len(ps))] {
		words = append(words, fmt.Sprint(p.Line))
	}
	s := "line"
	if len(words) > 1 {
		s = "lines"
	}
	s += " " + strings.Join(words, ", ")
	if len(ps) > most {
		s += ", ..."
	}
	return s
}

// firstToDo says what to do first.
func firstToDo(all []alike) string {
	if len(all) < 2 {
		return ""
	}
	p := all[0].list[0]
	where := p.File
	if p.Line > 0 {
		where += fmt.Sprintf(" line %d", p.Line)
	}
	why := "it keeps every number back, and others may follow from it"
	if p.Severity == survey.Doubt {
		why = []string{"it changes the standing stock", "it changes which stock is counted where", "it changes regrowth and offtake",
			"the rest changes less"}[touches(p)]
	}
	return fmt.Sprintf("first: %s (%s)", where, why)
}
