package makedemo

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// transectKey names a transect of one year's survey.
type transectKey struct{ bed, year, stratum, transect string }

type meanOf struct{ sum, n float64 }

// transects gives the mean kg/m2 of a species on every transect: the cover of all quadrats times the true weight at
// full cover.
func transects(t *testing.T, w *world, quadrats []map[string]string, species string) map[transectKey]meanOf {
	t.Helper()
	out := map[transectKey]meanOf{}
	counted := map[string]bool{}
	for _, q := range quadrats {
		if q["visit"] != "done" {
			continue
		}
		k := transectKey{q["bed"], q["date"][:4], q["stratum"], q["transect"]}
		m := out[k]
		if id := q["bed"] + q["date"] + q["quadrat"]; !counted[id] {
			counted[id] = true
			m.n++
		}
		if q["species"] == species {
			m.sum += number(t, q["cover_pct"]) / 100 * w.fullIn(Key{q["bed"], species}, k.year)
		}
		out[k] = m
	}
	return out
}

// fullIn is the true weight at full cover in a year, kg/m2.
func (w *world) fullIn(key Key, year string) float64 {
	for n, y := range beds[bedIndex(key.Bed)].surveyYears() {
		if strconv.Itoa(y) == year {
			return w.full[key][n]
		}
	}
	panic("no survey of " + key.Bed + " in " + year)
}

func bedIndex(id string) int {
	for i, b := range beds {
		if b.id == id {
			return i
		}
	}
	panic("no bed " + id)
}

// estimate is the expansion estimate of a stratified random sample of transects, with its variance and df.
func estimate(b bed, means map[transectKey]meanOf, year string) (kg, variance, df float64) {
	for _, s := range b.strata {
		var ys []float64
		for k, m := range means {
			if k.bed == b.id && k.year == year && k.stratum == s.name {
				ys = append(ys, m.sum/m.n)
			}
		}
		n := float64(len(ys))
		mean, ss := sum(ys)/n, 0.0
		for _, y := range ys {
			ss += (y - mean) * (y - mean)
		}
		kg += s.m2 * mean
		variance += s.m2 * s.m2 * ss / (n - 1) / n
		df += n - 1
	}
	return kg, variance, df
}

// Over many coasts a design-based estimate from cover has the truth as its mean, and its 95 % interval holds the truth
// about as often as it says. Limits: the mean of 25 coasts has a standard error of about 0.4 %; with 5 to 12 degrees of
// freedom and patchy species a cover of 0.92 to 0.97 is what t intervals reach.
func TestTruthIsWhatTheSurveyEstimates(t *testing.T) {
	var est, of, covered, n float64
	for seed := uint64(1000); seed < 1025; seed++ {
		files, truth := Generate(seed)
		w := makeWorld(seed)
		quadrats := readRows(t, files["quadrats.csv"])
		for _, species := range []string{egg, oarweed, dulse} {
			means := transects(t, w, quadrats, species)
			for _, key := range truth.Keys {
				b := beds[bedIndex(key.Bed)]
				if key.Species != species || b.id == fewBed {
					continue
				}
				for _, at := range truth.Stock[key] {
					if b.id == missedBed && at.Date[:4] == "2026" {
						continue
					}
					kg, v, df := estimate(b, means, at.Date[:4])
					half := math.Sqrt(v) * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(0.975)
					est += kg / at.Kg
					of++
					if math.Abs(kg-at.Kg) <= half {
						covered++
					}
					n++
				}
			}
		}
	}
	approx(t, "estimate over truth", est/of, 1, 0, 0.015)
	approx(t, "cover of 95 % intervals", covered/n, 0.945, 0, 0.025)
}

// The quadrats that were weighed are a random part of all: their mean weight, times the share of quadrats that hold the
// species, estimates the same truth. A stratum where none holding it was weighed counts as nothing, so that the mean of
// 20 coasts, with a standard error near 1 %, is a little low.
func TestWeightsEstimateTheTruth(t *testing.T) {
	var ratio, n float64
	for seed := uint64(2000); seed < 2020; seed++ {
		files, truth := Generate(seed)
		quadrats := readRows(t, files["quadrats.csv"])
		for _, key := range []Key{{"tarrowick", egg}, {stormBed, oarweed}, {"marrowgate", serrate}, {missedBed, oarweed}} {
			means := weighedPart(t, quadrats, key)
			for _, at := range truth.Stock[key] {
				if key.Bed == missedBed && at.Date[:4] == "2026" {
					continue
				}
				kg := 0.0
				for _, s := range beds[bedIndex(key.Bed)].strata {
					m := means[key.Bed+at.Date[:4]+s.name]
					require.Positive(t, m.n)
					kg += s.m2 * m.sum / m.n
				}
				ratio += kg / at.Kg
				n++
			}
		}
	}
	approx(t, "weighed estimate over truth", ratio/n, 1, 0, 0.03)
}

// weighedPart is the mean weight (kg/m2) of a species among the quadrats holding it that were weighed, times the share of
// quadrats holding it: sum/n per bed, year and stratum.
func weighedPart(t *testing.T, quadrats []map[string]string, key Key) map[string]meanOf {
	t.Helper()
	visited, with := map[string]map[string]bool{}, map[string]float64{}
	weights := map[string]meanOf{}
	for _, q := range quadrats {
		if q["bed"] != key.Bed || q["visit"] != "done" {
			continue
		}
		at := q["bed"] + q["date"][:4] + q["stratum"]
		if visited[at] == nil {
			visited[at] = map[string]bool{}
		}
		visited[at][q["quadrat"]] = true
		if q["species"] != key.Species {
			continue
		}
		with[at]++
		if q["biomass_g"] != "" {
			m2 := quadratM2
			if q["weighed_m2"] != "" {
				m2 = number(t, q["weighed_m2"])
			}
			m := weights[at]
			weights[at] = meanOf{m.sum + number(t, q["biomass_g"])/1000/m2, m.n + 1}
		}
	}
	out := map[string]meanOf{}
	for at, v := range visited {
		m := weights[at]
		mean := 0.0
		if m.n > 0 {
			mean = m.sum / m.n
		}
		out[at] = meanOf{mean * with[at], float64(len(v))}
	}
	return out
}
