package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// span3 is a number with its interval.
type span3 struct{ Value, Lo, Hi float64 }

func (s span3) known() bool { return isNumber(s.Value) }

func (s span3) String() string { return spanOf(s.Value, s.Lo, s.Hi).Value }

// against lists in what a stand differs from an earlier record of it. comparable: the intervals have the same level.
func (s *standRecord) against(now *standRecord, comparable bool) (out []change) {
	add := func(c change) {
		c.Bed, c.Species = now.Bed, now.Species
		out = append(out, c)
	}
	if c, ok := s.stock.against(now.stock, comparable); ok {
		add(c)
	}
	if c, ok := offtakeChange(s, now); ok {
		add(c)
	}
	if before, after := s.verdict, now.verdict; before != after {
		add(change{What: aboutVerdict, Item: now.period, Before: before, After: after,
			Words: fmt.Sprintf("cut against recovery: %s, before %s", orNone(after, "no verdict"), orNone(before, "no verdict"))})
	}
	for _, p := range []struct {
		name, unit, words string
		before, after     span3
	}{{"r", "1/year", "a year", s.r, now.r}, {"K", "kg", "kg", s.k, now.k}} {
		if p.before.String() != p.after.String() {
			add(change{What: aboutRegrowth, Item: p.name, Before: raw(p.before.Value), After: raw(p.after.Value), Unit: p.unit,
				Words: fmt.Sprintf("%s %s, before %s", p.name, p.after.words(p.words), p.before.words(p.words))})
		}
	}
	return out
}

// raw is a number for other programs; blank where it is not to be had.
func raw(v float64) string {
	if c := num(v); !c.IsMissing() {
		return strconv.FormatFloat(c.Value(), 'f', -1, 64)
	}
	return ""
}

func (s span3) words(unit string) string {
	if !s.known() {
		return "not estimable"
	}
	x := spanOf(s.Value, s.Lo, s.Hi)
	return x.Value + " " + unit + ifElse(x.Range == "", "", " ("+x.Range+")")
}

func orNone(s, none string) string {
	if s == "" {
		return none
	}
	return s
}

// stockRecord is the last stock of a stand that a report holds: of the whole bed, where there is one.
type stockRecord struct {
	survey, date string
	kg           span3
	part         bool // of a part of the bed only
}

func (s stockRecord) String() string {
	switch {
	case !s.kg.known():
		return "not estimable"
	case s.kg.Value == 0:
		return "none found"
	}
	return s.kg.String() + " kg" + ifElse(s.part, " on a part of the bed", "")
}

// against compares the last stocks of two reports. The interval of the change of two independent estimates with the
// intervals (l1, u1) and (l2, u2), which need not be symmetric, is
//
//	B2 - B1 - sqrt((B2 - l2)² + (u1 - B1)²)  to  B2 - B1 + sqrt((u2 - B2)² + (B1 - l1)²)
//
// Errors that both share make it wider than it need be. Two figures for one survey are not independent and have none.
//
// References:
//   - Zou, G. Y. and Donner, A.: Construction of confidence limits about effect measures: a general approach. Statistics in
//     Medicine 27 (2008) 1693-1702
func (s stockRecord) against(now stockRecord, comparable bool) (change, bool) {
	c := change{What: aboutStock, Item: now.survey, Before: raw(s.kg.Value), After: raw(now.kg.Value), Unit: "kg"}
	same := s.survey == now.survey && s.date == now.date
	switch {
	case !s.kg.known() && !now.kg.known(), s.kg.Value == 0 && now.kg.Value == 0,
		same && math.Abs(now.kg.Value-s.kg.Value) <= 1e-5*math.Abs(s.kg.Value):
		return c, false
	case !s.kg.known(), !now.kg.known():
		c.Words = fmt.Sprintf("stock %s, before %s", now, s)
		return c, true
	case same:
		c.Finding = sameSurvey
		c.Words = fmt.Sprintf("the stock of survey %s is now put at %s, before at %s", now.survey, now, s)
		return c, true
	}
	c.Item = s.survey + " to " + now.survey
	c.Finding = cannotCompare
	if comparable && !s.part && !now.part {
		var d span3
		d, c.Finding = difference(s.kg, now.kg)
		c.Diff = &d
	}
	c.Words = fmt.Sprintf("stock from %s to %s, %s", s, now, findingWords(c.Finding))
	return c, true
}

func findingWords(finding string) string {
	return ifElse(finding == cannotCompare, "the intervals cannot tell whether it changed", finding)
}

// difference is the change between two independent estimates, and whether it is more than their intervals allow.
func difference(b1, b2 span3) (span3, string) {
	d := b2.Value - b1.Value
	out := span3{d, d - math.Hypot(b2.Value-b2.Lo, b1.Hi-b1.Value), d + math.Hypot(b2.Hi-b2.Value, b1.Value-b1.Lo)}
	switch {
	case !isNumber(out.Lo) || !isNumber(out.Hi):
		return out, cannotCompare
	case out.Lo > 0 || out.Hi < 0:
		return out, beyondIntervals
	}
	return out, withinIntervals
}

// offtakeChange compares what is advised over all seasons of the two reports, and what holds it.
func offtakeChange(old, now *standRecord) (change, bool) {
	before, after := old.advised(), now.advised()
	holds, held := strings.Join(now.limits, ", "), strings.Join(old.limits, ", ")
	if before == after && holds == held {
		return change{}, false
	}
	c := change{What: aboutOfftake, Item: strings.Join(now.seasons, ", "), Before: old.sum(), After: now.sum(), Unit: "kg"}
	switch {
	case before == after:
		c.Words = "advised " + after + " as before"
	default:
		c.Words = fmt.Sprintf("advised from %s to %s", before, after)
	}
	switch {
	case holds == held:
		c.Words += ", still held by " + listed(now.limits)
	case held == "":
		c.Words += ", now held by " + listed(now.limits)
	default:
		c.Words += fmt.Sprintf(", now held by %s, before by %s", listed(now.limits), listed(old.limits))
	}
	return c, true
}

// advised says what is advised over all seasons together, with unit, or for which there is an advice.
func (s *standRecord) advised() string {
	sum, told := 0.0, 0
	for _, kg := range s.advisedKg {
		if isNumber(kg) {
			sum += kg
			told++
		}
	}
	switch {
	case told == 0:
		return "no amount"
	case told < len(s.advisedKg):
		return kilos(sum) + " kg for a part of the seasons"
	}
	return kilos(sum) + " kg"
}

// sum is what is advised over all seasons together for other programs; blank where a season has no advice.
func (s *standRecord) sum() string {
	sum := math.NaN()
	for i, kg := range s.advisedKg {
		if sum += kg; i == 0 {
			sum = kg
		}
	}
	return raw(sum)
}
