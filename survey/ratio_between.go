package survey

import "math"

// betweenVariance estimates the variance τ² of true values about their common mean from estimates k with error
// variances v, by restricted maximum likelihood:
//
//	k_j ~ N(μ, v_j + τ²)
//
// It scores (Fisher) from the moment estimate of DerSimonian and Laird, never below 0. Where the scoring does not
// settle in 200 steps the moment estimate is returned and settled is false. It panics where lengths differ or there
// are fewer than two values.
//
// References:
//   - Viechtbauer, W.: Bias and efficiency of meta-analytic variance estimators in the random-effects model. Journal of
//     Educational and Behavioral Statistics 30 (2005) 261-293
//   - DerSimonian, R. and Laird, N.: Meta-analysis in clinical trials. Controlled Clinical Trials 7 (1986) 177-188
func betweenVariance(k, v []float64) (tau2 float64, settled bool) {
	if len(k) != len(v) || len(k) < 2 {
		panic("survey: between-bed variance of too few values")
	}
	v = floored(k, v)
	start := momentVariance(k, v)
	tau2 = start
	for range 200 {
		step := scoringStep(k, v, tau2)
		for tau2+step < 0 && tau2 > 0 {
			step = max(step/2, -tau2)
		}
		if tau2 == 0 && step <= 0 {
			return 0, true
		}
		tau2 += step
		if math.Abs(step) <= 1e-10*(tau2+mean(v)) {
			return tau2, true
		}
	}
	return start, false
}

// floored lifts variances of 0 (a calibration without scatter) so that no estimate has infinite weight.
func floored(k, v []float64) []float64 {
	m := mean(k)
	least := 1e-8 * m * m
	out := make([]float64, len(v))
	for i := range v {
		out[i] = max(v[i], least)
	}
	return out
}

// scoringStep is the Fisher scoring step of the restricted likelihood, with P = W - W 1 1'W / Σw and w = 1/(v+τ²):
// (k'P P k - tr P) / tr(P P).
func scoringStep(k, v []float64, tau2 float64) float64 {
	var s1, s2, s3, sk float64
	for i := range k {
		w := 1 / (v[i] + tau2)
		s1 += w
		s2 += w * w
		s3 += w * w * w
		sk += w * k[i]
	}
	mu, q := sk/s1, 0.0
	for i := range k {
		w := 1 / (v[i] + tau2)
		q += w * w * (k[i] - mu) * (k[i] - mu)
	}
	return (q - (s1 - s2/s1)) / (s2 - 2*s3/s1 + s2*s2/(s1*s1))
}

// momentVariance is the estimate of DerSimonian and Laird, at least 0.
func momentVariance(k, v []float64) float64 {
	var s1, s2, sk float64
	for i := range k {
		w := 1 / v[i]
		s1 += w
		s2 += w * w
		sk += w * k[i]
	}
	mu, q := sk/s1, 0.0
	for i := range k {
		q += (k[i] - mu) * (k[i] - mu) / v[i]
	}
	return max(0, (q-float64(len(k)-1))/(s1-s2/s1))
}
