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

// bentFrame is the frame of what the beds have in common, with a bend of its first two coordinates, log r and log k, before the
// linear change.
type bentFrame struct {
	frame
	bends [2]bend
}

// apply fills v from y and returns log |dv/dy|, less that of L.
func (f *bentFrame) apply(y, v []float64) (logDet float64) {
	f.frame.apply(y, v)
	for k := range f.bends {
		var slope float64
		v[k], slope = f.bends[k].apply(v[k])
		logDet += slope
	}
	return logDet
}

// solve fills y from v and returns what apply does.
func (f *bentFrame) solve(v, y []float64) (logDet float64) {
	copy(y, v)
	for k := range f.bends {
		var slope float64
		y[k], slope = f.bends[k].solve(v[k])
		logDet += slope
	}
	f.frame.solve(y, y)
	return logDet
}

// fitBent lays the frame by points of d coordinates, which it bends.
func (f *bentFrame) fitBent(points []float64, d int, alone ...int) {
	column := make([]float64, 0, len(points)/d)
	for k := range f.bends {
		column = column[:0]
		for i := k; i < len(points); i += d {
			column = append(column, points[i])
		}
		f.bends[k] = fitBend(column)
		for i := k; i < len(points); i += d {
			points[i], _ = f.bends[k].solve(points[i])
		}
	}
	f.fit(points, d, alone...)
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

// solve is y = L^-1 (v - centre); y may be v.
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
