package plan

import "math"

// Status says what a plan of a bed rests on.
type Status string

const (
	OK           Status = "ok"            // on the variances of earlier surveys
	Guess        Status = "guess"         // on table values: nothing was surveyed before
	NotEstimable Status = "not estimable" // there is no plan; Reason says why
)

// Plan is the next survey of a shore.
type Plan struct {
	Beds    []Bed   // in the order they were asked for
	Minutes float64 // of all beds
	Tides   int     // low waters of all beds
	Seed    uint64  // of the positions
}

// Bed is what is to be done on one bed. Where Status is [NotEstimable] there are no strata.
type Bed struct {
	Bed       string
	Strata    []Stratum
	Quadrats  int        // on each transect
	Weigh     int        // of these, to be clipped and weighed
	QuadratM2 float64    // size of a quadrat, m2
	Species   []Expected // what the survey is expected to tell, the species planned for first
	Work      float64    // minutes on the bed, without getting there
	Minutes   float64    // with getting there, once a tide
	Tides     int        // low waters it takes
	Status    Status
	Reason    string
	Warnings  []string
}

// Stratum is a part of a bed with transects of its own. Where transects run through several strata of strata.csv, these
// are one stratum here and each quadrat names the one it lies in.
type Stratum struct {
	Stratum   string // label; empty where the bed is one stratum
	Area      float64
	Transects []Transect
}

// Transect is one line with its quadrats.
type Transect struct {
	Transect string // label, one of its kind on the bed
	From, To Point  // its ends, at the baseline and up the shore
	Quadrats []Quadrat
}

// Quadrat is one planned quadrat.
type Quadrat struct {
	Quadrat string // label, one of its kind on the bed
	Stratum string // label in strata.csv; empty where the bed is one stratum
	Weigh   bool   // to be clipped and weighed after its cover was read
	At      Point
}

// Point is a place. What is not known is NaN: a bed without outline or baseline has shares only.
type Point struct {
	Lon, Lat   float64 // degrees on WGS 84
	Along, Up  float64 // m along the baseline from its start, and from it up the shore
	AlongShare float64 // 0-1 of the way along the bed
	UpShare    float64 // 0-1 of the way across the bed (or stratum) on this transect
}

// Located says whether the place has coordinates.
func (p Point) Located() bool { return !math.IsNaN(p.Lon) && !math.IsNaN(p.Lat) }

// Expected is the precision that a plan gives one species on one bed.
type Expected struct {
	Species  string
	Planned  bool    // the plan was made for it; else it is only told
	CV       float64 // expected coefficient of variation of the stock, 0-1, with the area's error; NaN: not estimable
	Lo, Hi   float64 // interval of CV, as the variances it rests on are estimates; NaN: not known (guesses)
	SampleCV float64 // without the area's error
	LastCV   float64 // of the last survey; NaN: none
	HourCV   float64 // CV with an hour more on this bed; NaN: no plan
	StockKg  float64 // of the last survey; NaN: none
	CapKg    float64 // highest cut by the fraction rule, from the last survey alone; NaN: not known
	CapThen  float64 // the same where the stock is found unchanged with the expected CV
	Status   Status
	Reason   string
}
