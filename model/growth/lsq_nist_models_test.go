package growth

import "math"

// nistModels are the curves of the problems: value and gradient at one row.
var nistModels = map[string]func(b, x, g []float64) float64{
	"Bennett5": func(b, x, g []float64) float64 {
		z := b[1] + x[0]
		g[0] = math.Pow(z, -1/b[2])
		y := b[0] * g[0]
		g[1], g[2] = -y/(b[2]*z), y*math.Log(z)/(b[2]*b[2])
		return y
	},
	"BoxBOD":   ofCurve(RiseCurve),
	"Chwirut1": chwirut,
	"Chwirut2": chwirut,
	"DanWood": func(b, x, g []float64) float64 {
		g[0] = math.Pow(x[0], b[1])
		g[1] = b[0] * g[0] * math.Log(x[0])
		return b[0] * g[0]
	},
	"ENSO": func(b, x, g []float64) float64 {
		wave := func(period float64) (c, s float64) {
			z := 2 * math.Pi * x[0] / period
			return math.Cos(z), math.Sin(z)
		}
		g[0] = 1
		g[1], g[2] = wave(12)
		g[4], g[5] = wave(b[3])
		g[7], g[8] = wave(b[6])
		z := 2 * math.Pi * x[0]
		g[3] = z / (b[3] * b[3]) * (b[4]*g[5] - b[5]*g[4])
		g[6] = z / (b[6] * b[6]) * (b[7]*g[8] - b[8]*g[7])
		return b[0] + b[1]*g[1] + b[2]*g[2] + b[4]*g[4] + b[5]*g[5] + b[7]*g[7] + b[8]*g[8]
	},
	"Eckerle4": func(b, x, g []float64) float64 {
		z := (x[0] - b[2]) / b[1]
		e := math.Exp(-0.5*z*z) / b[1]
		g[0], g[1], g[2] = e, b[0]*e*(z*z-1)/b[1], b[0]*e*z/b[1]
		return b[0] * e
	},
	"Hahn1":    rational(4),
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
	"Misra1a": ofCurve(RiseCurve),
	"Misra1b": func(b, x, g []float64) float64 {
		c := 1 + b[1]*x[0]/2
		g[0], g[1] = 1-1/(c*c), b[0]*x[0]/(c*c*c)
		return b[0] * g[0]
	},
	"Misra1c": func(b, x, g []float64) float64 {
		c := 1 + 2*b[1]*x[0]
		g[0], g[1] = 1-1/math.Sqrt(c), b[0]*x[0]/(c*math.Sqrt(c))
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
	"Rat42": ofCurve(LogisticCurve),
	"Rat43": ofCurve(RichardsCurve),
	"Roszman1": func(b, x, g []float64) float64 {
		z := x[0] - b[3]
		d := math.Pi * (z*z + b[2]*b[2])
		g[0], g[1], g[2], g[3] = 1, -x[0], -z/d, -b[2]/d
		return b[0] - b[1]*x[0] - math.Atan(b[2]/z)/math.Pi
	},
	"Thurber": rational(4),
}

// ofCurve is one of the curves of the package.
func ofCurve(c Curve) func(b, x, g []float64) float64 {
	return func(b, x, g []float64) float64 { return c.Value(b, x[0], g) }
}

func chwirut(b, x, g []float64) float64 {
	d := b[1] + b[2]*x[0]
	y := math.Exp(-b[0]*x[0]) / d
	g[0], g[1], g[2] = -x[0]*y, -y/d, -x[0]*y/d
	return y
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
