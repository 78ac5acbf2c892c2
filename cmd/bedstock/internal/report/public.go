package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// leastHolders is the number of permits from which on what they cut together may be told: of two, each would know what the
// other took.
const leastHolders = 3

// withheldNote stands beside a stand of which weights are left out.
const withheldNote = "what was cut and granted is withheld: " + fewWords

// fewWords are why; which of the two it is would tell more.
const fewWords = "fewer than 3 permits, or one with nearly all"

// publicEdition is what the public edition says of itself.
type publicEdition struct {
	uses     []model.Use // as far as they can be told
	Withheld []string    // stands, "bed, species"
	Joined   []joinedUse // what the withheld stands come to together
	Left     int         // warnings left out
	Unplaced bool        // something was landed without a bed or species
}

// joinedUse is what all withheld stands together were cut in a season.
type joinedUse struct {
	Season  string
	Stands  int
	Permits int
	Kg      string // with unit, or why it is withheld too
}

// Public makes the edition for handing out of an assessment: without permits, observers and other people, and without
// weights from which the cut of one permit holder could be read.
//
// A stand's cuts and grants are told only if, in every stretch of time between two bounds of anything that is shown (surveys,
// seasons, years), those who cut hold at least three permits and none of them so much that another could tell it, see
// [amounts.tells], so that no difference of shown figures tells it either; and if the same holds of a grant that has
// holders. All other stands are withheld: their cuts, grants, what is left, recovery and ratio, and the advice of a season
// that is another for what was cut since the survey (all of it, or beyond what earlier seasons were advised), in tables,
// figures and sentences. The verdict stays, and so does that more is cut than is advised. The sum over all stands of a season is told only if two of the withheld ones or more were cut in it, and
// the same holds of them together; what is left of all only where none is withheld. Rows without a permit count as those of
// one holder.
//
// What is withheld is NaN; +Inf stands for a weight of which no more is told than that it is above the advice.
func Public(a *model.Assessment, opt Options) (*model.Assessment, Options) {
	out, folder := *a, *a.Folder
	out.Folder = &folder
	hide := newScrubber(a.Folder)
	edition := &publicEdition{}
	who := holdersOf(a)
	out.Units = slices.Clone(a.Units)
	hidden := map[model.Pair]bool{}
	for i := range out.Units {
		u := &out.Units[i]
		hidden[u.Pair] = who.few(a, u)
		maskUnit(u, hidden[u.Pair], hide)
		if hidden[u.Pair] {
			edition.Withheld = append(edition.Withheld, bedName(u)+", "+u.Species)
		}
	}
	edition.sum(a, &out, who, hidden)
	edition.Unplaced = len(folder.Unallocated) > 0
	folder.Mapped = nil // it quotes headers and cells of the files
	maskFolder(&folder, hide, hidden)
	out.Warnings = nil
	for _, w := range a.Warnings {
		if ofPeople(w) {
			edition.Left++
			continue
		}
		out.Warnings = append(out.Warnings, hide.text(w))
	}
	opt.public = edition
	return &out, opt
}

// maskUnit leaves names out of a stand's texts, and weights if it is withheld.
func maskUnit(u *model.Unit, withheld bool, hide scrubber) {
	text := func(s string) string { return unplaced(hide.text(s)) }
	if withheld {
		text = func(s string) string { return hushed(unplaced(hide.text(s))) }
	}
	u.Reason, u.Warnings, u.Where.Reason = text(u.Reason), each1(u.Warnings, text), hide.text(u.Where.Reason)
	u.Growth.Reason, u.Growth.Warnings = text(u.Growth.Reason), each1(u.Growth.Warnings, text)
	u.Stocks = slices.Clone(u.Stocks)
	for i := range u.Stocks {
		u.Stocks[i].Reason, u.Stocks[i].Warnings = text(u.Stocks[i].Reason), each1(u.Stocks[i].Warnings, text)
	}
	if u.Basis != nil {
		b := *u.Basis
		b.Year.Warnings = each1(b.Year.Warnings, text)
		u.Basis = &b
		if withheld && b.RestsOnCuts() || b.RestsOnLoose() { // every limit and choice is another for what was cut since the survey
			u.Basis = nil
		}
	}
	u.YearCutKg, u.YearAheadKg = math.NaN(), math.NaN() // sums over seasons of which some are shown nowhere
	u.Seasons, u.Pressure = slices.Clone(u.Seasons), slices.Clone(u.Pressure)
	for i := range u.Seasons {
		s := &u.Seasons[i]
		s.Reason, s.Warnings = text(s.Reason), each1(s.Warnings, text)
		if s.UnallocatedKg > 0 {
			s.UnallocatedKg = math.NaN()
		}
		if s.ShutKg > 0 { // closures are no bounds of the stretches in which holders are counted
			s.ShutKg, s.Warnings = math.Inf(1), each1(s.Warnings, hushed)
		}
		if withheld {
			maskSeason(s)
		} else if s.RestsOnLoose {
			withholdAdvice(s)
		}
	}
	is := func(what func(model.Season) bool) bool { return slices.ContainsFunc(u.Seasons, what) }
	if u.Status == model.Assessed && is(func(s model.Season) bool { return s.Reason == withheldAdvice }) && !is(func(s model.Season) bool { return s.Status != model.NotAssessed }) {
		u.Status, u.Reason = model.NotAssessed, withheldAdvice
	}
	last := -1
	for i := range u.Pressure {
		p := &u.Pressure[i]
		p.Reason, p.Note = text(p.Reason), text(p.Note)
		if u.Last != nil && p.From == u.Last.From && p.To == u.Last.To {
			last = i
		}
		if p.UnallocatedKg > 0 { // the interval would tell how much
			nan := math.NaN()
			p.UnallocatedKg, p.Recovery, p.RecoveryOfCut = 0, p.RecoveryOfCut, growth.Interval{}
			p.Ratio = growth.Interval{Median: nan, Lo: nan, Hi: nan}
		}
		if withheld {
			maskPressure(p)
		}
	}
	if last >= 0 {
		u.Last = &u.Pressure[last]
	}
}

// withheldAdvice is why a season has no advice in the public edition though there is one.
const withheldAdvice = "withheld, as it would tell what was cut before: ask those who decide"

// maskSeason takes the weights out of a season. An advice that is another for what was cut since the survey would tell
// that, with the shares in the rules: it is left out too.
func maskSeason(s *model.Season) {
	over, above := s.Over(), s.GrantOver()
	known := func(is bool) float64 { return ifElse(is, math.Inf(1), math.NaN()) }
	s.CutKg, s.GrantedKg = known(over), known(above)
	if s.RestsOnCuts || s.RestsOnLoose {
		withholdAdvice(s)
	}
	s.Warnings = append(s.Warnings, withheldNote)
}

// withholdAdvice leaves the advice out; what is closed or rests is so whatever was cut.
func withholdAdvice(s *model.Season) {
	s.OffKg, s.Year = 0, nil
	if s.Status == model.Assessed {
		s.AdvisedKg, s.Status, s.LimitedBy, s.Reason = math.NaN(), model.NotAssessed, offtake.ByNotAssessed, withheldAdvice
	}
	s.Warnings = slices.DeleteFunc(s.Warnings, func(w string) bool {
		return strings.Contains(w, "beyond the advice before the ") || strings.Contains(strings.ToLower(w), "granted ") && strings.Contains(w, "advised ")
	})
}

func maskPressure(p *model.Pressure) {
	nan := math.NaN()
	p.CutKg, p.CastKg, p.PAbove, p.StockStart = nan, nan, nan, nan
	p.Recovery.Median, p.Recovery.Lo, p.Recovery.Hi = nan, nan, nan
	p.Ratio.Median, p.Ratio.Lo, p.Ratio.Hi = nan, nan, nan
	if p.Reason == "" {
		p.Reason = withheldNote
	}
}

// withheldTimes tells whether the weights of a time between two surveys are withheld.
func withheldTimes(p *model.Pressure) bool { return p.Reason == withheldNote }

// withheldSeason tells whether the weights of a season are withheld.
func withheldSeason(s model.Season) bool { return slices.Contains(s.Warnings, withheldNote) }

// withheldAdviceOf tells whether the advice of a season is withheld.
func withheldAdviceOf(s model.Season) bool { return s.Reason == withheldAdvice }

// withheldStand tells whether the weights of a stand are withheld.
func withheldStand(u *model.Unit) bool { return slices.ContainsFunc(u.Seasons, withheldSeason) }

// maskFolder leaves people out of the records, and the cuts of withheld stands.
func maskFolder(f *survey.Folder, hide scrubber, hidden map[model.Pair]bool) {
	f.Permits, f.Doubts, f.Unallocated, f.Readings = nil, nil, nil, survey.Quadrats{}
	f.Cuts = drop(f.Cuts, func(c survey.Cut) bool { return hidden[model.Pair{Bed: c.Bed, Species: c.Species}] })
	for i := range f.Cuts {
		f.Cuts[i].Permit = ""
	}
	f.Decisions = slices.Clone(f.Decisions)
	for i := range f.Decisions {
		d := &f.Decisions[i]
		d.Permit, d.DecidedBy, d.Reference, d.Reason = "", "", "", ""
	}
	f.SetAside = slices.Clone(f.SetAside)
	for i := range f.SetAside {
		f.SetAside[i].By, f.SetAside[i].Reason = "", hide.text(f.SetAside[i].Reason)
	}
	f.Closures = slices.Clone(f.Closures)
	for i := range f.Closures {
		f.Closures[i].Reason = hide.text(f.Closures[i].Reason)
	}
	f.Surveys = slices.Clone(f.Surveys)
	for i := range f.Surveys {
		f.Surveys[i].People, f.Surveys[i].Notes = "", ""
	}
}

// each1 changes every text of a list.
func each1(list []string, change func(string) string) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = change(s)
	}
	return out
}

// Sentences is what the public edition says of itself.
func (p *publicEdition) Sentences() []string {
	out := []string{"This is the public edition: permits, observers and other people are left out."}
	switch n := len(p.Withheld); {
	case n == 1:
		out = append(out, "What was cut and granted is withheld for 1 stand, cut or held by "+fewWords+": "+p.Withheld[0]+".")
	case n > 1:
		out = append(out, fmt.Sprintf("What was cut and granted is withheld for %d stands, cut or held by %s: %s.", n, fewWords, strings.Join(p.Withheld, "; ")))
	}
	if p.Unplaced {
		out = append(out, "Something was landed without a bed or species: it is in no figure here, and how much is withheld.")
	}
	if p.Left > 0 {
		out = append(out, plural(p.Left, "warning on returns, decisions, permits or people is", "warnings on returns, decisions, permits or people are")+" left out.")
	}
	return out
}
