package survey

import "math"

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

// distinct is the number of different values.
func distinct(x []int) int {
	seen := map[int]bool{}
	for _, v := range x {
		seen[v] = true
	}
	return len(seen)
}
