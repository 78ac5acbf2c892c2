package survey

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// allometry is the weight of fronds by their length, w = a L^b (g, cm), and what the measured fronds of each quadrat
// of a survey weigh by it.
type allometry struct {
	logLog
	cov      [2][2]float64 // of log (a smearing) and b, between quadrats
	df       float64
	own      bool      // fitted to fronds of the survey itself
	kg, logs []float64 // per quadrat: kg/m2 of its measured fronds, NaN where none; Σ kg log L
}

// allFronds is what the protocol of a survey says where all fronds of a quadrat were measured, so that their weights
// add up to what stands in it.
const allFronds = "all fronds"

func (s *fieldwork) allFronds() bool {
	return s.declared != nil && strings.Contains(strings.ToLower(s.declared.Protocol), allFronds)
}

// frondPlace is a quadrat in which fronds were measured.
type frondPlace struct {
	bed uint32
	quadKey
}

func (f *Fronds) place(i int32) frondPlace {
	return frondPlace{f.Bed[i], quadKey{f.Stratum[i], f.Transect[i], f.Quadrat[i], f.Day[i]}}
}

// compare orders rows by place, length and weight.
func (f *Fronds) compare(i, j int32) int {
	p, q := f.place(i), f.place(j)
	return cmp.Or(cmp.Compare(p.bed, q.bed), cmp.Compare(p.day, q.day), cmp.Compare(p.stratum, q.stratum),
		cmp.Compare(p.transect, q.transect), cmp.Compare(p.quadrat, q.quadrat),
		cmp.Compare(f.Length[i], f.Length[j]), cmp.Compare(f.Wet[i], f.Wet[j]))
}

// frondRows are the rows of fronds.csv by species, ordered so that sums over them do not depend on the order of the
// file.
func frondRows(f *Folder) map[uint32][]int32 {
	if f.Fronds.Len() == 0 {
		return nil
	}
	fr, out := &f.Fronds, map[uint32][]int32{}
	for i := range fr.Day {
		if fr.Length[i] > 0 {
			out[fr.Species[i]] = append(out[fr.Species[i]], int32(i))
		}
	}
	for _, rows := range out {
		slices.SortFunc(rows, fr.compare)
	}
	return out
}

// fitAllometry fits w = a L^b to the weighed fronds of a species in a survey, where those are too few to those of the
// whole folder, and sums it over the measured fronds of each quadrat:
//
//	kg/m2 = Σ a L^b / 1000 / m2
//
// a holds the smearing correction of the back-transform, for a sum needs the mean weight at a length and not its
// median. It is nil where no frond was measured in the survey or fewer than 10 were weighed at all; the text says
// which.
func (c *calibrations) fitAllometry(s *fieldwork, id uint32) (*allometry, string) {
	rows := c.fronds[id]
	if len(rows) == 0 {
		return nil, "no frond was measured"
	}
	fr, bed := &c.f.Fronds, c.f.Quadrats.Bed[s.rows[0]]
	at := make(map[quadKey]int32, len(s.quads))
	for i, k := range s.quads {
		at[k] = int32(i)
	}
	var mine []placed
	for _, row := range rows {
		p := fr.place(row)
		if q, ok := at[p.quadKey]; ok && p.bed == bed {
			mine = append(mine, placed{row, q})
		}
	}
	if len(mine) == 0 {
		return nil, "no frond was measured in this survey"
	}
	a := &allometry{own: true}
	own := make([]int32, len(mine))
	for i, p := range mine {
		own[i] = p.row
	}
	if !a.fit(fr, own) {
		if a.own = false; !a.fit(fr, rows) {
			return nil, fmt.Sprintf("%s of different lengths weighed, at least %d needed: weigh single fronds", counted(a.n, "frond"), soundLengths)
		}
	}
	a.sum(s, fr, mine)
	return a, ""
}

// fit fits log weight on log length over the rows with both; it is false for fewer than 10 or a power not above 0.
func (a *allometry) fit(fr *Fronds, rows []int32) bool {
	var logL, logW, w []float64
	var units []int
	for i, row := range rows {
		unit := 0
		if i > 0 {
			if unit = units[len(units)-1]; fr.place(row) != fr.place(rows[i-1]) {
				unit++
			}
		}
		units = append(units, unit)
		logL, logW, w = append(logL, math.Log(fr.Length[row])), append(logW, math.Log(fr.Wet[row])), append(w, 1)
	}
	use := func(i int) bool { return fr.Wet[rows[i]] > 0 }
	var ok bool
	if a.logLog, ok = fitLogLog(logL, logW, w, use); !ok || a.n < soundLengths || !(a.b > 0) {
		return false
	}
	infl := a.influences(logL, w, use)
	for k := range 2 {
		for l := range 2 {
			p := clusteredProduct(infl, units, k, l, a.n, 2)
			a.cov[k][l], a.df = p.v, min(p.df, float64(a.n-2))
		}
	}
	return true
}

// sum adds up the fronds of each quadrat.
func (a *allometry) sum(s *fieldwork, fr *Fronds, mine []placed) {
	a.kg, a.logs = make([]float64, len(s.quads)), make([]float64, len(s.quads))
	seen := make([]bool, len(s.quads))
	for _, p := range mine {
		seen[p.quad] = true
		logL := math.Log(fr.Length[p.row])
		kg := a.smearing * math.Exp(a.a+a.b*logL) / 1000 / s.design.m2[p.quad]
		a.kg[p.quad] += kg
		a.logs[p.quad] += kg * logL
	}
	for i, ok := range seen {
		if !ok {
			a.kg[i], a.logs[i] = math.NaN(), math.NaN()
		}
	}
}

// without counts the quadrats holding the species in which no frond was measured.
func (a *allometry) without(r readings) int {
	if a == nil {
		return 0
	}
	return r.count(func(i int) bool { return r.holds(i) && math.IsNaN(a.kg[i]) })
}

// params are the fit's.
func (a *allometry) params() []Param {
	return []Param{{"a", math.Exp(a.a)}, {"b", a.b}, {"smearing", a.smearing}, {"baskerville", a.baskerville}}
}

// summedFronds is kg/m2 = the weight of the measured fronds.
type summedFronds struct{}

func (summedFronds) at(q look) float64 { return q.fronds }

func (summedFronds) slope(q look) [2]float64 { return [2]float64{q.fronds, q.logs} }

// allometry compares the weight of the measured fronds with what was weighed. blank counts the quadrats holding the
// species in which no frond was measured: with one, the sums do not tell what stands.
func (p *weighings) allometry(a *allometry, why string, blank int) fit {
	switch {
	case a == nil:
		return unfit(byAllometry, 0, "%s", why)
	case blank > 0:
		return unfit(byAllometry, a.n, "no frond measured in %s holding it: measure all fronds in each", counted(blank, "quadrat"))
	case p.covered() < soundPairs:
		return unfit(byAllometry, a.n, "%s with cover, at least %d needed", counted(p.covered(), "weighed quadrat"), soundPairs)
	}
	f := fit{Candidate: Candidate{Model: byAllometry, N: a.n, Params: a.params()}, curve: summedFronds{}, lost: 1,
		infl: make([][2]float64, len(p.y)), cov: a.cov, covDF: a.df}
	return f.leaveOut(p, func(i int) float64 { return p.q[i].fronds })
}
