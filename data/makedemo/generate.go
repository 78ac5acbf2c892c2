package makedemo

import (
	"bytes"
	"encoding/csv"
)

// Seed is that of the demo which is shipped. It was chosen among the first 300 so that the two stories of the demo, a bed
// cut down and one coming back after a storm, can be seen through the noise.
const Seed = 191

// Generate makes a demo survey folder: its files by name, and the truth behind them. The same seed gives the same bytes.
func Generate(seed uint64) (files map[string][]byte, truth Truth) {
	w := makeWorld(seed)
	s := sampler{w: w}
	for _, year := range surveyYears {
		for i, b := range beds {
			for n, y := range b.surveyYears() {
				if y == year {
					s.survey(i, n)
				}
			}
		}
	}
	quadrats := [][]string{{"bed", "date", "stratum", "transect", "quadrat", "quadrat_m2", "visit", "species", "cover_pct",
		"frond_cm", "biomass_g", "weighed_m2", "observer", "notes"}}
	fronds := [][]string{{"bed", "date", "stratum", "transect", "quadrat", "species", "frond_cm", "wet_g", "stage"}}
	regrowth := [][]string{{"plot", "species", "bed", "date", "event", "biomass_g", "plot_m2"}}
	return map[string][]byte{
		"beds.csv":      table(bedRows()),
		"strata.csv":    table(stratumRows()),
		"surveys.csv":   table(surveyRows()),
		"quadrats.csv":  table(append(quadrats, s.quadrats...)),
		"fronds.csv":    table(append(fronds, s.fronds...)),
		"harvest.csv":   table(harvestRows(w)),
		"regrowth.csv":  table(append(regrowth, regrowthRows(w)...)),
		"events.csv":    table(eventRows()),
		"closures.csv":  table(closureRows()),
		"decisions.csv": table(decisionRows(w)),
		"permits.csv":   table(permitRows()),
		"species.csv":   table(speciesRows()),
		"rules.toml":    []byte(rulesText),
	}, w.truth
}

func table(rows [][]string) []byte {
	var buf bytes.Buffer
	if err := csv.NewWriter(&buf).WriteAll(rows); err != nil {
		panic("makedemo: " + err.Error()) // a buffer takes all
	}
	return buf.Bytes()
}
