package makedemo

import (
	"fmt"
	"math"
	"math/rand/v2"
)

const (
	quadratM2   = 0.25
	coverSD     = 0.15  // of log of weight at a given cover
	frondSD     = 0.12  // of log of a quadrat's mean frond length about that of the bed
	frondsSD    = 0.35  // of log of fronds within a quadrat
	wetSD       = 0.2   // of log of a frond's weight at a given length
	seen        = 0.001 // cover (0-1) below which nobody sees a frond
	perQuadrat  = 5     // fronds measured in a weighed quadrat
	unsampled   = 0.006 // chance that a quadrat falls where no rock is
	lengthBlank = 0.05  // chance that nobody wrote down the length
	clipFrom    = 3000  // g in a quadrat from which half of it is clipped, on some beds
)

// frondYears are the surveys in which fronds were measured one by one.
var frondYears = map[int]bool{2024: true, 2026: true}

// sampler writes the rows of quadrats.csv and fronds.csv.
type sampler struct {
	w        *world
	quadrats [][]string
	fronds   [][]string
}

// visit is one quadrat: its key cells and what the observers are.
type visit struct {
	bed, date, stratum, transect, quadrat, observer string
}

func (v visit) cells() []string { return []string{v.bed, v.date, v.stratum, v.transect, v.quadrat} }

// laid is one species as it lies on a bed in one year.
type laid struct {
	stand stand
	key   Key
	cover cover
	occ   [][]float64
	full  float64
	frond float64
}

// survey samples one bed in one year and records what truly stood there.
func (s *sampler) survey(i int, n int) {
	b := beds[i]
	year := b.surveyYears()[n]
	from := surveyDay(i, year)
	var species []laid
	for _, st := range b.stands {
		key := Key{b.id, st.species}
		kg := s.w.lives[key].stocks[n]
		rng := stream(s.w.seed, fmt.Sprintf("spread|%s|%s|%d", b.id, st.species, year))
		c, parts := s.w.rocks[i].spread(rng, b, st.species, kg, s.w.full[key][n])
		at := StockAt{Date: dateOf(from), Kg: kg, Strata: map[string]float64{}}
		for h, part := range parts {
			at.Strata[b.strata[h].name] = part
		}
		s.w.truth.Stock[key] = append(s.w.truth.Stock[key], at)
		species = append(species, laid{st, key, c, s.w.rocks[i].occ[st.species], s.w.full[key][n], s.w.frondMean(key, kg)})
	}
	rng := stream(s.w.seed, fmt.Sprintf("quadrats|%s|%d", b.id, year))
	for h, str := range b.strata {
		for t, strip := range rng.Perm(strips)[:b.transects] {
			s.transect(rng, b, h, t, strip, year, from+b.stratumDay(h), str.name, species)
		}
	}
}

// transect samples one transect: a strip of a stratum.
func (s *sampler) transect(rng *rand.Rand, b bed, h, t, strip, year, on int, stratum string, species []laid) {
	weighed := map[int]bool{}
	for _, q := range rng.Perm(b.quadrats)[:(b.quadrats+2)/3] {
		weighed[q] = true
	}
	name := fmt.Sprintf("T%d", h*b.transects+t+1)
	for q := range b.quadrats {
		v := visit{b.id, dateOf(on), stratum, name, fmt.Sprintf("%sQ%d", name, q+1), observers[(t+q/3)%len(observers)]}
		missed := b.id == missedBed && year == missedYear && stratum == "lower"
		switch {
		case missed:
			s.row(v, "not_reached", "", "", "", "", "", "swell on the ledge")
		case rng.Float64() < unsampled:
			s.row(v, "unsampleable", "", "", "", "", "", "sand")
		default:
			s.quadrat(rng, v, year, h, strip, weighed[q], species)
		}
	}
}

// quadrat samples one quadrat: a row for each species in it, or one without a species.
func (s *sampler) quadrat(rng *rand.Rand, v visit, year, h, strip int, weighed bool, species []laid) {
	found := 0
	place := rng.Float64() // which wrack stands here, if any
	for _, sp := range species {
		kd := kinds[sp.stand.species]
		p := sp.occ[h][strip]
		var here bool
		if kd.wrack {
			here = place >= 0 && place < p
			place -= p
		} else {
			here = rng.Float64() < p
		}
		if !here || sp.cover == nil {
			continue
		}
		c := beta(rng, sp.cover[h][strip], patchiness)
		if c < seen {
			continue
		}
		found++
		s.species(rng, v, year, sp, c, weighed && !sp.stand.unweighed)
	}
	if found == 0 {
		s.row(v, "done", "", "0", "", "", "", "")
	}
}

// species writes the row of one species with cover c (0-1), and its fronds.
func (s *sampler) species(rng *rand.Rand, v visit, year int, sp laid, c float64, weighed bool) {
	kd := kinds[sp.stand.species]
	length := min(sp.frond*lognormal(rng, frondSD), kd.maxFrond)
	grams := c * sp.full * meanOne(rng, coverSD) * quadratM2 * 1000
	whole := grams
	frond, biomass, clipped := num(length, 0), "", ""
	if c < 0.01 || rng.Float64() < lengthBlank {
		frond = ""
	}
	if weighed {
		if grams > clipFrom && v.bed == missedBed {
			clipped = num(quadratM2/2, 3)
			grams = grams / 2 * meanOne(rng, coverSD/2)
		}
		biomass = num(tidyGrams(grams), 0)
	}
	s.row(v, "done", sp.stand.species, readCover(c), frond, biomass, clipped, "")
	if weighed && frondYears[year] {
		s.measure(rng, v, sp.stand.species, length, whole)
	}
}

// measure writes fronds of a quadrat with the given mean length (cm), not more than its weight (g) allows for.
func (s *sampler) measure(rng *rand.Rand, v visit, species string, length, grams float64) {
	kd := kinds[species]
	for range min(perQuadrat, int(grams/(kd.wetA*math.Pow(length, kd.wetB)))) {
		cm := min(max(length*meanOne(rng, frondsSD), 1), kd.maxFrond)
		wet := kd.wetA * math.Pow(cm, kd.wetB) * lognormal(rng, wetSD)
		stage := "adult"
		if cm < kd.recruit {
			stage = "recruit"
		}
		s.fronds = append(s.fronds, append(v.cells(), species, num(cm, 0), num(max(wet, 0.1), 1), stage))
	}
}

func (s *sampler) row(v visit, what, species, coverPct, frond, biomass, clipped, notes string) {
	cells := append(v.cells(), num(quadratM2, 2), what, species, coverPct, frond, biomass, clipped, v.observer, notes)
	s.quadrats = append(s.quadrats, cells)
}

// readCover is cover as it is read: to five percent from ten on, to one percent below, a trace as 0.5.
func readCover(c float64) string {
	pct := c * 100
	switch {
	case pct < 0.75:
		return "0.5"
	case pct < 10:
		return num(max(pct, 1), 0)
	}
	return num(roundTo(pct, 5), 0)
}

// tidyGrams is weight as a spring balance shows it: to 1 g below 100 g, to 10 g above.
func tidyGrams(g float64) float64 {
	if g < 100 {
		return max(1, roundTo(g, 1))
	}
	return roundTo(g, 10)
}
