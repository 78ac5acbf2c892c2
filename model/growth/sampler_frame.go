package growth

import (
	"slices"

	"gonum.org/v1/gonum/mat"
)

// frame is a chart, with [lead] before it for log r and log K, and a linear change before both, v = centre + L y, in which
// the posterior is near a spherical t.
type frame struct {
	*chart
	chances *chances // of the undated storms; nil for what the beds have in common
	centre  []float64
	l       []float64 // lower triangle, row by row, d x d
}

// apply is v = centre + L y.
func (f *frame) apply(y, v []float64) {
	d := len(y)
	for i := range v {
		sum := f.centre[i]
		for j, l := range f.l[i*d : i*d+i+1] {
			sum += l * y[j]
		}
		v[i] = sum
	}
}

// solve is y = L^-1 (v - centre).
func (f *frame) solve(v, y []float64) {
	d := len(y)
	for i := range y {
		sum := v[i] - f.centre[i]
		for j, l := range f.l[i*d : i*d+i] {
			sum -= l * y[j]
		}
		y[i] = sum / f.l[i*d+i]
	}
}

// fit lays the frame by points of d coordinates, of which some are left to themselves. The covariance is
// drawn a little to its diagonal, as few points tell little of correlations; a frame that cannot be had is left as it was.
func (f *frame) fit(points []float64, d int, alone ...int) {
	n := len(points) / d
	centre := make([]float64, d)
	for i, v := range points {
		centre[i%d] += v / float64(n)
	}
	cov := mat.NewSymDense(d, nil)
	for i := range d {
		for j := 0; j <= i; j++ {
			var sum float64
			for k := range n {
				sum += (points[k*d+i] - centre[i]) * (points[k*d+j] - centre[j])
			}
			cov.SetSym(i, j, sum/float64(n-1))
		}
	}
	shrink := float64(n) / (float64(n) + 10*float64(d))
	for i := range d {
		for j := range i {
			cov.SetSym(i, j, cov.At(i, j)*shrink)
			if slices.Contains(alone, i) || slices.Contains(alone, j) {
				cov.SetSym(i, j, 0)
			}
		}
		cov.SetSym(i, i, cov.At(i, i)+1e-12)
	}
	var chol mat.Cholesky
	if !chol.Factorize(cov) {
		return
	}
	var l mat.TriDense
	chol.LTo(&l)
	for i := range d {
		for j := 0; j <= i; j++ {
			f.l[i*d+j] = l.At(i, j)
		}
	}
	f.centre = slices.Clone(centre)
}
