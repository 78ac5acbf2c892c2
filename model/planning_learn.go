package model

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"bedstock/model/plan"
	"bedstock/survey"
)

// What is taken where surveys do not tell; judgement on the careful side, no source.
const (
	pooledSurveys = 3    // surveys of a bed whose variances are taken together
	guessBetween  = 0.6  // CV of the means of transects
	guessWithin   = 1.0  // CV of quadrats on a transect
	guessRest     = 0.5  // relative error of a quadrat's weight from its cover
	guessOccupied = 0.6  // share of quadrats that hold the species
	leastBetween  = 0.05 // of the variance within: transects never are alike, however few of them seemed so
	ownPairs      = 10   // weighed quadrats holding the species, for a conversion of the survey's own
	ownChance     = 0.9  // with which a plan must give as many
)

// guess plans a bed from table values: a stand of mean 1 kg/m2 in every stratum.
func (p *planner) guess(w *bedPlan) {
	w.out.Status = plan.Guess
	if w.out.Reason == "" {
		w.out.Reason = "no earlier survey of the bed"
		if p.visited(w.out.Bed) {
			w.out.Reason = "no species was found at earlier surveys of the bed"
		}
	}
	w.out.Reason += ": planned from table values that are guesses"
	w.strata, w.problem.Layers = p.wholeStrata(w)
	name := "any species"
	if len(p.opt.Species) > 0 {
		name = p.opt.Species[0]
	}
	s := plan.Subject{Species: name, Need: needed(guessOccupied)}
	for _, l := range w.problem.Layers {
		s.Total += l.Area
		s.Spreads = append(s.Spreads, guessed(1))
	}
	w.subject[name] = s
}

// visited tells whether a quadrat of a bed was ever read.
func (p *planner) visited(bed string) bool {
	q := &p.f.Quadrats
	for i, id := range q.Bed {
		if q.Visit[i] == survey.Done && p.f.Names[id] == bed {
			return true
		}
	}
	return false
}

// guessed are the variances of a stratum of a mean density.
func guessed(mean float64) plan.Spread {
	m2 := mean * mean
	return plan.Spread{Between: guessBetween * guessBetween * m2, Within: guessWithin * guessWithin * m2,
		Rest: guessRest * guessRest * m2, Origin: plan.Origin{Pretended: true}}
}

// wholeStrata are the strata of strata.csv as layers, or the bed as one.
func (p *planner) wholeStrata(w *bedPlan) (strata [][]string, layers []plan.Layer) {
	sum := 0.0
	for _, s := range p.f.Strata {
		if s.Bed == w.out.Bed {
			strata = append(strata, []string{s.Stratum})
			layers = append(layers, plan.Layer{Label: s.Stratum, Area: s.Area})
			sum += s.Area
		}
	}
	if len(layers) == 0 {
		strata, layers = [][]string{{""}}, []plan.Layer{{Area: w.area}}
	} else if w.area > 0 {
		for i := range layers {
			layers[i].Area *= w.area / sum
		}
	}
	w.shares = make([][]float64, len(layers))
	for i := range w.shares {
		w.shares[i] = []float64{1}
	}
	return strata, layers
}

// needed is the least number of quadrats to weigh so that with the chance ownChance ownPairs of them hold a species that
// a share of the quadrats holds.
func needed(occupied float64) int {
	if occupied >= 1 {
		return ownPairs
	}
	for n := ownPairs; n < 2000; n++ {
		if 1-(distuv.Binomial{N: float64(n), P: max(occupied, 0.005)}).CDF(ownPairs-1) >= ownChance {
			return n
		}
	}
	return 2000
}

// learn takes the layers of the last survey and every species' variances at the last few.
func (p *planner) learn(w *bedPlan, like survey.Components) {
	w.loose = !like.Transects
	w.out.QuadratM2 = like.QuadratM2
	seen := map[string]bool{}
	for _, g := range like.Groups {
		w.strata, w.shares = append(w.strata, g.Strata), append(w.shares, g.Shares)
		l := plan.Layer{Label: strings.Join(g.Strata, "+"), Area: g.Area}
		if w.loose && p.rules.Survey.FPC {
			l.Size = g.Area / like.QuadratM2
		}
		w.problem.Layers = append(w.problem.Layers, l)
		for _, s := range g.Strata {
			seen[s] = true
		}
	}
	visited := len(like.Groups)
	if !seen[""] {
		p.unvisited(w, seen)
	}
	for _, c := range w.last {
		if c.Groups != nil {
			w.subject[c.Stock.Species] = p.subject(w, c, visited)
		}
	}
}

// unvisited adds the strata that the last survey did not reach.
func (p *planner) unvisited(w *bedPlan, seen map[string]bool) {
	for _, s := range p.f.Strata {
		if s.Bed == w.out.Bed && !seen[s.Stratum] {
			w.strata, w.shares = append(w.strata, []string{s.Stratum}), append(w.shares, []float64{1})
			w.problem.Layers = append(w.problem.Layers, plan.Layer{Label: s.Stratum, Area: s.Area})
			w.out.Status = plan.Guess
			w.out.Reason = "stratum " + s.Stratum + " was not visited at the last survey: taken to vary as the others do"
		}
	}
}

// subject is a species of the last survey.
func (p *planner) subject(w *bedPlan, c survey.Components, visited int) plan.Subject {
	s := plan.Subject{Species: c.Stock.Species, Total: c.Stock.Kg.Value, Need: needed(c.Stock.Occupied)}
	for _, e := range c.Stock.Shared {
		if strings.HasPrefix(e.ID, "area|") {
			s.AreaCV = e.CV
		}
	}
	past := p.past(c)
	rest, restDF, known := p.rest(c, past)
	surveyed, sum := 0.0, plan.Spread{}
	for g := range visited {
		sp := spreadOf(past, g, rest, restDF)
		sp.Origin.Pretended = sp.Origin.Pretended || !known
		s.Spreads = append(s.Spreads, sp)
		a := w.problem.Layers[g].Area
		surveyed += a
		sum = plan.Spread{Between: sum.Between + a*sp.Between, Within: sum.Within + a*sp.Within, Rest: sum.Rest + a*sp.Rest}
	}
	for _, l := range w.problem.Layers[visited:] {
		s.Total += c.Stock.Kg.Value * l.Area / surveyed
		s.Spreads = append(s.Spreads, plan.Spread{Between: sum.Between / surveyed, Within: sum.Within / surveyed, Rest: sum.Rest / surveyed,
			Origin: plan.Origin{Pretended: true}})
	}
	return s
}

// past are the last surveys of a stand that were laid out alike, the last first, their variances brought to its stock.
func (p *planner) past(c survey.Components) []survey.Components {
	alike := func(o survey.Components) bool {
		return o.Stock.Bed == c.Stock.Bed && o.Stock.Species == c.Stock.Species && o.Stock.Date <= c.Stock.Date && o.Transects == c.Transects &&
			o.QuadratM2 == c.QuadratM2 && o.Stock.Kg.Value > 0 && slices.EqualFunc(o.Groups, c.Groups, func(a, b survey.GroupComponents) bool { return slices.Equal(a.Strata, b.Strata) })
	}
	var out []survey.Components
	for i := len(p.all) - 1; i >= 0 && len(out) < pooledSurveys; i-- {
		o := p.all[i]
		if !alike(o) {
			continue
		}
		scale := c.Stock.Kg.Value / o.Stock.Kg.Value
		scale *= scale
		o.Groups = slices.Clone(o.Groups)
		for g := range o.Groups {
			o.Groups[g].Means *= scale
			o.Groups[g].Within *= scale
		}
		out = append(out, o)
	}
	return out
}

// rest is the squared relative error of a quadrat's weight from its cover: of the stand's last surveys, else of all
// surveys of the species, else a guess.
func (p *planner) rest(c survey.Components, past []survey.Components) (rest, df float64, known bool) {
	for _, set := range [][]survey.Components{past, p.all} {
		sum := 0.0
		for _, o := range set {
			if o.Stock.Species == c.Stock.Species {
				sum, df = sum+o.Rest*o.RestDF, df+o.RestDF
			}
		}
		if df > 0 {
			return sum / df, df, true
		}
	}
	return guessRest * guessRest, 0, false
}

// spreadOf pools a group's variances over surveys, by their degrees of freedom.
func spreadOf(past []survey.Components, g int, rest, restDF float64) plan.Spread {
	var o plan.Origin
	within, inverse := 0.0, 0.0
	for _, c := range past {
		v := c.Groups[g]
		if v.WithinDF > 0 {
			within, o.WithinDF = within+v.WithinDF*v.Within, o.WithinDF+v.WithinDF
		}
		if v.MeansDF > 0 {
			o.Means, o.MeansDF, inverse = o.Means+v.MeansDF*v.Means, o.MeansDF+v.MeansDF, inverse+v.MeansDF/v.PerMean
		}
	}
	last := past[0].Groups[g]
	s := plan.Spread{}
	switch {
	case o.WithinDF > 0:
		s.Within = within / o.WithinDF
	default: // one quadrat a transect: which part is of the transect is not known
		o.Pretended = true
		s.Within = guessWithin * guessWithin * last.Mean * last.Mean
	}
	loose := !past[0].Transects
	switch {
	case loose:
		o.MeansDF, o.PerMean = o.WithinDF, 1
	case o.MeansDF > 0:
		o.Means, o.PerMean = o.Means/o.MeansDF, o.MeansDF/inverse
		s.Between = max(o.Means-s.Within/o.PerMean, leastBetween*s.Within)
	default: // one transect
		o.Pretended = true
		s.Between = guessBetween * guessBetween * last.Mean * last.Mean
	}
	s.Rest, o.RestDF = min(rest*last.Square, s.Within), restDF
	if math.IsNaN(s.Rest) {
		s.Rest = s.Within
	}
	s.Origin = o
	return s
}
