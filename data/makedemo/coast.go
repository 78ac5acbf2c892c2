package makedemo

// bed is one invented bed. No place of this name is meant; the positions lie in the open ocean.
type bed struct {
	id, name, shore, zone string
	lat, lon              float64
	areaSE                float64 // m2; 0: not given
	strata                []stratum
	transects, quadrats   int   // transects a stratum, quadrats a transect
	years                 []int // survey years; nil: all
	sought                []string
	stands                []stand
	protocol              string
}

// stratum is a part of a bed at one shore height. A bed with one stratum of no name has no row in strata.csv.
type stratum struct {
	name string
	m2   float64
	occ  map[string]float64 // share of quadrats that a species occupies
}

// stand is one species on one bed.
type stand struct {
	species   string
	start     float64 // stock at the first survey over K
	unweighed bool    // seen and measured, never weighed
	onlyYear  int     // a visitor: there in this year alone, outside the growth model
	onlyKg    float64
	plan      *plan
}

// plan is what is granted of one stand, season by season.
type plan struct {
	permits []string
	// rate is the fraction of the stock to be cut in a year, in force in each season of [seasons]; with fixed it is a
	// fraction of K, the same tonnage whatever stands. Below 0: nothing is decided.
	rate    [9]float64
	fixed   bool
	greed   float64 // what is cut over what is granted, in the mean
	reasons map[int]string
}

const (
	control     = "control bed; stratified random transects; 0.25 m2 quadrats at random distances"
	usual       = "stratified random transects; 0.25 m2 quadrats at random distances"
	closedOn    = "2025-10-20"
	waterReason = "water quality: failing outfall beside the bed"
	missedBed   = "mubblestone" // its lower stratum was not reached in missedYear
	missedYear  = 2026
	stormBed    = "splinterholm"
	stormDate   = "2024-01-14"
	closedBed   = "fennimer"
	controlBed  = "candlemoss"
	fewBed      = "lantry"
)

var (
	midShore = []string{egg, serrate, thong, dulse}
	lowShore = []string{serrate, thong, oarweed, dulse}
)

// beds is the invented coast.
var beds = []bed{
	{id: "tarrowick", name: "Tarrowick Ledges", shore: "Ockenmere", zone: "mid", lat: 50.0120, lon: -30.0410,
		strata: []stratum{
			{"upper", 3400, map[string]float64{egg: 0.75, dulse: 0.08}},
			{"middle", 4600, map[string]float64{egg: 0.75, serrate: 0.18, dulse: 0.2}},
			{"lower", 3200, map[string]float64{egg: 0.25, serrate: 0.6, dulse: 0.45}}},
		transects: 5, quadrats: 6, sought: midShore, protocol: usual,
		stands: []stand{
			{species: egg, start: 0.95, plan: &plan{permits: []string{"OM-01", "OM-02", "OM-04"}, fixed: true, greed: 1.02,
				rate: [9]float64{0.26, 0.26, 0.26, 0.26, 0.26, 0.26, 0.26, 0.26, 0.1},
				reasons: map[int]string{3: "as in the years before", 7: "as in the years before, one vote against",
					8: "cut back after the summer survey"}}},
			{species: serrate, start: 0.7}, {species: dulse, start: 0.7}}},
	{id: stormBed, name: "Splinterholm", shore: "Ockenmere", zone: "lower", lat: 50.0068, lon: -30.0335,
		strata: []stratum{
			{"middle", 3100, map[string]float64{serrate: 0.5, thong: 0.25, oarweed: 0.4, dulse: 0.35}},
			{"lower", 5500, map[string]float64{serrate: 0.08, thong: 0.45, oarweed: 0.9, dulse: 0.3}}},
		transects: 5, quadrats: 6, sought: lowShore, protocol: usual,
		stands: []stand{
			{species: serrate, start: 0.75}, {species: thong, start: 0.7},
			{species: oarweed, start: 0.85, plan: &plan{permits: []string{"OM-01", "OM-03"}, greed: 0.93,
				rate:    [9]float64{0.15, 0.15, 0.15, 0, 0, 0, 0.06, 0.06, 0.08},
				reasons: map[int]string{3: "rest after the storm", 4: "rest after the storm", 5: "rest after the storm"}}},
			{species: dulse, start: 0.75}}},
	{id: controlBed, name: "Candlemoss Reef", shore: "Ockenmere", zone: "mid", lat: 50.0031, lon: -30.0262,
		strata: []stratum{
			{"upper", 2300, map[string]float64{egg: 0.8, dulse: 0.05}},
			{"middle", 2900, map[string]float64{egg: 0.65, serrate: 0.3, dulse: 0.25}}},
		transects: 5, quadrats: 6, sought: midShore, protocol: control,
		stands: []stand{{species: egg, start: 0.92}, {species: serrate, start: 0.9}, {species: dulse, start: 0.9}}},
	{id: "quernside", name: "Quernside", shore: "Ockenmere", zone: "mid", lat: 49.9988, lon: -30.0170,
		strata: []stratum{
			{"middle", 2900, map[string]float64{serrate: 0.35, dulse: 0.6}},
			{"lower", 3400, map[string]float64{serrate: 0.4, thong: 0.22, dulse: 0.75}}},
		transects: 5, quadrats: 6, sought: midShore, protocol: usual,
		stands: []stand{
			{species: serrate, start: 0.7, unweighed: true},
			{species: thong, onlyYear: 2024, onlyKg: 900},
			{species: dulse, start: 0.75, plan: &plan{permits: []string{"OM-02", "OM-03", "OM-05"}, greed: 0.9,
				rate: [9]float64{0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3}}}}},
	{id: closedBed, name: "Old Fennimer", shore: "Thrumley Sound", zone: "mid", lat: 50.0410, lon: -29.9620,
		strata: []stratum{
			{"upper", 2600, map[string]float64{egg: 0.7}},
			{"middle", 4100, map[string]float64{egg: 0.8, serrate: 0.12, dulse: 0.2}},
			{"lower", 2700, map[string]float64{egg: 0.3, serrate: 0.55, dulse: 0.4}}},
		transects: 4, quadrats: 6, sought: midShore, protocol: usual,
		stands: []stand{
			{species: egg, start: 0.75, plan: &plan{permits: []string{"TS-11", "TS-12", "TS-13"}, greed: 0.95,
				rate: [9]float64{0.12, 0.12, 0.12, 0.12, 0.12, 0.12, 0.12, -1, -1}}},
			{species: serrate, start: 0.7}, {species: dulse, start: 0.7}}},
	{id: "marrowgate", name: "Marrowgate Flats", shore: "Thrumley Sound", zone: "mid", lat: 50.0465, lon: -29.9535,
		strata: []stratum{
			{"upper", 4200, map[string]float64{egg: 0.6}},
			{"middle", 6100, map[string]float64{egg: 0.45, serrate: 0.45, dulse: 0.3}},
			{"lower", 4500, map[string]float64{serrate: 0.7, thong: 0.1, dulse: 0.6}}},
		transects: 5, quadrats: 5, sought: midShore, protocol: usual,
		stands: []stand{
			{species: egg, start: 0.8, plan: &plan{permits: []string{"TS-12", "TS-14"}, greed: 0.92,
				rate: [9]float64{0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1}}},
			{species: serrate, start: 0.75, plan: &plan{permits: []string{"TS-13", "TS-14"}, greed: 0.9,
				rate: [9]float64{0.15, 0.15, 0.15, 0.15, 0.15, 0.15, 0.15, 0.15, 0.15}}},
			{species: thong, start: 0.6},
			{species: dulse, start: 0.75, plan: &plan{permits: []string{"TS-11", "TS-12", "TS-13", "TS-14"}, greed: 0.9,
				rate: [9]float64{0.25, 0.25, 0.25, 0.25, 0.25, 0.25, 0.25, 0.25, 0.25}}}}},
	{id: missedBed, name: "Mubblestone", shore: "Thrumley Sound", zone: "lower", lat: 50.0512, lon: -29.9440,
		strata: []stratum{
			{"middle", 2500, map[string]float64{serrate: 0.4, thong: 0.35, oarweed: 0.35, dulse: 0.3}},
			{"lower", 5200, map[string]float64{thong: 0.4, oarweed: 0.85, dulse: 0.25}}},
		transects: 5, quadrats: 6, sought: lowShore, protocol: usual,
		stands: []stand{
			{species: serrate, start: 0.7},
			{species: thong, start: 0.75, plan: &plan{permits: []string{"TS-14", "TS-15"}, greed: 0.9,
				rate: [9]float64{0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1}}},
			{species: oarweed, start: 0.8, plan: &plan{permits: []string{"TS-11", "TS-14", "TS-15"}, greed: 0.97,
				rate: [9]float64{0.18, 0.18, 0.18, 0.18, 0.18, 0.18, 0.18, 0.18, 0.18}}},
			{species: dulse, start: 0.75}}},
	{id: fewBed, name: "Lantry Bar", shore: "Thrumley Sound", zone: "lower", lat: 50.0560, lon: -29.9371, areaSE: 150,
		strata:    []stratum{{"", 2100, map[string]float64{serrate: 0.3, oarweed: 0.6, dulse: 0.5}}},
		transects: 2, quadrats: 4, years: []int{2022, 2024, 2026}, sought: lowShore, protocol: usual,
		stands: []stand{
			{species: serrate, start: 0.7}, {species: oarweed, start: 0.7},
			{species: dulse, start: 0.7, plan: &plan{permits: []string{"TS-15"}, greed: 0.85,
				rate: [9]float64{-1, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2}}}}},
}

// area is the area of the bed, m2.
func (b bed) area() float64 {
	sum := 0.0
	for _, h := range b.strata {
		sum += h.m2
	}
	return sum
}

// event is a dated loss; left is what was left of every species, told of it what is written in the file (0: nothing).
type event struct {
	bed, date, kind string
	left, told      float64
	notes           string
}

var events = []event{
	{missedBed, "2023-02-09", "storm", 0.85, 0.85, "north-westerly on a spring tide"},
	{stormBed, stormDate, "storm", 0.3, 0.3, "three days of swell, whole plants cast up along the shore"},
	{"marrowgate", "2025-06-21", "heat", 0.88, 0, "bleached tips after a week of hot low waters, loss not known"},
	{closedBed, "2025-10-18", "spill", 1, 0, "outfall failure, no loss of weed seen"},
}
