package growth

import "math"

// Standardized are the residuals over their standard deviations, the internally studentised residuals
//
//	sqrt(w_i) e_i / ( s sqrt(1 - h_i) )
//
// with the leverage h_i in the tangent plane; near N(0, 1) where the model is right. NaN where the value alone sets the
// curve (h_i = 1) or where there are no degrees of freedom.
//
// References:
//   - Cook, R. D. and Weisberg, S.: Residuals and Influence in Regression. Chapman & Hall (1982), ch. 2
//   - Bates, D. M. and Watts, D. G.: Nonlinear Regression Analysis and Its Applications. Wiley (1988), sec. 1.4, 3.5
func (f Fit) Standardized() []float64 {
	out := lsqNaNs(len(f.Residual))
	for i, e := range f.Residual {
		if free := 1 - f.Leverage[i]; free > leverWhole {
			out[i] = math.Sqrt(f.problem.weight(i)) * e / (f.RSD * math.Sqrt(free))
		}
	}
	return out
}

// Deleted are the externally studentised residuals: standardized by the residual standard deviation without the value
// itself, in the tangent plane
//
//	t_i = z_i sqrt( (DF - 1)/(DF - z_i²) ),   z_i the standardized residual
//
// Student's t with DF - 1 degrees of freedom where the model is right. NaN where DF is below 2.
//
// References:
//   - Cook, R. D. and Weisberg, S.: Residuals and Influence in Regression. Chapman & Hall (1982), ch. 2
func (f Fit) Deleted() []float64 {
	out := f.Standardized()
	df := float64(f.DF)
	for i, z := range out {
		if f.DF < 2 {
			out[i] = math.NaN()
			continue
		}
		out[i] = z * math.Sqrt((df-1)/(df-z*z))
	}
	return out
}

// leverWhole is the room, 1 less the leverage, below which a value is met by the curve whatever it is.
const leverWhole = 1e-10
