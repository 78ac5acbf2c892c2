package model

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bedstock/model/plan"
	"bedstock/survey"
)

// PlanOptions are what is wanted of the next survey: a precision, or the best for a budget.
type PlanOptions struct {
	CV      float64     // coefficient of variation aimed at; 0: that of the rules
	Budget  plan.Budget // of all beds; zero: CV is aimed at
	Seed    uint64      // of places and of the draws of intervals
	Beds    func(bed string) bool
	Species []string // to plan for; none: see [PlanSurvey]
}

// PlanSurvey plans the next survey of each bed from how the species varied at the last three, see
// [survey.VarianceComponents] and [plan.Problem]. It is planned for the species that are named or, where none is, for
// those that are cut on the bed (a cut or a decision is on record) and were found on three transects at least; where none
// is, for the one that most is of. What
// the plan will tell of the other species stands in it too. A bed without earlier survey is planned from table values,
// with status [plan.Guess].
func PlanSurvey(f *survey.Folder, rules Rules, opt PlanOptions) (plan.Plan, error) {
	if opt.CV == 0 {
		opt.CV = rules.Plan.CV
	}
	p := planner{f: f, rules: &rules, opt: opt, all: survey.VarianceComponents(f, rules.Survey)}
	out := plan.Plan{Seed: opt.Seed}
	var works []*bedPlan
	for _, bed := range f.Beds {
		if opt.Beds == nil || opt.Beds(bed.ID) {
			works = append(works, p.bed(bed))
		}
	}
	if err := p.allot(works); err != nil {
		return out, err
	}
	for _, w := range works {
		p.finish(w)
		out.Beds = append(out.Beds, w.out)
		out.Minutes += w.out.Minutes
		out.Tides += w.out.Tides
	}
	return out, nil
}

// BudgetError is a budget that is less than the least survey of all beds takes.
type BudgetError struct{ Need plan.Budget }

func (e BudgetError) Error() string {
	return fmt.Sprintf("two transects a stratum on every bed take %.1f hours and %d low waters", e.Need.Minutes/60, e.Need.Tides)
}

// planner is what all beds share.
type planner struct {
	f     *survey.Folder
	rules *Rules
	opt   PlanOptions
	all   []survey.Components // sorted by bed, species, date
}

// bedPlan is one bed on its way to a plan.
type bedPlan struct {
	out     plan.Bed
	area    float64
	loose   bool // quadrats stand without transects
	strata  [][]string
	shares  [][]float64
	last    []survey.Components // of the last survey, by species; nil: there was none
	subject map[string]plan.Subject
	problem plan.Problem // of the species planned for
	planned []string
	cut     map[string]bool // species with a cut or a decision on record
	effort  plan.Effort
	done    bool // effort holds
}

// refuse ends a bed without a plan.
func (w *bedPlan) refuse(format string, args ...any) *bedPlan {
	w.out.Status, w.out.Reason = plan.NotEstimable, fmt.Sprintf(format, args...)
	return w
}

// bed gathers what is known of a bed.
func (p *planner) bed(bed survey.Bed) *bedPlan {
	at := bed.At(p.f.AsOf)
	w := &bedPlan{out: plan.Bed{Bed: bed.ID, Status: plan.OK, QuadratM2: p.rules.Plan.QuadratM2}, area: at.Area, subject: map[string]plan.Subject{}}
	w.last = p.lastOf(bed.ID)
	if at.Status == "closed" {
		w.out.Warnings = append(w.out.Warnings, "the bed is closed: see why before going there")
	}
	costs, limits := p.rules.Plan.Costs, plan.DefaultLimits()
	limits.MostQuadrats = p.rules.Plan.MostQuadrats
	first := slices.IndexFunc(w.last, func(c survey.Components) bool { return c.Groups != nil })
	switch {
	case !(at.Area > 0) && first < 0:
		return w.refuse("area of the bed not known")
	case len(w.last) == 0:
		p.guess(w)
	case first < 0:
		w.out.Reason = "at the last survey: " + w.last[0].Reason
		p.guess(w)
	default:
		p.learn(w, w.last[first])
	}
	if w.loose {
		costs.Transect = 0
	}
	for _, s := range w.strata {
		limits.LeastQuadrats = max(limits.LeastQuadrats, len(s))
	}
	limits.MostQuadrats = max(limits.MostQuadrats, limits.LeastQuadrats)
	w.problem.Costs, w.problem.Limits = costs, limits
	if w.out.Status != plan.NotEstimable {
		p.choose(w)
	}
	return w
}

// lastOf are the components of the last survey of a bed.
func (p *planner) lastOf(bed string) []survey.Components {
	var out []survey.Components
	day := survey.NoDay
	for _, c := range p.all {
		switch s := c.Stock; {
		case s.Bed != bed || len(out) > 0 && s.Date < day:
		case len(out) > 0 && s.Date == day:
			out = append(out, c)
		default:
			out, day = []survey.Components{c}, s.Date
		}
	}
	return out
}

// choose settles the species planned for.
func (p *planner) choose(w *bedPlan) {
	w.cut = map[string]bool{}
	for _, c := range p.f.Cuts {
		w.cut[c.Species] = w.cut[c.Species] || c.Bed == w.out.Bed && !c.Cast
	}
	for _, d := range p.f.Decisions {
		w.cut[d.Species] = w.cut[d.Species] || d.Bed == w.out.Bed
	}
	most := ""
	for _, name := range sortedKeysOf(w.subject) {
		named := slices.ContainsFunc(p.opt.Species, func(s string) bool { return sameName(s, name) })
		if named || len(p.opt.Species) == 0 && w.cut[name] && w.heldBy(name) >= heldLeast {
			w.planned = append(w.planned, name)
		}
		if most == "" || w.heldBy(name) >= min(heldLeast, w.heldBy(most)) && w.subject[name].Total > w.subject[most].Total {
			most = name
		}
	}
	switch {
	case len(w.planned) > 0:
	case len(p.opt.Species) > 0:
		w.refuse("%s was not found at the last survey, or could not be weighed: look for it first", strings.Join(p.opt.Species, ", "))
		return
	default:
		w.planned = []string{most}
	}
	for _, name := range w.planned {
		w.problem.Subjects = append(w.problem.Subjects, w.subject[name])
	}
}

// heldLeast is the number of transects that must hold a species for a bed to be planned for it unasked: the variance of
// one found on fewer says next to nothing, and to weigh enough of it would take the whole season.
const heldLeast = 3

// heldBy is the number of transects on which the last survey found a species; many where there was none.
func (w *bedPlan) heldBy(name string) int {
	for _, c := range w.last {
		if c.Stock.Species == name {
			return c.Stock.PSUWith
		}
	}
	return heldLeast
}

func sortedKeysOf(m map[string]plan.Subject) []string {
	var out []string
	for name := range m {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}

// allot finds the efforts of all beds.
func (p *planner) allot(works []*bedPlan) error {
	if p.opt.Budget == (plan.Budget{}) {
		for _, w := range works {
			if w.out.Status != plan.NotEstimable {
				p.aim(w)
			}
		}
		return nil
	}
	var problems []plan.Problem
	var of []*bedPlan
	for _, w := range works {
		if w.out.Status != plan.NotEstimable {
			problems, of = append(problems, w.problem), append(of, w)
		}
	}
	if len(problems) == 0 {
		return nil
	}
	efforts, need, ok := plan.Share(problems, p.opt.Budget)
	if !ok {
		return BudgetError{need}
	}
	for i, w := range of {
		w.effort, w.done = efforts[i], true
	}
	return nil
}

// aim finds the least work that meets the target on a bed.
func (p *planner) aim(w *bedPlan) {
	targets := make([]float64, len(w.problem.Subjects))
	for i, s := range w.problem.Subjects {
		targets[i] = plan.WithoutArea(p.opt.CV, s.AreaCV)
		if math.IsNaN(targets[i]) {
			targets[i] = p.opt.CV
			w.out.Warnings = append(w.out.Warnings, fmt.Sprintf("the error of the bed's area alone is %.0f %% of the stock: measure the bed again; the quadrats are planned as if it were known", 100*s.AreaCV))
		}
	}
	if w.effort, w.done = w.problem.Least(targets); !w.done {
		w.refuse("a CV of %.0f %% is not to be had with %d transects a stratum of %d quadrats: aim at a larger one", 100*p.opt.CV,
			w.problem.Limits.MostTransect, w.problem.Limits.MostQuadrats)
	}
}
