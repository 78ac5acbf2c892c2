package survey

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// scene is an invented bed of two strata on which surveys are drawn: transects differ, so do the quadrats of each, and
// the species holds a share of the quadrats only, more of them on some transects than on others.
type scene struct {
	name      string
	transects int        // in both strata
	occupancy float64    // share of quadrats holding the species
	clump     float64    // correlation of presence within a transect, 0 where occupancy is 1
	between   float64    // sd of the log of a transect's density
	shape     float64    // of the gamma density of a quadrat holding it: cv 1/sqrt(shape)
	weighed   int        // quadrats weighed, 0: all
	mean      [2]float64 // density of each stratum over all quadrats, kg/m2
	normal    bool       // levels and densities are normal (cut off at 0) instead of lognormal and gamma
}

// patchy is the scene of the table of real cover.
func patchy(transects int, occupancy float64) scene {
	return scene{"patchy", transects, occupancy, 0.25, 0.5, 1.5, 0, [2]float64{2, 4}, false}
}

// nearNormal is a bed whose transects' means are near normal.
func nearNormal(transects, weighed int) scene {
	return scene{"near-normal", transects, 1, 0, 0.2, 10, weighed, [2]float64{3.2, 3.2}, true}
}

// sceneArea is the area of the strata, m2.
var sceneArea = [2]float64{2000, 3000}

// total is the true stock, kg.
func (c scene) total() float64 { return sceneArea[0]*c.mean[0] + sceneArea[1]*c.mean[1] }

// level is the density of a transect where the species stands, over that of its stratum: 1 on average.
func (c scene) level(rng *rand.Rand) float64 {
	if c.normal {
		return max(0, 1+c.between*rng.NormFloat64())
	}
	return math.Exp(c.between*rng.NormFloat64() - c.between*c.between/2)
}

// density is that of a quadrat over that of its transect: 1 on average.
func (c scene) density(rng *rand.Rand) float64 {
	if c.normal {
		return max(0, 1+rng.NormFloat64()/math.Sqrt(c.shape))
	}
	return distuv.Gamma{Alpha: c.shape, Beta: c.shape, Src: rng}.Rand()
}

// survey draws a survey: half of the transects in each stratum, four and six quadrats in turn. Weight scatters about
// 0.05 kg/m2 per percent cover; where a part is weighed, that part is drawn at random from the quadrats holding it.
func (c scene) survey(rng *rand.Rand) *Folder {
	var rows []quad
	var held []int
	for j := range c.transects {
		h := j % 2
		presence := c.occupancy
		if c.clump > 0 && c.occupancy < 1 {
			n := 1/c.clump - 1
			presence = distuv.Beta{Alpha: c.occupancy * n, Beta: (1 - c.occupancy) * n, Src: rng}.Rand()
		}
		level := c.mean[h] / c.occupancy * c.level(rng)
		for i := range 4 + 2*(j/2%2) {
			q := clipped("A", name("T", j), name("q", i), "Fucus", testDay, 0, 0)
			if q.stratum = []string{"high", "low"}[h]; rng.Float64() < presence {
				density := level * c.density(rng)
				q.cover, q.grams = blank, 1000*q.m2*density
				if c.weighed > 0 {
					q.cover = 20 * density
					q.grams *= distuv.Gamma{Alpha: 10, Beta: 10, Src: rng}.Rand() // cv 0.3
				}
				held = append(held, len(rows))
			}
			rows = append(rows, q)
		}
	}
	if c.weighed > 0 {
		rng.Shuffle(len(held), func(i, j int) { held[i], held[j] = held[j], held[i] })
		for _, i := range held[min(c.weighed, len(held)):] {
			rows[i].grams = blank
		}
	}
	f := folderOf([]Bed{bedOf("A", 5000)}, rows)
	f.Strata = c.strata()
	return f
}

func (c scene) strata() []Stratum {
	return []Stratum{{Bed: "A", Stratum: "high", Area: sceneArea[0]}, {Bed: "A", Stratum: "low", Area: sceneArea[1]}}
}

// coverTally counts how often intervals held the truth, and how wide they were.
type coverTally struct {
	n, held int
	width   float64 // sum of widths over the truth
}

func (t *coverTally) add(lo, hi, truth float64) {
	t.n++
	t.width += (hi - lo) / truth
	if lo <= truth && truth <= hi {
		t.held++
	}
}

func (t coverTally) share() float64 { return float64(t.held) / float64(t.n) }

// covered is what came of the surveys of a scene.
type covered struct {
	surveys, none int                       // none: the species was not found
	plain         coverTally                // Value -+ t SE and nothing else, as R survey's confint
	kind          map[string]*coverTally    // t, log-t, bootstrap
	resampled     int                       // surveys in which the bootstrap was possible
	holding       map[[2]int]*[3]coverTally // by the number of transects and that of those holding it: t, log-t, bootstrap
	sum, squares  float64                   // of estimates
	variances     float64                   // sum of SE²
}

// cover draws surveys of a scene and estimates from each; without resampling where draws is 0.
func (c scene) cover(surveys, draws int, seed uint64) covered {
	rng := newStream(seed, "cover|"+c.name+"|"+name("n", c.transects)+name("p", int(100*c.occupancy))+name("w", c.weighed))
	out := covered{surveys: surveys, kind: map[string]*coverTally{"t": {}, "log-t": {}, "bootstrap": {}}, holding: map[[2]int]*[3]coverTally{}}
	truth := c.total()
	for i := range surveys {
		opt := DefaultOptions()
		if draws > 0 {
			opt.Interval, opt.BootstrapDraws, opt.Seed = "bootstrap", draws, uint64(i)
		}
		stocks := Stocks(c.survey(rng), opt)
		if len(stocks) == 0 || stocks[0].QuadratsWith == 0 {
			out.none++
			continue
		}
		s, e := stocks[0], stocks[0].Kg
		if draws > 0 {
			out.kind["bootstrap"].add(e.Lo, e.Hi, truth)
			if e.Kind == "bootstrap" {
				out.resampled++
			}
		}
		w := tQuantile(0.975, e.DF) * e.SE
		out.plain.add(e.Value-w, e.Value+w, truth)
		t, log := e.Interval(0.95), e.IntervalLog(0.95)
		out.kind["t"].add(t.Lo, t.Hi, truth)
		out.kind["log-t"].add(log.Lo, log.Hi, truth)
		key := [2]int{c.transects, s.PSUWith}
		if out.holding[key] == nil {
			out.holding[key] = &[3]coverTally{}
		}
		out.holding[key][0].add(t.Lo, t.Hi, truth)
		out.holding[key][1].add(log.Lo, log.Hi, truth)
		if e.Kind == "bootstrap" {
			out.holding[key][2].add(e.Lo, e.Hi, truth)
		}
		out.sum, out.squares, out.variances = out.sum+e.Value, out.squares+e.Value*e.Value, out.variances+e.SE*e.SE
	}
	return out
}
