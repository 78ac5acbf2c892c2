package report

import (
	"fmt"
	"math"
	"slices"

	"bedstock/model"
	"bedstock/survey"
)

// total is the sum over a shore, of a species or of all.
type total struct {
	Shore, Species string
	Beds           string // how many of how many have an advice
	Stock, SE      string
	Seasons        []string
	All            bool // the row of the whole shore
}

// unplacedLines is what was landed without a bed or species, by season and shore, as far back as the ledger is shown: no stand
// has it, and no sum of stands.
func unplacedLines(a *model.Assessment) []string {
	rows, outside := a.Unallocated()
	since := a.Folder.AsOf - LedgerYear
	var out []string
	for i := range rows {
		if r := &rows[i]; r.To >= since && r.ReturnsMg+r.CastMg > 0 {
			out = append(out, fmt.Sprintf("%s %d, %s: %s", capital(r.Season), r.From.Year(), whereFrom(r), r.Landed()))
		}
	}
	outside = slices.DeleteFunc(outside, func(u survey.Unallocated) bool { return u.To < since })
	if len(outside) > 0 {
		out = append(out, "Outside every season: "+survey.LandingWords(outside))
	}
	return out
}

func whereFrom(r *model.LedgerUnallocated) string {
	switch {
	case r.AnyShore:
		return "shore not known"
	case r.Shore == "":
		return "no shore named"
	}
	return r.Shore
}

// totals sums stocks and advice per shore and species, with a row for each shore.
func totals(a *model.Assessment) []total {
	on := map[string][]*model.Unit{}
	for i := range a.Units {
		if u := &a.Units[i]; u.Basis != nil || lastKnown(u) != nil {
			on[u.Where.Shore] = append(on[u.Where.Shore], u)
		}
	}
	var out []total
	heads := a.Uses()
	for _, shore := range append(shores(a), "") {
		var species []string
		all := on[shore]
		for _, u := range all {
			if !slices.Contains(species, u.Species) {
				species = append(species, u.Species)
			}
		}
		slices.Sort(species)
		name := ifElse(shore == "", "no shore named", shore)
		for _, sp := range species {
			out = append(out, totalOf(heads, name, sp, drop(all, func(u *model.Unit) bool { return u.Species != sp })))
		}
		if len(species) > 1 {
			t := totalOf(heads, name, "all species", all)
			t.All = true
			out = append(out, t)
		}
	}
	return out
}

func totalOf(heads []model.Use, shore, species string, units []*model.Unit) total {
	t := total{Shore: shore, Species: species}
	stock, variance, known := 0.0, 0.0, 0
	shared, part, seen := false, false, map[string]bool{}
	for _, u := range units {
		s := standing(u)
		if s == nil {
			continue
		}
		known++
		part = part || s.Status == survey.SurveyedPart
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
		t.Stock += ifElse(part, ", part only", "")
	}
	for _, head := range heads {
		t.Seasons = append(t.Seasons, seasonTotal(units, head))
	}
	return t
}

// seasonTotal sums the advice of a season, and says how many stands are missing from the sum because theirs is withheld.
func seasonTotal(units []*model.Unit, head model.Use) string {
	sum, told, withheld := 0.0, false, 0
	for _, u := range units {
		s := seasonOf(u, head)
		switch {
		case s == nil:
		case withheldAdviceOf(*s):
			withheld++
		case isNumber(s.AdvisedKg):
			sum += s.AdvisedKg
			told = true
		}
	}
	switch {
	case !told && withheld > 0:
		return "withheld"
	case !told:
		return "no advice"
	case withheld > 0:
		return fmt.Sprintf("%s without %d withheld", atMost(sum), withheld)
	}
	return atMost(sum)
}
