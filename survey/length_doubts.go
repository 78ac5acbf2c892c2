package survey

import (
	"fmt"
	"strings"
)

const (
	soundFronds = 30  // fronds from which percentiles say something; common practice, no source
	fewUnits    = 3   // sampling units below which an interval is hardly one
	oneSided    = 0.5 // part of all fronds that one quadrat may stand for

	// soundPerQuadrat is how many fronds to measure in a quadrat. Weight over Σ L^b, a ratio, is biased where few are: in
	// trials (length_sim_test.go) with 2, 4, 8, 12 and 30 fronds a quadrat the exploitable share came out at 0.86, 0.93,
	// 0.97, 0.98 and 1.00 of the truth, the mean length at 0.91, 0.95, 0.98, 0.99 and 1.00, recruits at 1.33, 1.16, 1.06,
	// 1.03 and 1.01.
	soundPerQuadrat = 10
)

// knownPart says for how much of the stock lengths are known.
func (l *lengthSample) knownPart() string {
	of := "stock"
	if l.by == byCover {
		of = "cover"
	}
	return fmt.Sprintf("lengths known for only %.0f %% of the %s", 100*l.known, of)
}

// allMeasured says whether the survey's protocol has it that all fronds of a quadrat were measured.
func (l *lengthSample) allMeasured() bool {
	return l.s.declared != nil && strings.Contains(strings.ToLower(l.s.declared.Protocol), allFronds)
}

// doubts are the warnings about lengths and what to measure next time. names are those of the folder.
func (l *lengthSample) doubts(names []string) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	fronds, quadrats, means := l.counts()
	switch {
	case fronds > 0 && fronds < soundFronds:
		say("only %s measured: measure %d or more, in every transect some", counted(fronds, "frond"), soundFronds)
	case fronds == 0 && means > 0:
		say("mean lengths only: percentiles, recruits and shares take lengths in a quadrat as lognormal; measure fronds one by one")
	}
	if means == 0 && quadrats == 1 {
		say("fronds of one quadrat only: they do not speak for the bed; measure some in every quadrat that holds the species")
	}
	if quadrats > 0 && fronds < soundPerQuadrat*quadrats && !l.allMeasured() {
		say("only %.3g fronds measured a quadrat: lengths and the share to be cut come out too low, recruits too high; measure %d or more in each",
			float64(fronds)/float64(quadrats), soundPerQuadrat)
	}
	if n, _ := l.units(); n < fewUnits && !(means == 0 && quadrats == 1) {
		say("lengths from only %s: measure in %d or more", counted(n, l.s.unitName), fewUnits)
	}
	switch l.by {
	case byCover:
		say("weight of the quadrats not known: they count by their cover; weigh some quadrats")
	case byArea:
		say("neither weight nor cover of the measured quadrats: all count alike; read the cover of each")
	}
	if i, share := l.greatest(); share > oneSided && quadrats+means > 1 {
		q := names[l.s.quads[i].quadrat]
		say("one quadrat (%s) stands for %.0f %% of all fronds: few short fronds were measured where much weight stands; measure more there",
			q, 100*share)
	}
	if l.known < 0.5 {
		out = append(out, l.knownPart()+": measure in more of the quadrats that hold the species")
	}
	if l.lost > 0 {
		say("%s left out: measured where quadrats.csv has nothing of the species", counted(l.lost, "frond"))
	}
	return append(out, l.spread.doubts(means > 0)...)
}
