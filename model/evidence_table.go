package model

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bedstock/model/growth"
	"bedstock/survey"
)

// Source says whose word a row of the evidence is.
type Source string

const (
	FromTable   Source = "species table"
	FromPlots   Source = "regrowth plots"
	FromSurveys Source = "surveys alone"
	FromAll     Source = "all together"
)

// EvidenceRow is what one source says of a species on one bed. Where Status is not "ok" the intervals are NaN and Note
// says why; a single interval may be NaN too, as plots tell no K of a bed.
type EvidenceRow struct {
	Bed, Species string
	Source       Source
	R            growth.Interval // per year
	K            growth.Interval // kg on the bed
	N            int             // plots or surveys behind it
	Status       string          // "ok", "none", "nothing", or that of the growth model
	Note         string
}

const (
	evidenceOK      = "ok"
	evidenceNone    = "none"    // there is no such evidence
	evidenceNothing = "nothing" // there is, and it tells neither r nor K
)

const (
	// vagueSD is the sd of log r and log K that says next to nothing: a factor of 50 up or down.
	vagueSD = 2.0
	// vagueLeft is the share of the width of that interval, on the log, from which on the surveys are said not to tell: they
	// have at most ruled out what nobody would have thought.
	vagueLeft = 0.7
)

// EvidenceTable sets side by side what the species table, the regrowth plots and the surveys say of r and K of each unit,
// each by itself, and what they say together: four rows a unit, one where the growth model could not be asked. What the
// surveys say by themselves is the growth model over all beds of the species, of a long coast those of one reach, with a table
// value that says next to nothing (sd 2 of log r and of log K) and without plots; it is asked when the table is first wanted,
// which takes about as long as the assessment.
func (a *Assessment) EvidenceTable() []EvidenceRow {
	if a.evidence == nil { // not made by Assess
		return a.gatherEvidence()
	}
	return a.evidence()
}

// EvidenceOf are the rows of the [Assessment.EvidenceTable] of one unit.
func (a *Assessment) EvidenceOf(p Pair) []EvidenceRow {
	if a.evidenceOf == nil { // not made by Assess
		return a.evidenceByPair()[p]
	}
	return a.evidenceOf()[p]
}

func (a *Assessment) evidenceByPair() map[Pair][]EvidenceRow {
	return survey.Gather(a.EvidenceTable(), func(r EvidenceRow) Pair { return Pair{r.Bed, r.Species} })
}

func (a *Assessment) gatherEvidence() []EvidenceRow {
	alone, beds := make([]growth.Pool, len(a.Species)), 0
	for _, s := range a.Species {
		beds += len(s.Beds)
	}
	asked := a.counting(StageEvidence, beds)
	a.Thrift.Each(len(a.Species), func(i int) {
		if s := a.Species[i]; slices.ContainsFunc(s.Beds, func(b growth.BedSeries) bool { return mute(b.Series, len(s.Beds)) == "" }) {
			alone[i] = a.surveysAlone(s)
		} else {
			alone[i].Beds = make([]growth.Posterior, len(s.Beds))
		}
		asked(len(a.Species[i].Beds))
	})
	var out []EvidenceRow
	for i := range a.Units {
		u := &a.Units[i]
		at := func(source Source, status, note string) EvidenceRow {
			nan := growth.Interval{Median: math.NaN(), Lo: math.NaN(), Hi: math.NaN()}
			return EvidenceRow{Bed: u.Bed, Species: u.Species, Source: source, R: nan, K: nan, Status: status, Note: note}
		}
		pool, bed := a.pooled(u)
		if pool < 0 {
			out = append(out, at(FromAll, u.Growth.Status, u.Growth.Reason))
			continue
		}
		s := &a.Species[pool]
		out = append(out, a.tableRow(u, at(FromTable, evidenceOK, "")), a.plotsRow(u, at(FromPlots, evidenceOK, "")),
			surveysRow(u, alone[pool].Beds[bed], at(FromSurveys, "", ""), len(s.Beds)), allRow(u, at(FromAll, u.Growth.Status, u.Growth.Reason)))
	}
	return out
}

// pooled finds the pool of a unit and the unit's place in it; -1: the growth model was not asked.
func (a *Assessment) pooled(u *Unit) (pool, bed int) {
	if i, ok := a.placeOfPool(u); ok {
		j, ok := slices.BinarySearchFunc(a.Species[i].Beds, u.Bed, func(b growth.BedSeries, bed string) int { return strings.Compare(b.Bed, bed) })
		if ok {
			return i, j
		}
	}
	return -1, -1
}

// surveysAlone is the growth model of a species without the species table and the plots, in a brief run; the intervals alone, as
// the table has no use for draws and a shore has many.
func (a *Assessment) surveysAlone(s SpeciesGrowth) growth.Pool {
	vague := math.Sqrt(math.Expm1(vagueSD * vagueSD))
	prior := growth.Prior{R: s.Prior.R, RCV: vague, K: s.Prior.K, KCV: vague}
	set := a.settings(s.Species, s.Reach)
	set.Brief, set.Bare = true, true
	return growth.SampleBeds(s.Beds, prior, s.Season, nil, set)
}

// tableRow is what the species table says of the bed: with the spread between beds, which it does not know.
func (a *Assessment) tableRow(u *Unit, row EvidenceRow) EvidenceRow {
	level := a.Rules.Survey.Confidence
	row.R = lognormal(u.Prior.R, math.Hypot(logSD(u.Prior.RCV), a.Rules.SigmaR), level)
	row.K = lognormal(u.Prior.K*u.Series.Area*u.Series.Occ, math.Hypot(logSD(u.Prior.KCV), a.Rules.SigmaK), level)
	row.Note = orElse(u.Row.Source, "no source given")
	return row
}

// lognormal is the median and the interval at the level of a lognormal with the sd of its log.
func lognormal(median, sd, level float64) growth.Interval {
	z := math.Sqrt2 * math.Erfinv(level)
	return growth.Interval{Median: median, Lo: median * math.Exp(-z*sd), Hi: median * math.Exp(z*sd)}
}

func logSD(cv float64) float64 { return math.Sqrt(math.Log1p(cv * cv)) }

// plotsRow is what the regrowth plots of the species say together, of a long coast those that speak for the unit's reach; they know no
// bed.
func (a *Assessment) plotsRow(u *Unit, row EvidenceRow) EvidenceRow {
	p := a.plotWord(u).together()
	if p.N == 0 && len(p.LeftOut) == 0 {
		row.Status, row.Note = evidenceNone, "no regrowth plot of this species"
		return row
	}
	if row.N = p.N; p.N == 0 {
		row.Status, row.Note = p.Status, p.Reason
		return row
	}
	row.R = p.R
	var notes []string
	if len(p.Outliers) > 0 {
		notes = append(notes, "far from the others: "+strings.Join(p.Outliers, ", "))
	}
	if len(p.LeftOut) > 0 {
		notes = append(notes, "left out: "+strings.Join(p.LeftOut, "; "))
	}
	row.Note = strings.Join(notes, "; ")
	return row
}

// mute tells why the surveys of a bed say nothing by themselves, one of so many beds; empty: they may.
func mute(s growth.Series, beds int) string {
	switch n := len(s.Surveys); {
	case n > 1 && !s.TellsGrowth():
		return "what was cut between them is not known"
	case n == 1 && beds == 1:
		return "one survey of one bed"
	}
	return ""
}

func surveysRow(u *Unit, p growth.Posterior, row EvidenceRow, beds int) EvidenceRow {
	row.N = len(u.Times)
	switch why := mute(u.Series, beds); {
	case why != "":
		row.Status, row.Note = evidenceNothing, why
	case p.Status != "ok":
		row.Status, row.Note = p.Status, p.Reason
	default:
		row.Status = evidenceOK
		row.R, row.Note = narrowed(p.R, p.PriorR, "r")
		k, note := narrowed(p.K, p.PriorK, "K")
		row.K = k
		var notes []string
		for _, n := range []string{row.Note, note} {
			if n != "" {
				notes = append(notes, n)
			}
		}
		if math.IsNaN(row.R.Median) && math.IsNaN(row.K.Median) {
			row.Status, notes = evidenceNothing, []string{"they narrow neither r nor K"}
		} else if beds > 1 {
			notes = append(notes, "with the surveys of "+counted(beds-1, "other bed", "other beds"))
		}
		row.Note = strings.Join(notes, "; ")
	}
	return row
}

// narrowed is an interval that the surveys have narrowed from one that says next to nothing, with a note where they have
// done so from one side only; where they have not it is NaN and the note says so.
func narrowed(after, before growth.Interval, name string) (growth.Interval, string) {
	if width := math.Log(after.Hi / after.Lo); !(width < vagueLeft*math.Log(before.Hi/before.Lo)) {
		return growth.Interval{Median: math.NaN(), Lo: math.NaN(), Hi: math.NaN()}, "they do not narrow " + name
	}
	switch up, down := math.Log(after.Hi/after.Median), math.Log(after.Median/after.Lo); {
	case down > 1.5*up:
		return after, "they bound " + name + " from above, hardly from below"
	case up > 1.5*down:
		return after, "they bound " + name + " from below, hardly from above"
	}
	return after, ""
}

func allRow(u *Unit, row EvidenceRow) EvidenceRow {
	row.N = len(u.Times)
	if u.Growth.Status == evidenceOK {
		row.R, row.K = u.Growth.R, u.Growth.K
		row.Note = fmt.Sprintf("sd of log r %.2g of that before plots and surveys", u.Growth.LogRShrink)
	}
	return row
}
