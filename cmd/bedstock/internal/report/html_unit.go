package report

import (
	"fmt"
	"html/template"
	"strings"

	"bedstock/model"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// unitPart is the part of the page on one species of one bed.
type unitPart struct {
	Anchor, Bed, Species, Common string
	Badges                       []badge
	Sentence, Verdict            string
	Outlook                      string // of a stand that is too low; empty: it is not
	Recovery, History            *pictured
	Yield, LengthFigure          *pictured
	Limits                       []limitRow
	LimitsNote, Audit            string
	Parts                        []string // what each season gets of the year, and why less
	Lengths                      string   // which lengths the species table wants; empty: none
	Choices                      []choiceRow
	ChoicesNote                  string
	Ahead                        *aheadPart // the coming years; nil: nothing to tell
	Stocks                       []stockRow
	Periods                      []periodRow
	Warnings                     []string
	Horizon                      int
	LimitShare, Level            string
}

// limitRow is one of the limits that stand beside each other.
type limitRow struct {
	Name, Meaning, Value string
	Sets                 bool // it sets the advice
}

// stockRow is the stock at one survey.
type stockRow struct{ Date, Cover, Stock, Range, Long, Quadrats, Units, Note string }

// periodRow is the time between two surveys.
type periodRow struct{ From, To, Cut, Cast, Recovery, Range, Ratio, Verdict string }

func unitPartOf(a *model.Assessment, i int, figs shelf) unitPart {
	u := &a.Units[i]
	p := unitPart{Anchor: unitAnchor(i), Bed: bedName(u), Species: u.Species, Badges: badgesOf(a, u), Sentence: joinSentences(Shortly(u, kilos), u.Next()),
		Verdict: verdictSentence(u), Warnings: warningsOf(u), Horizon: a.Rules.Offtake.Horizon,
		LimitShare: percent(a.Rules.Offtake.LimitOfK), Level: percent(a.Rules.Survey.Confidence)}
	if u.Row != nil {
		p.Common = u.Row.CommonName
	}
	p.Recovery, p.History = figs.pick(KindRecovery, u.Bed, u.Species), figs.pick(KindHistory, u.Bed, u.Species)
	p.Yield, p.LengthFigure = figs.pick(KindYield, u.Bed, u.Species), figs.pick(KindLengths, u.Bed, u.Species)
	for _, s := range u.Stocks {
		p.Stocks = append(p.Stocks, stockRowOf(s))
	}
	for _, t := range u.Pressure {
		p.Periods = append(p.Periods, periodRowOf(t))
	}
	if u.Basis != nil {
		p.Limits, p.LimitsNote = limitsOf(a, u)
		p.Audit = u.Basis.Audit.Sentence
		f := futuresOf(a, u)
		defer f.Free()
		p.Outlook = outlook(a, u, f)
		p.Parts = seasonParts(a, u)
		p.Lengths = lengthsWanted(u.Row)
		p.Choices, p.ChoicesNote = choicesOf(a, u, f, figs[figureKey{KindYield, u.Bed, u.Species}].choices)
		p.Ahead = aheadOf(a, u, f)
	}
	return p
}

// futuresOf are the coming years of a stand with an advice.
func futuresOf(a *model.Assessment, u *model.Unit) *offtake.Futures {
	if f := u.Basis.Futures; f != nil {
		return f
	}
	return offtake.NewFutures(u.Basis.Stand, a.Rules.OfftakeOf(u.Pair))
}

// Ask asks of a stand, as its advice is made, what the page will tell of its futures.
func Ask(a *model.Assessment, u *model.Unit) {
	f := futuresOf(a, u)
	u.Basis.Futures = f
	defer f.Free()
	choicesOf(a, u, f, nil)
	aheadOf(a, u, f)
}

// lay is the part as it stands in the page.
func (p *unitPart) lay() (template.HTML, error) {
	var b strings.Builder
	err := layout.ExecuteTemplate(&b, "unit", p)
	return template.HTML(b.String()), err //nolint:gosec // it is ours
}

// limitsOf sets the limits of the year's advice beside each other.
func limitsOf(a *model.Assessment, u *model.Unit) ([]limitRow, string) {
	y, r := u.Basis.Year, a.Rules.Offtake
	by := y.LimitedBy
	capWhy := "the highest share that the rules allow"
	switch {
	case y.Weak() && y.Weakness < 1:
		capWhy = "between the highest share and that for a species of which the data say little"
	case y.Weak():
		capWhy = "the share for a species of which the data say little"
	case u.Row != nil && u.Row.MaxFraction.OK && u.Row.MaxFraction.V < r.MaxFraction:
		capWhy = "the species' own highest share"
	}
	risk := fmt.Sprintf("the most with which the chance of falling below %s of a full bed stays within %s in every one of %d years",
		percent(r.LimitOfK), percent(r.Risk), r.Horizon)
	if y.RiskKg == 0 && !nothingMeasured(u) {
		risk = uncutRisk(a)
	}
	rows := []limitRow{
		{"Cap", fmt.Sprintf("%s of %s kg, a cautious reading of what is long enough to cut: %s", percent(y.CapFraction),
			kilos(y.ExploitableQ), capWhy), kiloCell(y.CapKg), by == offtake.ByCap},
		{"Replacement", fmt.Sprintf("the most after which the bed stands as it should at the next cut, with a chance of %s",
			percent(r.ReplacementProbability)), kiloCell(y.ReplacementKg), by == offtake.ByReplacement},
		{"Risk", risk, kiloCell(y.RiskKg), by == offtake.ByRisk},
		{"Low stock", fmt.Sprintf("share of the smallest of these that is kept: all from %s of a full bed, nothing at %s",
			percent(r.TriggerOfK), percent(r.LimitOfK)), percent(y.LowStock), by == offtake.ByLowStock},
	}
	if by == offtake.ByOldSurvey {
		rows = append(rows, limitRow{"Old survey", "what the survey advised when it was new: an old one never advises more", kiloCell(y.AdvisedKg), true})
	}
	rows = append(rows, limitRow{"Offtake of the year", "the smallest, times what low stock keeps, rounded down", kiloCell(y.AdvisedKg), false})
	note := fmt.Sprintf("From the survey of %s, for the year from %s.", u.Basis.Stock.Date, u.Basis.Open)
	if isNumber(y.Risk) {
		note += fmt.Sprintf(" With this offtake the chance of being below %s of a full bed is at most %s in any one year, and %s to be there at least once in %d years.",
			percent(r.LimitOfK), model.RiskWords(y.Risk), model.RiskWords(y.RiskEver), r.Horizon)
		note += fmt.Sprintf(" Before any cut it is below that today with a chance of %s.", model.RiskWords(y.RiskNow))
	}
	if u.Status != model.Assessed {
		note += " It would hold if the bed were open."
	}
	if s := u.YearSentence(kilos, atMost); s != "" {
		note += " " + capital(s) + "."
	}
	return rows, note
}

func kiloCell(kg float64) string {
	if !isNumber(kg) {
		return "not assessed"
	}
	return kilos(kg) + " kg"
}

func numberOr(v float64, show func(float64) string) string {
	if !isNumber(v) {
		return "not assessed"
	}
	return show(v)
}

func chanceCell(p float64) string {
	return numberOr(p, model.RiskWords)
}

func riskCell(p, _ float64) string { return numberOr(p, model.RiskWords) }

func stockRowOf(s survey.Stock) stockRow {
	r := stockRow{Date: s.Date.String(), Cover: none, Stock: "not estimable", Quadrats: fmt.Sprintf("%d of %d", s.QuadratsWith, s.Quadrats),
		Units: fmt.Sprintf("%d of %d", s.PSUWith, s.PSU)}
	if s.Cover.OK {
		r.Cover = number(s.Cover.Value, 2) + " %"
	}
	var notes []string
	switch {
	case s.Kg.OK && s.Kg.Value == 0:
		r.Stock = "none found"
	case s.Kg.OK:
		e := estimateSpan(s.Kg)
		r.Stock, r.Range, r.Long = e.Value, e.Range, percent(s.Exploitable)
	}
	if s.Status != survey.OK {
		notes = append(notes, string(s.Status)+": "+plainReason(s.Reason))
	}
	if s.Kg.OK && s.Kg.Value > 0 && s.Domain != "survey" && s.Domain != "" {
		notes = append(notes, "weight per cover taken from "+s.Domain)
	}
	r.Note = strings.Join(notes, "; ")
	return r
}

func periodRowOf(p model.Pressure) periodRow {
	r := periodRow{From: p.From.String(), To: p.To.String(), Cut: kilos(p.CutKg), Cast: kilos(p.CastKg), Recovery: "not assessed",
		Ratio: "not given", Verdict: p.VerdictWords()}
	if p.UnallocatedKg > 0 {
		r.Cut += " to " + kilos(p.CutKg+p.UnallocatedKg)
	}
	switch {
	case withheldTimes(&p):
		r.Cut, r.Cast, r.Recovery, r.Ratio = "withheld", "withheld", "withheld", "withheld"
	case p.Reason != "":
		r.Verdict = "not assessed: " + plainReason(p.Reason)
	}
	if isNumber(p.Recovery.Median) {
		s := spanOf(p.Recovery.Median, p.Recovery.Lo, p.Recovery.Hi)
		r.Recovery, r.Range = s.Value, s.Range
	}
	if isNumber(p.Ratio.Median) {
		r.Ratio = number(p.Ratio.Median, 2)
		if isNumber(p.Ratio.Lo) {
			r.Ratio += fmt.Sprintf(" (%s to %s)", number(p.Ratio.Lo, 2), number(p.Ratio.Hi, 2))
		}
	}
	return r
}
