package growth

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// never is a likelihood that levels off nowhere.
var never = levelling{math.Inf(1), 1}

// The pull is found again from draws of the posterior that it makes with means, spreads and lasting errors that vary.
func TestPull(t *testing.T) {
	want := pull{rr: 8, rk: 3, kk: 20, hr: -2, hk: 50, cr: 5, ck: 18}
	rng := rand.New(rand.NewPCG(4, 2))
	var found pulled
	for range 40000 {
		r := normal{-0.5 + 0.4*rng.NormFloat64(), 0.1 + 0.4*rng.Float64()}
		k := normal{2 + 0.3*rng.NormFloat64(), 0.1 + 0.5*rng.Float64()}
		o := 0.2 + 0.3*rng.NormFloat64()
		l := want.given(r, k, o, &never)
		x := []float64{rng.NormFloat64(), rng.NormFloat64()}
		l.to(x)
		found.add(x[0], x[1], o, [2]normal{r, k})
	}
	m := found.moments()
	got := m.solve()
	approx(t, "Λ of r", got.rr, want.rr, 0, 0.6)
	approx(t, "Λ of both", got.rk, want.rk, 0, 0.6)
	approx(t, "Λ of K", got.kk, want.kk, 0, 0.9)
	approx(t, "Λ mean of r", got.hr, want.hr, 0, 1.5)
	approx(t, "Λ mean of K", got.hk, want.hk, 0, 3)
	approx(t, "C of r", got.cr, want.cr, 0, 0.8)
	approx(t, "C of K", got.ck, want.ck, 0, 1.2)
}

// L is the Cholesky factor of the covariance, and the way leads back.
func TestLead(t *testing.T) {
	p, r, k := pull{rr: 8, rk: 3, kk: 20, hr: -2, hk: 50}, normal{-0.5, 0.2}, normal{2, 0.4}
	l := p.given(r, k, 0, &never)
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
	free := (&pull{}).given(r, k, 0, &never) // not centred
	approx(t, "sd", free.rr, 0.2, 1e-12, 0)
	approx(t, "as the prior", free.logDet, 0, 0, 1e-12)
}

// Up to its middle the surveys hold as a normal. Far above they tell nothing of r, which keeps to that of the species, and log K
// lies where it would with log r at the edge.
func TestLeadTowardsFastRegrowth(t *testing.T) {
	p, k := pull{rr: 16, rk: 6, kk: 20, hr: 2, hk: 50, cr: 3, ck: 20}, normal{2, 0.4}
	off := levelling{-0.3, 0.2}
	at := func(logR float64, off levelling) lead { return p.given(normal{logR, 0.2}, k, 0.1, &off) }
	require.Equal(t, at(-0.4, never), at(-0.4, off))
	approx(t, "the edge", off.edge(), 0.3, 1e-12, 0)
	approx(t, "half", off.holds(off.edge()), 0.5, 1e-12, 0)
	far := at(40, off)
	approx(t, "r", far.r, 40, 0, 1e-3)
	approx(t, "sd of r", far.rr, 0.2, 1e-4, 0)
	approx(t, "correlation", far.kr, 0, 0, 1e-4)
	approx(t, "K", far.k, (p.hk-0.1*p.ck+2/0.16-p.rk*off.edge())/(p.kk+1/0.16), 0, 1e-3)
	for d := -3.0; d < 3; d += 0.01 { // without a jump
		a, b := at(d, off), at(d+0.01, off)
		require.Less(t, math.Abs(a.r-b.r), 0.04)
		require.Less(t, math.Abs(a.k-b.k), 0.03)
	}
}

// A lasting error moves the means of log r and log K as C says, and nothing else.
func TestLeadOfALastingError(t *testing.T) {
	p, r, k := pull{rr: 8, rk: 3, kk: 20, hr: -2, hk: 50, cr: 3, ck: 20}, normal{-0.5, 0.2}, normal{2, 0.4}
	none, some := p.given(r, k, 0, &never), p.given(r, k, 0.1, &never)
	a, b, c := p.rr+25, p.rk, p.kk+1/0.16
	dr, dk := some.r-none.r, some.k-none.k
	approx(t, "of r", a*dr+b*dk, -0.1*3, 1e-12, 1e-12)
	approx(t, "of K", b*dr+c*dk, -0.1*20, 1e-12, 1e-12)
	some.r, some.k = none.r, none.k
	require.Equal(t, none, some)
}

// With few draws a bed leans on the others, with many it does not; beds alike stay as they are.
func TestLean(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 3))
	of := func(l pull, n int) moments {
		var found pulled
		for range n {
			r, k := normal{-0.5 + 0.4*rng.NormFloat64(), 0.3}, normal{2 + 0.3*rng.NormFloat64(), 0.4}
			lead := l.given(r, k, 0, &never)
			x := []float64{rng.NormFloat64(), rng.NormFloat64()}
			lead.to(x)
			found.add(x[0], x[1], 0, [2]normal{r, k})
		}
		return found.moments()
	}
	weak, strong := pull{rr: 4, kk: 4}, pull{rr: 4, kk: 40}
	lean := func(beds []moments) {
		mean := meanMoments(beds)
		for k := range beds {
			beds[k] = beds[k].lean(&mean)
		}
	}
	few := []moments{of(weak, 30), of(strong, 1e6)}
	lean(few)
	require.Greater(t, few[0].solve().kk, 5.0)
	many := []moments{of(weak, 1e6), of(strong, 1e6)}
	alone := many[0].solve().kk
	lean(many)
	approx(t, "many draws", many[0].solve().kk, alone, 0.02, 0)
	same := of(strong, 100)
	alike := []moments{same, same, same}
	lean(alike)
	approx(t, "alike", alike[1].solve().kk, same.solve().kk, 1e-9, 0)
}
