package survey

import "fmt"

const (
	soundFronds = 30  // fronds from which percentiles say something; common practice, no source
	fewUnits    = 3   // sampling units below which an interval is hardly one
	oneSided    = 0.5 // part of all fronds that one quadrat may stand for
)

// knownPart says for how much of the stock lengths are known.
func (l *lengthSample) knownPart() string {
	of := "stock"
	if l.by == byCover {
		of = "cover"
	}
	return fmt.Sprintf("lengths known for only %.0f %% of the %s", 100*l.known, of)
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
