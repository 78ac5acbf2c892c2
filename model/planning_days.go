package model

import (
	"fmt"
	"slices"

	"bedstock/model/plan"
	"bedstock/survey"
)

// Laid are the beds of a plan laid on low waters of the folder's tides.csv.
type Laid struct {
	plan.Calendar
	From, To   survey.Day // days that were looked at
	BySeason   bool       // From and To are the season of the last surveys
	First, End survey.Day // days of the first and last low water of tides.csv
	LowWaters  int        // in tides.csv
	Needs      []Need     // of every bed that has a plan, in its order
	Ranked     bool       // where not all beds have days, those that matter more come first
	Late       []Due      // beds laid later than the quota asks for
	Costs      plan.Costs
	AfterLow   float64 // share of the time on the shore after low water

	closures map[string][]survey.Closure // of whole beds
}

// Need is the low water that a bed needs.
type Need struct {
	Bed, Zone string
	At        float64 // m: the highest low water that serves it
	Why       string  // where At comes from
	ByShare   bool    // At is a share of tides.csv
	Served    float64 // share of the low waters of tides.csv at or below At, 0-1
}

// zones are the words of the column zone of beds.csv, from the sea upwards.
var zones = [3]string{"lower", "mid", "upper"}

// zoneShares are the shares of the low waters of tides.csv, lowest first, that serve beds of each of [zones] where
// neither the rules nor earlier surveys say: judgement, no published value.
var zoneShares = [3]float64{0.1, 0.3, 0.6}

// seasonDays is how many days from the day of the last survey the next may lie: check warns of four weeks.
const seasonDays = 28

// LayDays lays the beds of a plan on the low waters of tides.csv, see [plan.LayDays], where not all can be laid those open to
// cutting and surveyed longest ago first: those by daylight from one day to
// another. Where neither is given ([survey.NoDay]) these are within four weeks of the days of the year of the last
// surveys, from the day of the assessment on; where only one is, the other is the day of the assessment or the end of the
// table. ok is false without low waters.
//
// The highest low water that serves a bed is that of its zone in the rules; else the highest at which it was surveyed
// before (low_water_m of surveys.csv); else the quantile of all low waters of tides.csv that [zoneShares] has for its
// zone, and not outside what the rules say of other zones. A bed without a zone is taken as a lower one.
func LayDays(f *survey.Folder, rules Rules, p plan.Plan, from, to survey.Day) (out Laid, ok bool) {
	if len(f.LowWaters) == 0 {
		return out, false
	}
	out = Laid{From: from, To: to, First: f.LowWaters[0].Day, End: f.LowWaters[len(f.LowWaters)-1].Day, LowWaters: len(f.LowWaters),
		Costs: rules.Plan.Costs, AfterLow: rules.Plan.AfterLow, closures: closuresOf(f, rules)}
	out.search(f, rules, p)
	var tasks []plan.Task
	at := zoneHeights(f, rules)
	for _, b := range p.Beds {
		if b.Status == plan.NotEstimable {
			continue
		}
		i := slices.IndexFunc(f.Beds, func(x survey.Bed) bool { return x.ID == b.Bed })
		row := f.Beds[i].At(f.AsOf)
		n := needOf(f, rules, at, b.Bed, row.Zone)
		n.Served = servedBy(f, n.At)
		out.Needs = append(out.Needs, n)
		tasks = append(tasks, plan.Task{Bed: b.Bed, Site: row.Shore, At: n.At, Work: b.Work})
	}
	var lows []plan.Low
	for _, w := range f.LowWaters {
		if m := Clock(w.Minute); out.From <= w.Day && w.Day <= out.To && rules.Plan.DayFrom <= m && m <= rules.Plan.DayTo {
			lows = append(lows, plan.Low{Day: int(w.Day), Minute: w.Minute, Height: w.Height})
		}
	}
	whole := wholeSurveys(f, rules)
	out.order(whole, tasks)
	out.Calendar = plan.LayDays(tasks, lows, rules.Plan.Costs, rules.Survey.WindowDays)
	out.Late = out.late(f, rules, whole)
	return out, true
}

// search settles the days that are looked at.
func (l *Laid) search(f *survey.Folder, rules Rules, p plan.Plan) {
	given := l.From != survey.NoDay || l.To != survey.NoDay
	if first, last, ok := nextSeason(f, rules, p); ok && !given {
		l.From, l.To, l.BySeason = max(first, f.AsOf), last, true
		return
	}
	if l.From == survey.NoDay {
		l.From = f.AsOf
	}
	if l.To == survey.NoDay {
		l.To = max(l.End, l.From)
	}
}

// nextSeason spans the days of the year of the last surveys of the beds, in the first year in which four weeks after them
// are not over on the day of the assessment; beds whose turn comes half a year after the first do not stretch it.
func nextSeason(f *survey.Folder, rules Rules, p plan.Plan) (first, last survey.Day, ok bool) {
	surveyed := map[string]survey.Day{}
	for _, v := range survey.Visits(f, rules.Survey) {
		if len(v.Rows) > 0 {
			surveyed[v.Bed] = v.Date // the last of a bed comes last
		}
	}
	var turns []survey.Day
	for _, b := range p.Beds {
		if d, was := surveyed[b.Bed]; was && b.Status != plan.NotEstimable {
			turns = append(turns, turnAfter(d, f.AsOf))
		}
	}
	if len(turns) == 0 {
		return 0, 0, false
	}
	first = slices.Min(turns)
	last = first
	for _, d := range turns {
		if d-first <= 182 {
			last = max(last, d)
		}
	}
	return first - seasonDays, last + seasonDays, true
}

// turnAfter is the same day of a later year, the first that is not more than four weeks before today.
func turnAfter(d, today survey.Day) survey.Day {
	for years := 1; ; years++ {
		if t := survey.DayOf(d.Time().AddDate(years, 0, 0)); t+seasonDays >= today {
			return t
		}
	}
}

// zoneHeight is the highest low water that serves a zone, and whether the rules say so.
type zoneHeight struct {
	at    float64
	ruled bool
}

// zoneHeights are those of [zones]: what the rules say, else a quantile of tides.csv that is not outside it.
func zoneHeights(f *survey.Folder, rules Rules) (out [3]zoneHeight) {
	var heights []float64
	for _, w := range f.LowWaters {
		heights = append(heights, w.Height)
	}
	for i, given := range rules.Plan.At {
		out[i] = zoneHeight{given.V, given.OK}
		if given.OK {
			continue
		}
		out[i].at = survey.Quantile(heights, zoneShares[i])
		for k, other := range rules.Plan.At {
			switch {
			case other.OK && k < i:
				out[i].at = max(out[i].at, other.V)
			case other.OK && k > i:
				out[i].at = min(out[i].at, other.V)
			}
		}
	}
	return out
}

func needOf(f *survey.Folder, rules Rules, heights [3]zoneHeight, bed, zone string) Need {
	z := max(0, slices.Index(zones[:], zone))
	n := Need{Bed: bed, Zone: zones[z], At: heights[z].at}
	switch done := surveyedAt(f, bed); {
	case heights[z].ruled:
		n.Why = zones[z] + "_at_m in [plan]"
	case done.OK:
		n.At, n.Why = done.V, "the highest low water it was surveyed at (surveys.csv)"
		return n
	default:
		n.ByShare = true
		n.Why = fmt.Sprintf("the lowest %.0f %% of tides.csv serve %s beds: judgement, no published value", 100*zoneShares[z], zones[z])
	}
	if zone == "" {
		n.Why += "; no zone in beds.csv, taken as lower"
	}
	return n
}

// servedBy is the share of the low waters of tides.csv at or below a height.
func servedBy(f *survey.Folder, at float64) float64 {
	n := 0.0
	for _, w := range f.LowWaters {
		if w.Height <= at {
			n++
		}
	}
	return n / float64(len(f.LowWaters))
}

// surveyedAt is the highest low water at which a bed was surveyed.
func surveyedAt(f *survey.Folder, bed string) (high survey.Num) {
	for _, d := range f.Surveys {
		if d.Bed == bed && d.LowWater.OK && d.To <= f.AsOf && (!high.OK || d.LowWater.V > high.V) {
			high = d.LowWater
		}
	}
	return high
}

// Hours are when an outing is: on the first bed, off the last one, in minutes of the day of its low water, and what the
// day takes with the way there and back. Of the time on the shore the share after_low lies after low water.
func (l Laid) Hours(o plan.Outing) (start, leave int, minutes float64) {
	for _, p := range o.Parts {
		minutes += p.Work + l.Costs.Visit
	}
	span := minutes - l.Costs.Visit
	after := span * l.AfterLow
	return o.Minute - int(span-after+0.999), o.Minute + int(after), minutes
}
