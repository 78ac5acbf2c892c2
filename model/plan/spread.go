package plan

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Interval is the interval at a level in (0, 1) in which the coefficient of variation of a plan lies, given how well the
// variances are known that it rests on. Each draw divides a mean square by χ²/df and takes the variances anew,
//
//	S_b² = max(0, M_b df/χ² - S_w²/m),   S_w² = M_w df/χ²,   S_r² = M_r df/χ²
//
// with M_b the variance of the means of the transects visited and m the quadrats that each was of; the bounds are
// quantiles of the draws. NaN where a layer's variances are guesses or have no degrees of freedom.
//
// References:
//   - Searle, S. R., Casella, G. and McCulloch, C. E.: Variance Components. Wiley (1992), sections 3.5-3.6
//   - Weerahandi, S.: Generalized confidence intervals. Journal of the American Statistical Association 88 (1993) 899-905
func (s Subject) Interval(layers []Layer, e Effort, level float64, rng *rand.Rand) (lo, hi float64) {
	for _, p := range s.Spreads {
		if o := p.Origin; o.Pretended || !(o.MeansDF > 0) || p.Within > 0 && !(o.WithinDF > 0) || p.Rest > 0 && !(o.RestDF > 0) {
			return math.NaN(), math.NaN()
		}
	}
	const draws = 2000
	cvs := make([]float64, draws)
	drawn := s
	drawn.Spreads = make([]Spread, len(s.Spreads))
	for i := range cvs {
		for h, p := range s.Spreads {
			drawn.Spreads[h] = p.draw(rng)
		}
		cvs[i] = drawn.CV(layers, e)
	}
	slices.Sort(cvs)
	at := func(p float64) float64 { return cvs[int(math.Round(p*(draws-1)))] }
	return at((1 - level) / 2), at((1 + level) / 2)
}

// draw is what the variances may be as well.
func (p Spread) draw(rng *rand.Rand) Spread {
	o := p.Origin
	out := Spread{Within: scaled(p.Within, o.WithinDF, rng), Rest: scaled(p.Rest, o.RestDF, rng)}
	out.Between = max(0, scaled(o.Means, o.MeansDF, rng)-out.Within/o.PerMean)
	return out
}

// scaled is a mean square times df/χ².
func scaled(square, df float64, rng *rand.Rand) float64 {
	if square == 0 {
		return 0
	}
	return square * df / distuv.ChiSquared{K: df, Src: rng}.Rand()
}
