package survey

import "testing"

// The two-stage samples that R's package survey ships, mu284 (Särndal, Swensson & Wretman 1992) and apiclus2, with
// corrections at both stages: svytotal and svymean agree to the 12 printed digits (testdata/stages/stages.R).
func TestTwoStagePublished(t *testing.T) {
	want := map[string][2]float64{}
	for _, rec := range readTable(t, "stages/stages_R.csv")[1:] {
		want[rec[0]] = [2]float64{number(t, rec[1]), number(t, rec[2])}
	}
	for _, set := range []string{"mu284", "apiclus2"} {
		var sample []Subsample
		at, clusters := map[string]int{}, 0.0
		for _, rec := range readTable(t, "stages/"+set+".csv")[1:] {
			i, seen := at[rec[1]]
			if !seen {
				i = len(sample)
				at[rec[1]] = i
				sample = append(sample, Subsample{Size: number(t, rec[3])})
			}
			clusters = number(t, rec[2])
			sample[i].Y = append(sample[i].Y, number(t, rec[4]))
		}
		for name, e := range map[string]Estimate{"total": TwoStageTotal(sample, clusters), "mean": TwoStageMean(sample, clusters)} {
			w := want[set+" "+name]
			approx(t, set+" "+name, e.Value, w[0], 1e-11, 0)
			approx(t, set+" "+name+" se", e.SE, w[1], 1e-11, 0)
		}
	}
}
