package survey

import (
	"fmt"
	"slices"
	"sync"
)

const (
	soundPairs = 10  // weighed quadrats with cover that a calibration needs
	fewPairs   = 3   // the least with which one is made at all, with a warning
	bedsForTau = 4   // beds needed to estimate how calibrations differ between beds
	guessedTau = 0.3 // of k: how beds differ where fewer were weighed; judgement, no source
)

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
