package survey

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// TypingColumn is how often the cells of a column, or of all, were typed differently.
//
// Rate is the keying error rate: slips per cell typed. Each difference is a slip in one of the two typings (in both,
// hardly ever), so that with d differences in n cells
//
//	Rate = d / 2n,   Lo, Hi = half the exact 95 % interval of the share d/n
//
// Slips that both typings have alike do not show. Rate, Lo and Hi are NaN without cells. Cells of one row are taken as
// independent.
//
// References:
//   - Clopper, C. J. and Pearson, E. S.: The use of confidence or fiducial limits illustrated in the case of the
//     binomial. Biometrika 26 (1934) 404-413
type TypingColumn struct {
	Column        string // empty: all together
	Cells, Differ int    // cells of rows in both files that are not blank in both; those that differ
	Rate, Lo, Hi  float64
}

// rated fills in the rate and its interval.
func (c TypingColumn) rated() TypingColumn {
	c.Rate, c.Lo, c.Hi = math.NaN(), math.NaN(), math.NaN()
	if c.Cells > 0 {
		lo, hi := clopperPearson(c.Differ, c.Cells, 0.95)
		c.Rate, c.Lo, c.Hi = float64(c.Differ)/float64(2*c.Cells), lo/2, hi/2
	}
	return c
}

// clopperPearson is the exact interval of a share, x of n, at a level.
func clopperPearson(x, n int, level float64) (lo, hi float64) {
	tail := (1 - level) / 2
	hi = 1
	if x > 0 {
		lo = distuv.Beta{Alpha: float64(x), Beta: float64(n - x + 1)}.Quantile(tail)
	}
	if x < n {
		hi = distuv.Beta{Alpha: float64(x + 1), Beta: float64(n - x)}.Quantile(1 - tail)
	}
	return lo, hi
}
