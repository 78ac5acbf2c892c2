package growth

import "math"

// arrow is the Cholesky factor of a symmetric matrix in the shape of an arrow, with a right-hand side.
type arrow struct {
	diag, next []float64 // stocks: diagonal, and with the next stock
	inv        []float64 // 1/diag of the factor
	cross      []float64 // stock by error
	full       []float64 // errors, row by row
	h          []float64 // stocks, then errors
}

func newArrow(n, k int) arrow {
	return arrow{make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n*k), make([]float64, k*k), make([]float64, n+k)}
}

// cholesky replaces the lower triangle by its factor L, for n stocks and k errors, and returns log |L|.
func (a *arrow) cholesky(n, k int) float64 {
	return a.choleskyBand(n, k) + a.choleskyCorner(k)
}

// choleskyBand eliminates the stocks one after the other; each touches the next and the errors.
func (a *arrow) choleskyBand(n, k int) float64 {
	det, logDet := 1.0, 0.0
	for t := range n {
		l := math.Sqrt(a.diag[t])
		inv := 1 / l
		a.diag[t], a.inv[t] = l, inv
		if det *= l; det > 1e200 {
			logDet += math.Log(det)
			det = 1
		}
		cross := a.cross[t*k : t*k+k]
		for i := range cross {
			cross[i] *= inv
			for j, x := range cross[:i+1] {
				a.full[i*k+j] -= cross[i] * x
			}
		}
		if t+1 < n {
			o := a.next[t] * inv
			a.next[t] = o
			a.diag[t+1] -= o * o
			for i, x := range cross {
				a.cross[t*k+k+i] -= o * x
			}
		}
	}
	return logDet + math.Log(det)
}

// choleskyCorner factorises what is left for the errors.
func (a *arrow) choleskyCorner(k int) float64 {
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
		}
		row[i] = math.Sqrt(d)
		logDet += math.Log(row[i])
	}
	return logDet
}

// solve replaces h by L^-1 h.
func (a *arrow) solve(n, k int) {
	for t := range n {
		h := a.h[t] * a.inv[t]
		a.h[t] = h
		for i, x := range a.cross[t*k : t*k+k] {
			a.h[n+i] -= x * h
		}
		if t+1 < n {
			a.h[t+1] -= a.next[t] * h
		}
	}
	for i := range k {
		row := a.full[i*k : i*k+k]
		for m := range i {
			a.h[n+i] -= row[m] * a.h[n+m]
		}
		a.h[n+i] /= row[i]
	}
}
