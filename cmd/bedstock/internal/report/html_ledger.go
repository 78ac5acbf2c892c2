package report

import (
	"math"
	"strconv"

	"bedstock/model"
	"bedstock/survey"
)

// ledgerPart is what was advised, decided and cut, a table a season.
type ledgerPart struct {
	Seasons []ledgerTable
	Strays  []string // rows of harvest.csv that should not be
	Share   string   // of the cut that is reported, where it is not all
}

type ledgerTable struct {
	Title   string
	Running bool
	Over    bool
	Totals  []string
	Rows    []ledgerLine
}

// ledgerLine is a stand, or a permit's part of the stand above it.
type ledgerLine struct {
	Anchor, Bed, Species, Permit     string
	Advised, Decided, Cut, Left, End string
	Returns, Last                    string
	Over                             bool
	Notes                            []string
}

// ledgerPartOf is nil in the public edition, which tells of no permit, and where nothing was decided and nothing is cut.
func ledgerPartOf(a *model.Assessment, opt Options) *ledgerPart {
	if opt.public != nil {
		return nil
	}
	l := LedgerShown(opt.ledgerOf(a))
	p := &ledgerPart{Strays: StraySentences(l)}
	if share := a.Rules.ReportedShare; share != 1 {
		p.Share = percent(share)
	}
	news := false
	for _, s := range LedgerSeasons(l) {
		t := ledgerTable{Title: capital(s.Title), Running: s.State == model.SeasonRunning, Over: s.State == model.SeasonOver, Totals: s.Totals}
		for _, r := range s.Rows {
			if Used(r) {
				t.Rows = append(t.Rows, ledgerLineOf(a, r))
				news = news || r.Issued() || r.Returns > 0
			}
		}
		for i := range s.Unallocated {
			t.Rows = append(t.Rows, unallocatedLine(&s.Unallocated[i]))
			news = true
		}
		if len(t.Rows) > 0 {
			p.Seasons = append(p.Seasons, t)
		}
	}
	if !news && len(p.Strays) == 0 {
		return nil
	}
	return p
}

func ledgerLineOf(a *model.Assessment, r *model.LedgerRow) ledgerLine {
	line := ledgerLine{Anchor: bedAnchor(a, r.Bed), Bed: nameOf(a, r.Bed), Species: r.Species, Permit: r.Permit, Advised: ledgerAdvised(r.AdvisedKg),
		Decided: "not issued", Cut: ledgerKg(r.CutKg), Left: ledgerKg(r.LeftKg), End: "–", Returns: returnsWords(r), Over: r.Over()}
	for _, n := range LedgerNotes(r) {
		line.Notes = append(line.Notes, capital(n))
	}
	if r.State == model.SeasonOver && r.Status == "" {
		line.Advised = "–" // not worked out here
	}
	if r.Issued() {
		line.Decided = ledgerKg(r.DecidedKg)
	}
	if r.LastReturn != survey.NoDay {
		line.Last = r.LastReturn.String()
	}
	if r.State == model.SeasonRunning && r.Projected.Median >= 0 {
		line.End = model.Kg(r.Projected.Median) + " (" + model.Kg(r.Projected.Lo) + " to " + model.Kg(r.Projected.Hi) + ")"
	}
	return line
}

// unallocatedLine is what was landed in a season without a bed or species.
func unallocatedLine(r *model.LedgerUnallocated) ledgerLine {
	line := ledgerLine{Bed: capital(UnallocatedName(r)), Advised: "–", Decided: "–", Cut: ledgerKg(r.CutKg), Left: "–", End: "–",
		Returns: countWords(r.Returns, r.Nil), Notes: []string{capital(r.Words())}}
	if r.LastReturn != survey.NoDay {
		line.Last = r.LastReturn.String()
	}
	return line
}

func ledgerAdvised(kg float64) string {
	if math.IsNaN(kg) {
		return "not known"
	}
	return model.Kg(kg)
}

// ledgerKg is a weight in full where it is one of the returns or decisions.
func ledgerKg(kg float64) string {
	if math.IsNaN(kg) {
		return "not known"
	}
	return Grams(kg).String()
}

func returnsWords(r *model.LedgerRow) string { return countWords(r.Returns, r.Nil) }

func countWords(returns, none int) string {
	switch {
	case returns == 0:
		return "none"
	case none > 0:
		return strconv.Itoa(returns) + ", " + strconv.Itoa(none) + " nil"
	}
	return strconv.Itoa(returns)
}
