package growth

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The pull is found again from draws of the posterior that it makes with means and spreads that vary, and makes z standard
// normal whatever they are.
func TestPull(t *testing.T) {
	want := pull{rr: 8, rk: 3, kk: 20, hr: -2, hk: 50}
	rng := rand.New(rand.NewPCG(4, 2))
	var found pulled
	for range 40000 {
		r := normal{-0.5 + 0.4*rng.NormFloat64(), 0.1 + 0.4*rng.Float64()}
		k := normal{2 + 0.3*rng.NormFloat64(), 0.1 + 0.5*rng.Float64()}
		l := want.given(r, k)
		x := []float64{rng.NormFloat64(), rng.NormFloat64()}
		l.to(x)
		found.add(x[0], x[1], [2]normal{r, k})
	}
	got := found.solve()
	approx(t, "Λ of r", got.rr, want.rr, 0, 0.6)
	approx(t, "Λ of both", got.rk, want.rk, 0, 0.6)
	approx(t, "Λ of K", got.kk, want.kk, 0, 0.9)
	approx(t, "Λ mean of r", got.hr, want.hr, 0, 1.5)
	approx(t, "Λ mean of K", got.hk, want.hk, 0, 3)
}

// L is the Cholesky factor of the covariance, and the way leads back.
func TestLead(t *testing.T) {
	p, r, k := pull{rr: 8, rk: 3, kk: 20, hr: -2, hk: 50}, normal{-0.5, 0.2}, normal{2, 0.4}
	l := p.given(r, k)
	a, b, c := p.rr+25, p.rk, p.kk+1/0.16
	det := a*c - b*b
	approx(t, "variance of r", l.rr*l.rr, c/det, 1e-12, 0)
	approx(t, "covariance", l.rr*l.kr, -b/det, 1e-12, 0)
	approx(t, "variance of K", l.kr*l.kr+l.kk*l.kk, a/det, 1e-12, 0)
	approx(t, "log |L|", l.logDet, -0.5*math.Log(det)-math.Log(0.2*0.4), 1e-12, 0)
	approx(t, "mean of r", a*l.r+b*l.k, p.hr-0.5*25, 1e-12, 0)
	approx(t, "mean of K", b*l.r+c*l.k, p.hk+2/0.16, 1e-12, 0)
	v := []float64{0.3, -0.7}
	l.to(v)
	l.from(v)
	approx(t, "back", v[0], 0.3, 1e-12, 0)
	approx(t, "back", v[1], -0.7, 1e-12, 0)
	free := (&pull{}).given(r, k) // not centred
	approx(t, "sd", free.rr, 0.2, 1e-12, 0)
	approx(t, "as the prior", free.logDet, 0, 0, 1e-12)
}
