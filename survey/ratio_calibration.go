package survey

import (
	"fmt"
	"math"
	"slices"
	"sync"
)

const (
	soundPairs = 10  // weighed quadrats with cover that a calibration needs
	fewPairs   = 3   // the least with which one is made at all, with a warning
	bedsForTau = 4   // beds needed to estimate how calibrations differ between beds
	guessedTau = 0.3 // of k: how beds differ where fewer were weighed; judgement, no source
)

// pairs are the quadrats of one survey of a bed in which a species was weighed and its cover read.
type pairs struct {
	bed     int
	shore   string
	year    int
	kg      []float64 // kg/m2
	cover   []float64 // percent
	m2      []float64
	length  []float64 // mean frond length, cm; NaN: not read
	units   []int     // sampling unit, numbered over the whole folder
	covered int       // pairs with cover above 0
}

// calibration is a conversion kg/m2 = k cover taken from a domain wider than the survey, with the error that all stocks
// that use it share.
type calibration struct {
	domain string // as in Stock.Domain
	id     string
	k      float64
	vk     part // variance of k
	tau    part // variance of a bed's own ratio about k
	n      int  // pairs with cover above 0
	beds   int

	candidates []Candidate
	between    BedRatios
	note       string
	model      *wideModel // nil: the ratio
}

// calibrations hold the pairs of every species and the calibrations made of them so far.
type calibrations struct {
	pairs  map[string]*domainSet    // of every species
	within map[domainKey]*domainSet // the same in one year, on one shore or on all
	made   map[string]calibration   // so far
	making sync.Mutex               // of made
	found  map[string]bool          // species found in some survey
	direct map[string]bool          // of these, those of which a survey weighed every quadrat holding it

	f          *Folder
	conversion string
	fronds     map[uint32][]int32 // see frondRows
}

// newCalibrations gathers the pairs of all surveys.
func newCalibrations(f *Folder, visits []*fieldwork) *calibrations {
	c := &calibrations{pairs: map[string]*domainSet{}, within: map[domainKey]*domainSet{}, made: map[string]calibration{}, found: map[string]bool{},
		direct: map[string]bool{}, f: f, conversion: "auto", fronds: frondRows(f)}
	offset := 0
	for _, s := range visits {
		if s.design == nil {
			continue
		}
		for id, rows := range s.species { // each species gets its pairs in the order of the visits
			r, name := s.readings(&f.Quadrats, rows), f.Names[id]
			if p := s.pairs(r, offset); len(p.kg) > 0 {
				c.add(name, p)
			}
			if n := r.count(r.holds); n > 0 {
				c.found[name] = true
				c.direct[name] = c.direct[name] || r.count(r.weighed) == n
			}
		}
		offset += s.design.units
	}
	return c
}

// wanting sets the model asked for, as in [Options]; without it the best is taken.
func (c *calibrations) wanting(conversion string) *calibrations {
	c.conversion = conversion
	return c
}

// id is the interned name of a species.
func (c *calibrations) id(species string) uint32 {
	i, ok := slices.BinarySearch(c.f.Names, species)
	if !ok {
		return ^uint32(0)
	}
	return uint32(i)
}

// pairs are the quadrats with cover and weight.
func (s *fieldwork) pairs(r readings, offset int) pairs {
	p := pairs{bed: s.bed, shore: s.shore, year: s.date.Year()}
	for i := range r.cover {
		if !r.paired(i) {
			continue
		}
		p.kg = append(p.kg, r.kg[i])
		p.cover = append(p.cover, r.cover[i])
		p.m2 = append(p.m2, s.design.m2[i])
		p.length = append(p.length, r.frond[i])
		p.units = append(p.units, offset+int(s.design.unit[i]))
		if r.cover[i] > 0 {
			p.covered++
		}
	}
	return p
}

// domainSet are the pairs of a domain, in the order of beds and dates.
type domainSet struct {
	sets    []pairs
	covered int
}

// domainKey names a domain within a species; an empty shore stands for all.
type domainKey struct {
	species, shore string
	year           int
}

// add puts the pairs of a survey into their domains.
func (c *calibrations) add(species string, p pairs) {
	if c.pairs[species] == nil {
		c.pairs[species] = &domainSet{}
	}
	c.pairs[species].add(p)
	keys := []domainKey{{species: species, year: p.year}}
	if p.shore != "" {
		keys = append(keys, domainKey{species, p.shore, p.year})
	}
	for _, k := range keys {
		if c.within[k] == nil {
			c.within[k] = &domainSet{}
		}
		c.within[k].add(p)
	}
}

func (d *domainSet) add(p pairs) {
	d.sets = append(d.sets, p)
	d.covered += p.covered
}

// of gives the pairs of a domain and how many have cover above 0.
func (d *domainSet) of() ([]pairs, int) {
	if d == nil {
		return nil, 0
	}
	return d.sets, d.covered
}

// wide is the calibration from the narrowest domain beyond the survey with enough pairs: shore and year, species and
// year, species. The last is used down to a few pairs. n is the number of pairs the species has in the folder; ok is
// false where those are too few.
func (c *calibrations) wide(species, shore string, year int) (cal calibration, n int, ok bool) {
	inYear := c.within[domainKey{species: species, year: year}]
	onShore := c.within[domainKey{species, shore, year}]
	if shore == "" {
		onShore = nil
	}
	domains := []struct {
		name, id string
		in       *domainSet
	}{
		{"shore and year", fmt.Sprintf("calibration|%s|shore and year|%s|%d", species, shore, year), onShore},
		{"species and year", fmt.Sprintf("calibration|%s|species and year|%d", species, year), inYear},
		{"species", fmt.Sprintf("calibration|%s|species", species), c.pairs[species]},
	}
	for i, d := range domains {
		var sets []pairs
		if sets, n = d.in.of(); n < soundPairs && !(i == len(domains)-1 && n >= fewPairs) {
			continue
		}
		return c.make(d.name, d.id, sets, n), n, true
	}
	return calibration{}, n, false
}

// make works out the calibration of a domain once; surveys that are estimated side by side share it.
func (c *calibrations) make(domain, id string, sets []pairs, n int) calibration {
	c.making.Lock()
	defer c.making.Unlock()
	cal, made := c.made[id]
	if !made {
		cal = calibrateBy(sets, c.conversion)
		cal.domain, cal.id, cal.n = domain, id, n
		c.made[id] = cal
	}
	return cal
}

// never is the reason why a species that was found could be converted to weight in no survey of the folder, empty where
// it could or was not found at all.
func (c *calibrations) never(species string, sp *Species) string {
	if !c.found[species] || c.direct[species] || sp != nil && sp.CoverA.OK {
		return ""
	}
	_, n := c.pairs[species].of()
	if n >= fewPairs {
		return ""
	}
	return tooFew(n)
}

// calibrate fits k = Σ m2 y / Σ m2 x over the pairs of a domain, with the variance v(k) between sampling units. The
// ratio of a bed differs from k by τ²: from at least four beds by restricted maximum likelihood, and then
//
//	v = τ² (1 + Σ_b s_b²)
//
// with s_b the part of bed b in Σ m2 x, as k itself is a mean of few beds; else (0.3 k)².
func calibrate(sets []pairs) calibration {
	var all pairs
	for _, p := range sets {
		all = all.join(p)
	}
	fit := throughOrigin(all.kg, all.cover, all.m2)
	beds := byBed(sets)
	c := calibration{k: fit.k, beds: len(beds), vk: clusteredVariance(fit, all.m2, all.units)}
	c.tau = part{guessedTau * guessedTau * fit.k * fit.k, math.Inf(1)}
	c.between = compareBeds(jackknifed(beds))
	if k, v := bedRatios(beds); len(k) >= bedsForTau {
		tau2, _ := betweenVariance(k, v)
		c.between.Tau2 = tau2
		c.tau = part{tau2 * (1 + concentration(beds)), float64(len(k) - 1)}
	}
	return c
}

// byBed joins the pairs of each bed; sets are in the order of beds.
func byBed(sets []pairs) []pairs {
	var out []pairs
	for _, p := range sets {
		if n := len(out); n > 0 && out[n-1].bed == p.bed {
			out[n-1] = out[n-1].join(p)
			continue
		}
		out = append(out, pairs{bed: p.bed}.join(p))
	}
	return out
}

// concentration is Σ s_b², with s_b the part of bed b in Σ m2 x: 1/n for n alike.
func concentration(beds []pairs) float64 {
	all, squares := 0.0, 0.0
	for _, b := range beds {
		x := 0.0
		for i := range b.cover {
			x += b.m2[i] * b.cover[i]
		}
		all += x
		squares += x * x
	}
	return squares / (all * all)
}

// clusteredVariance is the variance of a slope between clusters, between points where there is one cluster.
func clusteredVariance(fit slope, w []float64, clusters []int) part {
	v, m := fit.variance(w, clusters)
	if m < 2 {
		each := make([]int, len(w))
		for i := range each {
			each[i] = i
		}
		v, m = fit.variance(w, each)
	}
	return part{v, float64(m - 1)}
}

// bedRatios are the ratios of single beds with their variances, of beds with enough pairs in two or more units.
func bedRatios(beds []pairs) (k, v []float64) {
	for _, b := range beds {
		fit := throughOrigin(b.kg, b.cover, b.m2)
		if vk, m := fit.variance(b.m2, b.units); b.covered >= fewPairs && m >= 2 && fit.k > 0 {
			k, v = append(k, fit.k), append(v, vk)
		}
	}
	return k, v
}

// join appends the pairs of another survey.
func (p pairs) join(q pairs) pairs {
	p.kg = append(p.kg, q.kg...)
	p.cover = append(p.cover, q.cover...)
	p.m2 = append(p.m2, q.m2...)
	p.length = append(p.length, q.length...)
	p.units = append(p.units, q.units...)
	p.covered += q.covered
	return p
}

// distinct is the number of different values.
func distinct(x []int) int {
	seen := map[int]bool{}
	for _, v := range x {
		seen[v] = true
	}
	return len(seen)
}
