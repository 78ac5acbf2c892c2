package model

import (
	"strings"

	"bedstock/model/plan"
	"bedstock/survey"
)

// PlanRules are the choices for the next survey: the table [plan] of rules.toml. The minutes are of a team of the size
// that goes out; the defaults are judgement, no source, and every team should write down its own.
type PlanRules struct {
	CV           float64 // coefficient of variation aimed at
	Costs        plan.Costs
	MostQuadrats int     // on a transect
	QuadratM2    float64 // where no survey was before
	Baselines    []Baseline

	At             [3]survey.Num // m: highest low water that serves beds of each of [zones]; missing: see [LayDays]
	DayFrom, DayTo Clock         // low waters between these are by daylight
	AfterLow       float64       // share of the time on the shore that lies after low water
}

// Clock is a time of day in minutes.
type Clock int

func (c Clock) String() string { return survey.Clock(int(c)) }

func defaultPlanRules() PlanRules {
	return PlanRules{CV: 0.2, Costs: plan.Costs{Quadrat: 5, Weigh: 10, Transect: 15, Visit: 45, Tide: 180}, MostQuadrats: 12, QuadratM2: 0.25,
		DayFrom: 7 * 60, DayTo: 19 * 60, AfterLow: 0.33}
}

// planPrefix is what the keys of [plan] are listed under.
const planPrefix = "plan."

// planKeys are the keys of [plan].
var planKeys = []ruleKey{
	{name: "plan.cv", at: func(r *Rules) any { return &r.Plan.CV }, lo: 0.01, hi: 2, meaning: "coefficient of variation of a stock that the next survey aims at"},
	{name: "plan.quadrat_minutes", at: func(r *Rules) any { return &r.Plan.Costs.Quadrat }, lo: 0, hi: 600, open: true,
		meaning: "minutes of the team to read a quadrat"},
	{name: "plan.weigh_minutes", at: func(r *Rules) any { return &r.Plan.Costs.Weigh }, lo: 0, hi: 600,
		meaning: "minutes more to clip and weigh a quadrat"},
	{name: "plan.transect_minutes", at: func(r *Rules) any { return &r.Plan.Costs.Transect }, lo: 0, hi: 600,
		meaning: "minutes to find a transect and lay it out"},
	{name: "plan.visit_minutes", at: func(r *Rules) any { return &r.Plan.Costs.Visit }, lo: 0, hi: 1440,
		meaning: "minutes to reach a bed and leave it, at every low water"},
	{name: "plan.tide_minutes", at: func(r *Rules) any { return &r.Plan.Costs.Tide }, lo: 0, hi: 1440, open: true,
		meaning: "minutes there are at one low water, those to reach the bed and leave it included"},
	{name: "plan.quadrats_most", at: func(r *Rules) any { return &r.Plan.MostQuadrats }, lo: 1, hi: 50, meaning: "highest number of quadrats on a transect"},
	{name: "plan.quadrat_m2", at: func(r *Rules) any { return &r.Plan.QuadratM2 }, lo: 0, hi: 100, open: true,
		meaning: "size of a quadrat where none was surveyed before"},
	{name: "plan.lower_at_m", at: func(r *Rules) any { return &r.Plan.At[0] }, lo: -5, hi: 20, meaning: servesMeaning("lower", "10")},
	{name: "plan.mid_at_m", at: func(r *Rules) any { return &r.Plan.At[1] }, lo: -5, hi: 20, meaning: servesMeaning("mid", "30")},
	{name: "plan.upper_at_m", at: func(r *Rules) any { return &r.Plan.At[2] }, lo: -5, hi: 20, meaning: servesMeaning("upper", "60")},
	{name: "plan.day_from", at: func(r *Rules) any { return &r.Plan.DayFrom },
		meaning: "first time of day of a low water to go out to; mind sunrise"},
	{name: "plan.day_to", at: func(r *Rules) any { return &r.Plan.DayTo },
		meaning: "last time of day of a low water to go out to; mind sunset"},
	{name: "plan.after_low", at: func(r *Rules) any { return &r.Plan.AfterLow }, lo: 0, hi: 0.5,
		meaning: "share of the time on the shore that may lie after low water; judgement, no source"},
}

func servesMeaning(zone, percent string) string {
	return "height in m at or below which a low water serves " + zone + " beds; blank: the highest a bed was surveyed at, else the lowest " +
		percent + " % of tides.csv (judgement, no published value)"
}

// readPlan reads the table [plan].
func (in *rulesInput) readPlan(value any) {
	values, ok := value.(map[string]any)
	if !ok {
		in.fault(in.places["plan"], "", "plan must be a table: write [plan]")
		return
	}
	at := in.places["plan"]
	for _, name := range sortedKeys(values) {
		where := at
		if lists := in.lists["plan"]; len(lists) > 0 {
			if p, known := lists[0][name]; known {
				where = p
			}
		}
		found := false
		for _, k := range planKeys {
			if k.name == planPrefix+name {
				in.places[k.name], found = where, true
				in.set(k, values[name])
			}
		}
		if !found {
			in.fault(where, "keys of [plan]: "+planKeyNames(), "plan %s: unknown key", name)
		}
	}
	if c := in.rules.Plan.Costs; c.Tide <= c.Visit {
		in.fault(in.firstOf("plan.tide_minutes", "plan.visit_minutes"), "a low water must leave time for work", "plan.tide_minutes: %g is not above plan.visit_minutes %g", c.Tide, c.Visit)
	}
	in.checkDays()
}

// checkDays holds the heights of the zones in order, and the day's beginning before its end.
func (in *rulesInput) checkDays() {
	p := in.rules.Plan
	for i, name := range zones {
		for k := range i {
			if p.At[i].OK && p.At[k].OK && p.At[i].V < p.At[k].V {
				in.fault(in.firstOf("plan."+name+"_at_m"), "what serves beds low on the shore serves those higher up",
					"plan.%s_at_m: %g is below plan.%s_at_m %g", name, p.At[i].V, zones[k], p.At[k].V)
				return
			}
		}
	}
	if p.DayTo <= p.DayFrom {
		in.fault(in.firstOf("plan.day_to", "plan.day_from"), "", "plan.day_to: %s is not after plan.day_from %s", p.DayTo, p.DayFrom)
	}
}

func planKeyNames() string {
	names := make([]string, len(planKeys))
	for i, k := range planKeys {
		names[i] = strings.TrimPrefix(k.name, planPrefix)
	}
	return strings.Join(names, ", ")
}
