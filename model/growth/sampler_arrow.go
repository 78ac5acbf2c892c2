package growth

import "math"

// arrow is a symmetric matrix in the shape of an arrow with a right-hand side, or its Cholesky factor.
type arrow struct {
	diag, next []float64 // stocks: diagonal, and with the next stock
	cross      []float64 // stock by error
	full       []float64 // errors, row by row
	h          []float64 // stocks, then errors
}

func newArrow(n, k int) arrow {
	return arrow{make([]float64, n), make([]float64, n), make([]float64, n*k), make([]float64, k*k), make([]float64, n+k)}
}

// cholesky replaces the lower triangle by its factor and h by L^-1 h, for n stocks and k errors, and returns log |L|.
func (a *arrow) cholesky(n, k int) float64 {
	return a.choleskyBand(n, k) + a.choleskyCorner(n, k)
}

// choleskyBand eliminates the stocks one after the other; each touches the next and the errors.
func (a *arrow) choleskyBand(n, k int) float64 {
	det, logDet := 1.0, 0.0
	for t := range n {
		l := math.Sqrt(a.diag[t])
		inv := 1 / l
		a.diag[t] = l
		if det *= l; det > 1e200 {
			logDet += math.Log(det)
			det = 1
		}
		cross := a.cross[t*k : t*k+k]
		h := a.h[t] * inv
		a.h[t] = h
		for i := range cross {
			cross[i] *= inv
			a.h[n+i] -= cross[i] * h
			for j, x := range cross[:i+1] {
				a.full[i*k+j] -= cross[i] * x
			}
		}
		if t+1 < n {
			o := a.next[t] * inv
			a.next[t] = o
			a.diag[t+1] -= o * o
			a.h[t+1] -= o * h
			for i, x := range cross {
				a.cross[t*k+k+i] -= o * x
			}
		}
	}
	return logDet + math.Log(det)
}

// choleskyCorner factorises what is left for the errors.
func (a *arrow) choleskyCorner(n, k int) float64 {
	logDet := 0.0
	for i := range k {
		row := a.full[i*k : i*k+k]
		for j := range i {
			sum := row[j]
			for m := range j {
				sum -= row[m] * a.full[j*k+m]
			}
			row[j] = sum / a.full[j*k+j]
		}
		d := row[i]
		for m := range i {
			d -= row[m] * row[m]
			a.h[n+i] -= row[m] * a.h[n+m]
		}
		row[i] = math.Sqrt(d)
		a.h[n+i] /= row[i]
		logDet += math.Log(row[i])
	}
	return logDet
}
