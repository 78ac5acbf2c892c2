package growth

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// nistSet is a problem of the NIST Statistical Reference Datasets with its certified values.
type nistSet struct {
	Starts     [2][]float64
	Params, SE []float64
	RSS, SD    float64
	Y          []float64
	X          [][]float64
}

func readNIST(t *testing.T) map[string]nistSet {
	t.Helper()
	text, err := os.ReadFile("testdata/nist.json")
	require.NoError(t, err)
	var raw map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(text, &raw))
	delete(raw, "source")
	sets := map[string]nistSet{}
	for name, r := range raw {
		var set nistSet
		require.NoError(t, json.Unmarshal(r, &set), name)
		sets[name] = set
	}
	return sets
}

// nistModels are the curves of the problems: value and gradient at one row.
var nistModels = map[string]func(b, x, g []float64) float64{
	"Chwirut2": func(b, x, g []float64) float64 {
		d := b[1] + b[2]*x[0]
		y := math.Exp(-b[0]*x[0]) / d
		g[0], g[1], g[2] = -x[0]*y, -y/d, -x[0]*y/d
		return y
	},
	"DanWood": func(b, x, g []float64) float64 {
		g[0] = math.Pow(x[0], b[1])
		g[1] = b[0] * g[0] * math.Log(x[0])
		return b[0] * g[0]
	},
	"Eckerle4": func(b, x, g []float64) float64 {
		z := (x[0] - b[2]) / b[1]
		e := math.Exp(-0.5*z*z) / b[1]
		g[0], g[1], g[2] = e, b[0]*e*(z*z-1)/b[1], b[0]*e*z/b[1]
		return b[0] * e
	},
	"Kirby2":   rational(3),
	"Lanczos3": func(b, x, g []float64) float64 { return exponentials(b, x[0], g) },
	"MGH09": func(b, x, g []float64) float64 {
		n, d := x[0]*(x[0]+b[1]), x[0]*(x[0]+b[2])+b[3]
		y := b[0] * n / d
		g[0], g[1], g[2], g[3] = n/d, b[0]*x[0]/d, -y*x[0]/d, -y/d
		return y
	},
	"MGH10": func(b, x, g []float64) float64 {
		d := x[0] + b[2]
		e := math.Exp(b[1] / d)
		g[0], g[1], g[2] = e, b[0]*e/d, -b[0]*e*b[1]/(d*d)
		return b[0] * e
	},
	"MGH17": func(b, x, g []float64) float64 {
		e4, e5 := math.Exp(-x[0]*b[3]), math.Exp(-x[0]*b[4])
		g[0], g[1], g[2], g[3], g[4] = 1, e4, e5, -x[0]*b[1]*e4, -x[0]*b[2]*e5
		return b[0] + b[1]*e4 + b[2]*e5
	},
	"Misra1b": func(b, x, g []float64) float64 {
		c := 1 + b[1]*x[0]/2
		g[0], g[1] = 1-1/(c*c), b[0]*x[0]/(c*c*c)
		return b[0] * g[0]
	},
	"Misra1d": func(b, x, g []float64) float64 {
		c := 1 + b[1]*x[0]
		g[0], g[1] = b[1]*x[0]/c, b[0]*x[0]/(c*c)
		return b[0] * g[0]
	},
	"Nelson": func(b, x, g []float64) float64 { // of the logarithm of y
		e := math.Exp(-b[2] * x[1])
		g[0], g[1], g[2] = 1, -x[0]*e, b[1]*x[0]*e*x[1]
		return b[0] - b[1]*x[0]*e
	},
	"Thurber": rational(4),
}

// rational is (b1 + b2 x + ... of k terms)/(1 + b(k+1) x + ...).
func rational(k int) func(b, x, g []float64) float64 {
	return func(b, x, g []float64) float64 {
		n, d, p := 0.0, 1.0, 1.0
		for j := range k {
			n += b[j] * p
			if j > 0 {
				d += b[k+j-1] * p
			}
			p *= x[0]
		}
		p = 1
		for j := range k {
			g[j] = p / d
			if j > 0 {
				g[k+j-1] = -n / d * p / d
			}
			p *= x[0]
		}
		return n / d
	}
}

func exponentials(b []float64, x float64, g []float64) float64 {
	y := 0.0
	for j := 0; j < len(b); j += 2 {
		g[j] = math.Exp(-b[j+1] * x)
		g[j+1] = -b[j] * x * g[j]
		y += b[j] * g[j]
	}
	return y
}

// nistTooFar is a start from which the search ends on a plateau; it must say so, and not hand on a wrong estimate.
const nistTooFar = "MGH10 start 1"

// TestNISTSets wants 8 digits of estimates, standard errors, residual sum of squares and SD, from both starts.
func TestNISTSets(t *testing.T) {
	sets := readNIST(t)
	require.Len(t, sets, len(nistModels))
	for name, value := range nistModels {
		f := sets[name]
		require.NotEmpty(t, f.Y)
		if name == "Nelson" {
			for i, v := range f.Y {
				f.Y[i] = math.Log(v)
			}
		}
		model := func(p, out, jac []float64) {
			g := make([]float64, len(p))
			for i, x := range f.X {
				out[i] = value(p, x, g)
				if jac != nil {
					copy(jac[i*len(p):], g)
				}
			}
		}
		for s, start := range f.Starts {
			fit := LeastSquares(model, f.Y, start, &LSQSettings{MaxIterations: 2000})
			if fmt.Sprintf("%s start %d", name, s+1) == nistTooFar {
				assert.Error(t, fit.Status.Err())
				assert.True(t, math.IsNaN(fit.Params[0]))
				continue
			}
			if !assert.NoError(t, fit.Status.Err(), "%s start %d: rss %v", name, s+1, fit.LastRSS) {
				continue
			}
			low := min(digits(fit.RSS, f.RSS), digits(fit.RSD, f.SD))
			for j := range f.Params {
				low = min(low, digits(fit.Params[j], f.Params[j]), digits(fit.SE[j], f.SE[j]))
			}
			t.Logf("%s start %d: %.1f digits in %d iterations", name, s+1, low, fit.Iterations)
			assert.GreaterOrEqual(t, low, 8.0, "%s start %d", name, s+1)
		}
	}
}
