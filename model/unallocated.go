package model

import (
	"fmt"
	"math"
	"slices"

	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// Landings without a bed or species are real cuts that are laid on no stand. Each stand that one may be from is taken both
// ways: with nothing of it and with all of it.
//
//   - Growth: between two surveys with more of them than [growth.Negligible] of the smaller stock, what was cut is not
//     known, and that time tells nothing of r ([growth.Series.Told]).
//   - Pressure: a verdict stands if it is the same with nothing and with all of them, else it is "cannot tell".
//   - Advice: what was landed since the survey counts as cut in full from every stand that it may be from. What was landed
//     before it is taken both ways in growth too, and each season gets the lower of the two: no landing raises an advice.

// place lays the landings that may be from a unit beside its cuts.
func (a *assessor) place(u *Unit, s *growth.Series) {
	u.loose = a.indexed().landings.MayBeOf(u.Bed, u.Species)
	for _, l := range u.loose {
		s.Unplaced = append(s.Unplaced, growth.Unplaced{From: l.From.Years(), To: (l.To + 1).Years(), Kg: l.Kg / a.out.Rules.ReportedShare})
		for _, p := range Pulses(l.Cut) {
			u.loosePulses = append(u.loosePulses, growth.Pulse{T: p.T, Kg: p.Kg / a.out.Rules.ReportedShare})
		}
	}
}

// unfreed is a run in which nothing of the landings that may be from a bed was cut there, so that each time between two
// surveys tells what it can; nil where that is no other run. A time that tells nothing of growth may leave more to be
// hoped for than what was seen in it: without this, a landing that nobody placed could raise an advice.
func (r *speciesRun) unfreed() *speciesRun {
	out := &speciesRun{runKey: r.runKey, units: r.units, beds: slices.Clone(r.beds)}
	freed := false
	for i := range out.beds {
		s := &out.beds[i].Series
		freed = freed || s.Freed()
		s.Unplaced = nil
	}
	if !freed {
		return nil
	}
	return out
}

// warnOfLoose says what the landings that may be from a unit do to its growth.
func (a *assessor) warnOfLoose(u *Unit) {
	for t := 1; t < len(u.Times); t++ {
		loose := a.looseBetween(u, t)
		if len(loose) == 0 || !u.Series.CutsKnown {
			continue
		}
		from, to := u.SurveyedOn(t-1), u.SurveyedOn(t)
		if u.Series.Told(t) {
			u.warn("%s may have been cut here between the surveys of %s and %s: no more than 1 %% of the stock, passed over", survey.LandingWords(loose), from, to)
			continue
		}
		u.warn("%s may have been cut here between the surveys of %s and %s: that time tells nothing of how fast it grows", survey.LandingWords(loose), from, to)
	}
}

// looseBetween are the landings that may have been cut from a unit between survey t-1 and survey t of its series.
func (a *assessor) looseBetween(u *Unit, t int) []survey.Unallocated {
	return survey.Touching(u.loose, u.SurveyedOn(t-1), u.SurveyedOn(t))
}

// looseSince is what may have been cut of a unit from a day until the day before another, with the unreported share, if
// all that may be was.
func (u *Unit) looseSince(from, until survey.Day) float64 {
	sum := 0.0
	for _, c := range u.loosePulses {
		if c.T >= from.Years() && c.T < until.Years() {
			sum += c.Kg
		}
	}
	return sum
}

// bound takes a time between two surveys both ways: with nothing and with all of the landings that may be from a unit. As
// recovery is the change of the stock and what was cut, each kg cut more is a kg grown more: whether more was cut than grew
// hangs on whether the stock fell, which the surveys tell whatever was cut, and a verdict is in doubt only where nothing else
// was cut. The time is one that does not inform growth, or the landings are negligible.
func (a *assessor) bound(u *Unit, i int, p *Pressure, d *unitDraws) {
	loose := a.looseBetween(u, i+1)
	p.UnallocatedKg = u.Series.UnplacedKg(i + 1)
	if len(loose) == 0 || u.Series.Told(i+1) {
		p.UnallocatedKg = 0
		return
	}
	most := *p
	p.RecoveryOfCut = p.Recovery
	a.verdict(u, i, &most, p.UnallocatedKg, d)
	words := survey.LandingWords(loose)
	ratio := growth.Interval{Median: p.Ratio.Median, Lo: min(p.Ratio.Lo, most.Ratio.Lo), Hi: max(p.Ratio.Hi, most.Ratio.Hi)}
	p.Recovery.Hi, p.Ratio = most.Recovery.Hi, unknownInterval
	switch {
	case most.Verdict == p.Verdict && p.Verdict == offtake.CannotTell:
		p.Note = joinNotes(p.Note, words+" may have been cut here")
	case most.Verdict == p.Verdict,
		p.Verdict == offtake.NothingCut && most.Verdict == offtake.BelowRecovery:
		p.Verdict, p.Note = most.Verdict, "whatever part of the "+words+" was cut here"
		if !math.IsNaN(ratio.Lo + ratio.Hi) {
			p.Ratio = ratio
		}
	default:
		p.Verdict, p.Note = offtake.CannotTell, words+" may have been cut here"
	}
}

func joinNotes(a, b string) string {
	switch {
	case a == "":
		return b
	case b == "":
		return a
	}
	return a + "; " + b
}

// looseInSeason warns that landings may have been cut in a season, and what may still be cut then.
func (a *assessor) looseInSeason(u *Unit, s *Season) {
	loose := survey.Touching(u.loose, s.From, s.To+1)
	if len(loose) == 0 {
		return
	}
	s.UnallocatedKg = survey.SumKg(loose) / a.out.Rules.ReportedShare
	text := survey.LandingWords(loose) + " may have been cut here in the " + s.Name + " season from " + s.From.String()
	if left := s.LeftKg(); left > 0 {
		text += fmt.Sprintf(": as little as %s kg may still be cut", KgDown(max(left-s.UnallocatedKg, 0)))
	}
	s.Warnings = append(s.Warnings, text)
}

// looseTaken warns that landings since the survey count in full as cut here.
func (a *assessor) looseTaken(u *Unit, s *Season) {
	if loose := survey.Touching(u.loose, s.Survey, s.From); len(loose) > 0 {
		s.Warnings = append(s.Warnings, fmt.Sprintf("%s, landed since the survey of %s, may have been cut here: the advice counts all of it as if it was", survey.LandingWords(loose), s.Survey))
	}
}
