package makedemo

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// stream is the random stream of one purpose. Streams of different names do not disturb one another.
func stream(seed uint64, name string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(name)) // a hash never fails
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// gamma draws from the gamma distribution with the given shape and scale 1.
//
// References:
//   - Marsaglia, G. and Tsang, W. W.: A simple method for generating gamma variables. ACM TOMS 26 (2000), 363-372
func gamma(rng *rand.Rand, shape float64) float64 {
	if shape < 1 {
		return gamma(rng, shape+1) * math.Pow(rng.Float64(), 1/shape)
	}
	d := shape - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		x := rng.NormFloat64()
		v := 1 + c*x
		if v <= 0 {
			continue
		}
		v = v * v * v
		if math.Log(rng.Float64()) < x*x/2+d-d*v+d*math.Log(v) {
			return d * v
		}
	}
}

// beta draws from the beta distribution with the given mean, inside (0, 1), and concentration (sum of both shapes).
func beta(rng *rand.Rand, mean, concentration float64) float64 {
	a := gamma(rng, mean*concentration)
	b := gamma(rng, (1-mean)*concentration)
	if a+b == 0 {
		return mean
	}
	return a / (a + b)
}

// lognormal draws with median 1; sd is that of the logarithm.
func lognormal(rng *rand.Rand, sd float64) float64 { return math.Exp(sd * rng.NormFloat64()) }

// meanOne draws a lognormal with mean 1; sd is that of the logarithm.
func meanOne(rng *rand.Rand, sd float64) float64 { return math.Exp(sd*rng.NormFloat64() - sd*sd/2) }

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

func logit(p float64) float64 { return math.Log(p / (1 - p)) }
