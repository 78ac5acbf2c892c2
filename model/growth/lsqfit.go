package growth

import "errors"

// FitStatus says how a least-squares search ended.
type FitStatus uint8

const (
	// Converged: the residuals are orthogonal to the tangent plane within the tolerance.
	Converged FitStatus = iota
	// Stalled: no step lowers the sum of squares, yet the convergence criterion is not met.
	Stalled
	// TooManyIterations: the limit on iterations was reached first.
	TooManyIterations
	// Singular: the data do not tell the parameters apart.
	Singular
	// NotFinite: the data or the model at the start are NaN or infinite.
	NotFinite
	// TooFewValues: there are fewer values than parameters.
	TooFewValues
	// OnBound: the lowest sum of squares lies on a bound of a parameter; Last is where.
	OnBound
)

var fitErrors = [...]error{
	Converged:         nil,
	Stalled:           errors.New("the fit stalled before it converged"),
	TooManyIterations: errors.New("the fit did not converge within the allowed iterations"),
	Singular:          errors.New("the data do not tell the parameters apart"),
	NotFinite:         errors.New("the data or the starting curve are not finite"),
	TooFewValues:      errors.New("there are fewer values than parameters"),
	OnBound:           errors.New("the best fit lies on a bound of a parameter"),
}

// Err is nil where the fit converged, else what happened.
func (s FitStatus) Err() error { return fitErrors[s] }

// String is "converged" or the text of [FitStatus.Err].
func (s FitStatus) String() string {
	if err := s.Err(); err != nil {
		return err.Error()
	}
	return "converged"
}

// Fit is the outcome of a least-squares search. The estimates and everything computed at them are NaN unless Status
// is [Converged]: a search that stopped is no estimate. Where it stopped is kept in Last.
type Fit struct {
	Params   []float64
	SE       []float64   // standard errors; NaN where DF is 0
	Cov      [][]float64 // covariance of the estimates
	Corr     [][]float64 // correlation of the estimates
	Fitted   []float64   // f_i at the estimates
	Residual []float64   // y_i - f_i
	Leverage []float64   // diagonal of the tangent-plane hat matrix, 0-1
	RSS      float64     // sum of w_i (y_i - f_i)²
	RSD      float64     // residual standard deviation, sqrt(RSS/DF)
	DF, N    int         // degrees of freedom, number of values

	Iterations int
	Offset     float64   // relative offset at the end; 0 is perfect
	Last       []float64 // last point of the search
	LastRSS    float64
	Status     FitStatus

	problem *lsqProblem
}

// lsqProblem is what was fitted.
type lsqProblem struct {
	model    ModelFunc
	y        []float64
	settings LSQSettings
}

// weight is the weight of value i.
func (p *lsqProblem) weight(i int) float64 {
	if p.settings.Weights == nil {
		return 1
	}
	return p.settings.Weights[i]
}
