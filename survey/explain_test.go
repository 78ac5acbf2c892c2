package survey

import (
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// explained are the explanations of all stocks of a folder, each beside its stock.
func explained(t *testing.T, f *Folder, opt Options) []Explanation {
	t.Helper()
	stocks := Stocks(f, opt)
	out := explainAll(f, opt, anything, anything)
	require.Len(t, out, len(stocks))
	for i, x := range out {
		assert.Equal(t, stockName(stocks[i]), stockName(x.Stock))
	}
	one := Explain(f, opt, stocks[0].Bed, stocks[0].Species)
	require.NotEmpty(t, one)
	for i, x := range one {
		assert.Equal(t, stockName(out[i].Stock), stockName(x.Stock))
		approx(t, "as one", x.Stock.Kg.SE, out[i].Stock.Kg.SE, 0, 0)
	}
	return out
}

func anything(string) bool { return true }

// stockName is what two stocks are told apart by.
func stockName(s Stock) [6]any {
	return [6]any{s.Bed, s.Species, s.Survey, s.Status, s.Conversion, math.Float64bits(s.Kg.Value + s.Kg.SE)}
}

// followed checks that the pieces of an explanation make its stock, by the formulas of [Explanation] alone.
func followed(t tester, x Explanation) {
	t.Helper()
	name := x.Stock.Bed + " " + x.Stock.Species + " " + x.Stock.Survey + " " + x.Stock.Conversion
	kg := x.Stock.Kg
	if !kg.OK {
		assert.NotEmpty(t, x.Stock.Reason, name)
		assert.NotEmpty(t, x.Next, name)
		assert.Empty(t, x.Parts, name)
		return
	}
	b, quadrats := 0.0, 0
	for _, h := range x.Strata {
		b += h.Area * h.KgM2
		quadrats += h.Quadrats
	}
	approx(t, name+" kg", b, kg.Value, 1e-12, 0)
	assert.Equal(t, x.Stock.Quadrats, quadrats, name)
	if len(x.Parts) == 0 {
		assert.True(t, math.IsNaN(kg.SE), name)
		return
	}
	v, below, known := 0.0, 0.0, math.Inf(1)
	for _, p := range x.Parts {
		v += p.V
		known = min(known, p.DF)
		if p.V > 0 {
			below += p.V * p.V / p.DF
		}
	}
	approx(t, name+" se", math.Sqrt(v), kg.SE, 1e-9, 0)
	df := v * v / below
	if below == 0 {
		df = known
	}
	approx(t, name+" df", df, kg.DF, 1e-9, 0)
	followedSampling(t, name, x)
	if math.IsNaN(x.T) {
		assert.True(t, math.IsNaN(kg.Lo) || kg.SE == 0 || kg.Kind == "bootstrap", name)
		return
	}
	approx(t, name+" t", x.T, distuv.StudentsT{Sigma: 1, Nu: kg.DF}.Quantile(0.5+kg.Level/2), 1e-12, 0)
	lo, hi := max(0, b-x.T*kg.SE), b+x.T*kg.SE
	if kg.Kind == "log-t" {
		s := x.T * math.Sqrt(math.Log(1+v/(b*b)))
		lo, hi = b*math.Exp(-s), b*math.Exp(s)
	}
	approx(t, name+" lo", lo, kg.Lo, 1e-9, 1e-9*b)
	approx(t, name+" hi", hi, kg.Hi, 1e-9, 0)
}

// followedSampling checks the variance between sampling units from their parts.
func followedSampling(t tester, name string, x Explanation) {
	t.Helper()
	sum := 0.0
	for g, group := range x.Groups {
		n, mean, ss := 0.0, 0.0, 0.0
		for _, u := range x.Units {
			if u.Group == g {
				n, mean = n+1, mean+u.Z/float64(group.Units)
			}
		}
		assert.Equal(t, float64(group.Units), n, name)
		for _, u := range x.Units {
			if u.Group == g {
				ss += (u.Z - mean) * (u.Z - mean)
			}
		}
		if n > 1 {
			approx(t, name+" group", group.FPC*n/(n-1)*ss, group.V, 1e-9, 1e-18)
		}
		sum += group.V
	}
	followedConversion(t, name, x)
	p := x.Parts[0]
	assert.Equal(t, PartSampling, p.Kind)
	approx(t, name+" between units", sum, p.Between, 1e-9, 0)
	approx(t, name+" sampling", max(0, p.Between+p.Covariance), p.V, 1e-9, 0)
}

// Of the demo, whatever the options, the pieces make the stocks.
func TestExplainDemo(t *testing.T) {
	table, problems := ReadSpecies(os.DirFS("../data"), "species.csv")
	require.Empty(t, problems.Faults())
	f, err := Read(os.DirFS("../data/demo"), table, DefaultOptions())
	require.NoError(t, err)
	met := map[string]int{}
	for name, set := range map[string]func(o *Options){
		"as is":         func(*Options) {},
		"linear":        func(o *Options) { o.Conversion, o.DF = byLinear, "satterthwaite" },
		"power":         func(o *Options) { o.Conversion, o.Interval = byPower, "log-t" },
		"ratio-length":  func(o *Options) { o.Conversion, o.Lonely = byRatioLength, "average" },
		"by allometry":  func(o *Options) { o.Conversion, o.Lonely = byAllometry, "certainty" },
		"corrected, 80": func(o *Options) { o.FPC, o.Confidence = true, 0.8 },
	} {
		opt := DefaultOptions()
		set(&opt)
		t.Run(name, func(t *testing.T) {
			for _, x := range explained(t, f, opt) {
				followed(t, x)
				met[x.Stock.Conversion+" of "+x.Stock.Domain]++
			}
		})
	}
	t.Log(met)
	for _, kind := range []string{"direct of ", "ratio of survey", "ratio of shore and year", "linear of survey", "power of survey"} {
		assert.Greater(t, met[kind], 0, kind)
	}
}

// followedConversion checks the covariance and the variance of a conversion of the survey's own from the units' parts.
func followedConversion(t tester, name string, x Explanation) {
	t.Helper()
	squares := 0.0
	for _, u := range x.Units {
		squares += u.C * u.C
	}
	for _, p := range x.Parts {
		if p.Kind == PartWeighing && !math.IsNaN(p.Factor) {
			approx(t, name+" conversion", p.Factor*squares, p.V, 1e-9, 0)
		}
	}
	cov := 0.0
	for g, group := range x.Groups {
		n, z, c := float64(group.Units), 0.0, 0.0
		for _, u := range x.Units {
			if u.Group == g {
				z, c = z+u.Z/n, c+u.C/n
			}
		}
		if n < 2 {
			return
		}
		for _, u := range x.Units {
			if u.Group == g {
				cov += 2 * group.FPC * n / (n - 1) * (u.Z - z) * (u.C - c)
			}
		}
	}
	approx(t, name+" covariance", cov, x.Parts[0].Covariance, 1e-9, 1e-9*x.Parts[0].Between)
}
