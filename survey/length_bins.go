package survey

import "math"

// LengthBin is a class of lengths, From <= length < To.
type LengthBin struct {
	From, To float64 // cm
	Measured int     // fronds measured
	Fronds   float64 // share of all fronds, 0-1
	Weight   float64 // share of all weight, 0-1
}

const (
	binsWanted = 15   // classes up to the longest frond of the species
	mostBins   = 1000 // more than that are never made
)

// binWidths is the width of the classes of every species, the same on all beds and surveys so that they can be
// compared: 1, 2 or 5 times a power of ten.
func binWidths(f *Folder) map[uint32]float64 {
	longest := map[uint32]float64{}
	for i, id := range f.Fronds.Species {
		longest[id] = max(longest[id], orZero(f.Fronds.Length[i]))
	}
	for i, id := range f.Quadrats.Species {
		longest[id] = max(longest[id], orZero(f.Quadrats.Frond[i]))
	}
	for id, l := range longest {
		longest[id] = niceWidth(l / binsWanted)
	}
	return longest
}

// niceWidth is the smallest of 1, 2 and 5 times a power of ten that is not below w; 1 where w is not above 0.
func niceWidth(w float64) float64 {
	if !(w > 0) {
		return 1
	}
	unit := math.Pow(10, math.Floor(math.Log10(w)))
	for _, k := range []float64{1, 2, 5} {
		if w <= k*unit*(1+1e-9) {
			return k * unit
		}
	}
	return 10 * unit
}

// bins share out fronds and weight over classes of a width, from 0. The last class of lognormal lengths holds all that
// is longer, at most one in a thousand of a quadrat's weight.
func (l *lengthSample) bins(width float64) []LengthBin {
	m, reach := l.model(), 0.0
	for _, p := range l.parts {
		reach = max(reach, m.reach(p))
	}
	n := min(int(reach/width*(1+1e-12))+1, mostBins)
	out := make([]LengthBin, n)
	weights, fronds, weight := l.frondWeights(m), 0.0, 0.0
	for j, p := range l.parts {
		mass := m.mass(p)
		fronds, weight = fronds+weights[j], weight+weights[j]*mass
		m.share(p, width, out, weights[j], mass)
	}
	for k := range out {
		out[k].From, out[k].To = float64(k)*width, float64(k+1)*width
		out[k].Fronds /= fronds
		out[k].Weight /= weight
	}
	return out
}

// share adds one part to the classes.
func (m lengthModel) share(p lengthPart, width float64, out []LengthBin, w, mass float64) {
	last := len(out) - 1
	if p.measured || m.sigma == 0 {
		k := min(int(p.length/width*(1+1e-12)), last)
		out[k].Fronds += w
		out[k].Weight += w * mass
		if p.measured {
			out[k].Measured++
		}
		return
	}
	below, above := 0.0, 1.0
	for k := range out {
		nextBelow, nextAbove := 1.0, 0.0
		if k < last {
			c := float64(k+1) * width
			nextBelow, nextAbove = m.below(p, c), m.above(p, c, 0)
		}
		out[k].Fronds += w * (nextBelow - below)
		out[k].Weight += w * mass * (above - nextAbove)
		below, above = nextBelow, nextAbove
	}
}

// reach is the length that holds all of a part, or but for a thousandth of its weight.
func (m lengthModel) reach(p lengthPart) float64 {
	if p.measured {
		return p.length
	}
	return p.length * math.Exp(m.sigma*(3.09+m.power*m.sigma)-m.sigma*m.sigma/2)
}

// greatest is the quadrat that stands for most fronds, and its share of them.
func (l *lengthSample) greatest() (quadrat int32, share float64) {
	sum, best, at, most := 0.0, int32(-1), 0.0, 0.0
	weights := l.frondWeights(l.model())
	for j, p := range l.parts {
		if j == 0 || p.quad != l.parts[j-1].quad {
			at = 0
		}
		at += weights[j]
		sum += weights[j]
		if at > most {
			best, most = p.quad, at
		}
	}
	return best, most / sum
}
