package survey

import "strings"

// overGranted notes permits to which more is granted together than to the bed as a whole, by decisions of their own and,
// where a permit has none, by its share in permits.csv of what is granted to the bed.
func (c *checker) overGranted() {
	held, _ := c.f.InForce()
	type key struct {
		bed, species, season string
		from                 Day
	}
	of := func(d Decision) key {
		return key{d.Bed, d.Species, strings.ToLower(strings.TrimSpace(d.Season)), d.From}
	}
	whole, line, parts := map[key]float64{}, map[key]int{}, map[key][]Decision{}
	for _, d := range held {
		if !(d.Kg >= 0) {
			continue // refused already
		}
		if d.Permit == "" {
			whole[of(d)] += d.Kg
			line[of(d)] = d.Line
		} else {
			parts[of(d)] = append(parts[of(d)], d)
		}
	}
	for _, d := range held {
		k := of(d)
		kg, granted := whole[k]
		all := parts[k]
		if !granted || len(all) == 0 || all[len(all)-1].Line != d.Line {
			continue
		}
		own := map[string]bool{}
		sum := 0.0
		for _, p := range all {
			own[p.Permit] = true
			sum += p.Kg
		}
		shares := 0.0
		for _, p := range c.f.Permits {
			if p.Bed == k.bed && (p.Species == "" || p.Species == k.species) && !own[p.Permit] && p.Share > 0 {
				shares += p.Share
			}
		}
		switch {
		case sum > kg*(1+1e-9):
			c.found.fault("decisions.csv", d.Line, "kg", "grant less to the permits, or more to the bed",
				"%.6g kg are granted to permits for bed %s, %s, season %s, and %.6g kg to the bed as a whole (line %d)", sum, k.bed, k.species, d.Season, kg, line[k])
		case sum+shares*kg > kg*(1+1e-9):
			c.found.fault("decisions.csv", d.Line, "kg", "grant to each permit by a row of its own, or lower the shares in permits.csv",
				"%.6g kg are granted to permits for bed %s, %s, season %s, and the shares of the others are %.4g of the bed's %.6g kg (line %d): together more than there is",
				sum, k.bed, k.species, d.Season, shares, kg, line[k])
		}
	}
}
