package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/survey"
)

// mostAlike is the number of stands of a bed that are not assessed for the same reason from which on they share a line.
const mostAlike = 10

// firstRow is a stand on the first screen.
type firstRow struct {
	Anchor, Bed, Species, Common string
	badge
	Stock       span
	Surveyed    string // when the stock was; empty: there is none
	StockNote   string // what must be known of it, or why there is none
	Seasons     []seasonCell
	Limits      string
	Verdict     string
	VerdictNote string
	Sentence    string
}

// seasonCell is the advice of a season in a cell.
type seasonCell struct {
	Head string // of the season
	Kg   string // with unit; empty: words only
	Note string
}

// fold stands for many stands of one bed that are not assessed for the same reason.
type fold struct {
	Anchor, Bed, Reason string
	Remedy              string // what would help; may be empty
	badge
	N       int
	Species []foldedSpecies
}

type foldedSpecies struct{ Species, Cover, Found string }

// seasonHeads names the seasons by the year in which they begin, in the order of time.
func seasonHeads(a *model.Assessment) []string {
	if len(a.Units) == 0 {
		return nil
	}
	var out []string
	for _, s := range a.Units[0].Seasons {
		out = append(out, seasonHead(s))
	}
	return out
}

func seasonHead(s model.Season) string { return fmt.Sprintf("%s %d", s.Name, s.From.Year()) }

// alike gathers, by bed and reason, the stands that are not assessed; folded tells which of them share a line.
func alike(a *model.Assessment) (folded map[int]bool, groups [][]int) {
	type key struct{ bed, reason string }
	at := map[key]int{}
	for i := range a.Units {
		u := &a.Units[i]
		if stateOf(a, u) != stateUnknown {
			continue
		}
		k := key{u.Bed, plainReason(u.Reason)}
		if _, seen := at[k]; !seen {
			at[k] = len(groups)
			groups = append(groups, nil)
		}
		groups[at[k]] = append(groups[at[k]], i)
	}
	groups = slices.DeleteFunc(groups, func(g []int) bool { return len(g) <= mostAlike })
	folded = map[int]bool{}
	for _, g := range groups {
		for _, i := range g {
			folded[i] = true
		}
	}
	return folded, groups
}

// firstScreen is the table for the manager, by what needs action, and the lines that stand for many.
func firstScreen(a *model.Assessment) (rows []firstRow, folds []fold) {
	folded, groups := alike(a)
	for _, i := range byAction(a) {
		if !folded[i] {
			rows = append(rows, firstRowOf(a, i))
		}
	}
	for _, g := range groups {
		folds = append(folds, foldOf(a, g))
	}
	return rows, folds
}

func firstRowOf(a *model.Assessment, i int) firstRow {
	u := &a.Units[i]
	r := firstRow{Anchor: unitAnchor(i), Bed: bedName(u), Species: u.Species, badge: stateOf(a, u).badge(), Sentence: summaryOf(a, u)}
	if u.Row != nil {
		r.Common = u.Row.CommonName
	}
	r.Stock, r.Surveyed, r.StockNote = stockNow(u)
	var limits []string
	for _, s := range u.Seasons {
		r.Seasons = append(r.Seasons, seasonCellOf(s))
		if l := limiting(s); !slices.Contains(limits, l) {
			limits = append(limits, l)
		}
	}
	r.Limits = strings.Join(limits, "; ")
	r.Verdict, r.VerdictNote = verdictOf(u)
	return r
}

// stockNow is the last stock that could be estimated, with when that was and what must be known of it.
func stockNow(u *model.Unit) (stock span, surveyed, note string) {
	s := lastKnown(u)
	if s == nil {
		return span{Value: "not estimable"}, "", plainReason(u.Stocks[len(u.Stocks)-1].Reason)
	}
	surveyed = s.Date.String()
	if s.Status == survey.SurveyedPart {
		note = string(s.Status)
	}
	if s.Kg.Value == 0 {
		return span{Value: "none found"}, surveyed, note
	}
	return withUnit(estimateSpan(s.Kg)), surveyed, note
}

func withUnit(s span) span {
	s.Value += " kg"
	return s
}

func seasonCellOf(s model.Season) seasonCell {
	c := seasonCell{Head: seasonHead(s)}
	switch s.Status {
	case model.Assessed:
		c.Kg = kilos(s.AdvisedKg) + " kg"
	case model.Closed, model.Resting:
		c.Kg, c.Note = "0 kg", string(s.Status)
	default:
		c.Note = "no advice"
	}
	return c
}

func verdictOf(u *model.Unit) (words, note string) {
	if u.Last == nil {
		return "no verdict", ""
	}
	words = u.Last.VerdictWords()
	if isNumber(u.Last.Ratio.Median) && u.Last.CutKg > 0 {
		note = "cut is " + number(u.Last.Ratio.Median, 2) + " times the recovery"
	}
	return words, note
}

func foldOf(a *model.Assessment, group []int) fold {
	u := &a.Units[group[0]]
	f := fold{Anchor: bedAnchor(a, u.Bed), Bed: bedName(u), Reason: plainReason(u.Reason), Remedy: remedy(u.Reason),
		badge: stateUnknown.badge(), N: len(group)}
	for _, i := range group {
		u := &a.Units[i]
		s := u.Stocks[len(u.Stocks)-1]
		row := foldedSpecies{Species: u.Species, Cover: none, Found: fmt.Sprintf("%d of %d", s.QuadratsWith, s.Quadrats)}
		if s.Cover.OK {
			row.Cover = number(s.Cover.Value, 2) + " %"
		}
		f.Species = append(f.Species, row)
	}
	return f
}

// counts says how many stands are in each state, most pressing first.
func counts(a *model.Assessment) []count {
	n := map[state]int{}
	for i := range a.Units {
		n[stateOf(a, &a.Units[i])]++
	}
	var out []count
	for s := stateAbove; s <= stateOpen; s++ {
		if n[s] > 0 {
			out = append(out, count{s.badge(), n[s]})
		}
	}
	return out
}

// advice is the advice for the whole shore in one sentence.
func advice(a *model.Assessment) string {
	if len(a.Units) == 0 {
		return "Nothing was found on any bed, so no amount can be advised."
	}
	total, beds := 0.0, map[string]bool{}
	bySeason := map[string]float64{}
	n := map[state]int{}
	for i := range a.Units {
		u := &a.Units[i]
		n[stateOf(a, u)]++
		for _, s := range u.Seasons {
			if s.Status == model.Assessed {
				total += s.AdvisedKg
				bySeason[seasonHead(s)] += s.AdvisedKg
				if s.AdvisedKg > 0 {
					beds[u.Bed] = true
				}
			}
		}
	}
	rest := unassessed(a)
	switch {
	case total > 0:
		var parts []string
		for _, h := range seasonHeads(a) {
			if kg, ok := bySeason[h]; ok {
				parts = append(parts, fmt.Sprintf("%s kg in %s", kilos(kg), h))
			}
		}
		return fmt.Sprintf("At most %s, from %d of %s together%s.", listed(parts), len(beds),
			plural(len(a.Folder.Beds), "bed", "beds"), rest)
	case n[stateUnknown] == len(a.Units):
		return fmt.Sprintf("No amount can be advised for any of the %s: %s.", plural(len(a.Units), "stand", "stands"), commonReason(a))
	}
	return "Nothing should be cut this year" + rest + "."
}

// unassessed goes on with a sentence: which stands are closed or not assessed.
func unassessed(a *model.Assessment) string {
	closed, unknown := 0, 0
	for i := range a.Units {
		switch stateOf(a, &a.Units[i]) {
		case stateClosed, stateResting:
			closed++
		default:
			if a.Units[i].Status == model.NotAssessed {
				unknown++
			}
		}
	}
	out := ""
	if closed > 0 {
		out += fmt.Sprintf("; %d of %d stands are closed or resting", closed, len(a.Units))
	}
	if unknown > 0 {
		out += fmt.Sprintf("; for %d of %d too little is known", unknown, len(a.Units))
	}
	return out
}

// commonReason is why most stands are not assessed.
func commonReason(a *model.Assessment) string {
	n := map[string]int{}
	best := ""
	for i := range a.Units {
		r := plainReason(a.Units[i].Reason)
		if n[r]++; n[r] > n[best] {
			best = r
		}
	}
	if n[best] < len(a.Units) {
		return "mostly: " + best
	}
	return best
}

// total is the sum over a shore, of a species or of all.
type total struct {
	Shore, Species string
	Beds           string // how many of how many have an advice
	Stock, SE      string
	Seasons        []string
	All            bool // the row of the whole shore
}

// totals sums stocks and advice per shore and species, with a row for each shore.
func totals(a *model.Assessment) []total {
	var out []total
	for _, shore := range append(shores(a), "") {
		var species []string
		var all []*model.Unit
		for i := range a.Units {
			u := &a.Units[i]
			if u.Where.Shore != shore || u.Basis == nil && lastKnown(u) == nil {
				continue
			}
			all = append(all, u)
			if !slices.Contains(species, u.Species) {
				species = append(species, u.Species)
			}
		}
		slices.Sort(species)
		name := ifElse(shore == "", "no shore named", shore)
		for _, sp := range species {
			out = append(out, totalOf(a, name, sp, slices.DeleteFunc(slices.Clone(all), func(u *model.Unit) bool { return u.Species != sp })))
		}
		if len(species) > 1 {
			t := totalOf(a, name, "all species", all)
			t.All = true
			out = append(out, t)
		}
	}
	return out
}

func totalOf(a *model.Assessment, shore, species string, units []*model.Unit) total {
	t := total{Shore: shore, Species: species}
	stock, variance, known := 0.0, 0.0, 0
	shared, seen := false, map[string]bool{}
	for _, u := range units {
		s := lastKnown(u)
		if s == nil {
			continue
		}
		known++
		stock += s.Kg.Value
		variance += s.Kg.SE * s.Kg.SE
		for _, e := range s.Shared {
			shared = shared || seen[e.ID]
			seen[e.ID] = true
		}
	}
	assessed := 0
	for _, u := range units {
		if u.Status == model.Assessed {
			assessed++
		}
	}
	t.Beds = fmt.Sprintf("%d of %d", assessed, len(units))
	t.Stock, t.SE = none, "not given"
	if known > 0 {
		t.Stock = kilos(stock)
		if se := math.Sqrt(variance); !shared && isNumber(se) {
			t.Stock, t.SE = spanOf(stock, stock-2*se, stock+2*se).Value, kilos(se)
		}
	}
	for k := range seasonHeads(a) {
		t.Seasons = append(t.Seasons, seasonTotal(units, k))
	}
	return t
}

// seasonTotal sums the advice of the k-th season.
func seasonTotal(units []*model.Unit, k int) string {
	sum, told := 0.0, false
	for _, u := range units {
		if k < len(u.Seasons) && isNumber(u.Seasons[k].AdvisedKg) {
			sum += u.Seasons[k].AdvisedKg
			told = true
		}
	}
	if !told {
		return "no advice"
	}
	return kilos(sum)
}
