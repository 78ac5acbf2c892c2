package report

import (
	"fmt"
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
	Class                        string // by which the finder knows its bed and species
	Badges                       []badge
	Stock                        span
	Surveyed                     string // when the stock was; empty: there is none
	StockNote                    string // what must be known of it, or why there is none
	Seasons                      []seasonCell
	Limits                       string
	Risk, RiskAsCut              string
	Verdict                      string
	VerdictNote                  string
	Sentence                     string
}

// seasonCell is the advice of a season in a cell.
type seasonCell struct {
	Head string // of the season
	Kg   string // with unit; empty: words only
	Note string
	Use  []string // what is granted, cut and may still be cut
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

// seasonHeads names the seasons of all stands, in the order of time; species may have their own, of the same name too.
func seasonHeads(a *model.Assessment) []string {
	var out []string
	for _, use := range a.Uses() {
		out = append(out, use.Title())
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
	heads := a.Uses()
	for _, i := range byAction(a) {
		if !folded[i] {
			rows = append(rows, firstRowOf(a, i, heads))
		}
	}
	for _, g := range groups {
		folds = append(folds, foldOf(a, g))
	}
	return rows, folds
}

func firstRowOf(a *model.Assessment, i int, heads []model.Use) firstRow {
	u := &a.Units[i]
	r := firstRow{Anchor: unitAnchor(i), Bed: bedName(u), Species: u.Species, Badges: badgesOf(a, u), Sentence: summaryOf(a, u)}
	if u.Row != nil {
		r.Common = u.Row.CommonName
	}
	r.Stock, r.Surveyed, r.StockNote = stockNow(u)
	var limits []string
	for _, head := range heads {
		cell := seasonCell{Note: "no season for it"}
		if s := seasonOf(u, head); s != nil {
			cell = seasonCellOf(a, *s)
		}
		cell.Head = head.Title()
		r.Seasons = append(r.Seasons, cell)
	}
	for _, s := range u.Seasons {
		if l := limiting(s); !slices.Contains(limits, l) {
			limits = append(limits, l)
		}
	}
	r.Limits = strings.Join(limits, "; ")
	r.Risk, r.RiskAsCut = riskOf(u), RiskAsCut(a, u)
	r.Verdict, r.VerdictNote = verdictOf(u)
	return r
}

// riskOf is the highest risk of the advices behind a stand's seasons; empty where there is none.
func riskOf(u *model.Unit) string {
	most := -1.0
	for _, s := range u.Seasons {
		if s.Status == model.Assessed && s.Year != nil && s.Year.Risk > most {
			most = s.Year.Risk
		}
	}
	if most < 0 {
		return ""
	}
	return model.RiskWords(most)
}

// stockNow is the stock that the advice rests on, else the last that could be estimated, with when that was and what must
// be known of it. Where the last survey reached a part of the bed only, it is that of the whole bed before.
func stockNow(u *model.Unit) (stock span, surveyed, note string) {
	s, last := standing(u), u.Stocks[len(u.Stocks)-1]
	if s == nil {
		return span{Value: "not estimable"}, "", plainReason(last.Reason)
	}
	surveyed = s.Date.String()
	switch {
	case s.Status == survey.SurveyedPart:
		note = joinNotes(string(s.Status), s.Reason)
	case last.Date > s.Date && last.Status == survey.SurveyedPart:
		note = "whole bed; survey " + last.Survey + " " + plainReason(last.Reason)
	case last.Date > s.Date && !last.Kg.OK:
		note = joinNotes(last.Survey, last.Reason)
	}
	if s.Kg.Value == 0 {
		return span{Value: "none found"}, surveyed, note
	}
	return withUnit(estimateSpan(s.Kg)), surveyed, note
}

func joinNotes(head, reason string) string {
	if reason == "" {
		return head
	}
	return head + ": " + plainReason(reason)
}

func withUnit(s span) span {
	s.Value += " kg"
	return s
}

func seasonCellOf(a *model.Assessment, s model.Season) seasonCell {
	c := seasonCell{Use: useOf(s)}
	switch s.Status {
	case model.Assessed:
		c.Kg = kilos(s.AdvisedKg) + " kg"
		if s.ShutOn(a.Folder.AsOf) {
			c.Note = "closed today"
		}
	case model.Closed, model.Resting:
		c.Kg, c.Note = "0 kg", string(s.Status)
	default:
		c.Note = ifElse(withheldAdviceOf(s), "withheld", "no advice")
	}
	return c
}

// useOf says what of a season is granted, cut and may still be cut; nil where nothing is granted and nothing cut.
func useOf(s model.Season) []string {
	var parts []string
	if s.GrantedKg > 0 {
		parts = append(parts, "granted "+kilos(s.GrantedKg))
	}
	if s.CutKg > 0 {
		parts = append(parts, "cut "+kilos(s.CutKg))
	}
	if len(parts) > 0 && isNumber(s.LeftKg()) && s.Status == model.Assessed {
		parts = append(parts, "may still cut "+atMost(s.LeftKg()))
	}
	if len(parts) > 0 && s.UnallocatedKg > 0 {
		parts = append(parts, "perhaps cut besides "+kilos(s.UnallocatedKg))
	}
	return parts
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
	f := fold{Anchor: bedAnchor(a, u.Bed), Bed: bedName(u), Reason: plainReason(u.Reason), Remedy: model.NextUnknown(u.Reason),
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
