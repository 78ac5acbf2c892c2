package survey

// Status says whether a number can be used.
type Status string

const (
	OK           Status = "ok"
	NotEstimable Status = "not estimable"
	SurveyedPart Status = "surveyed part only" // a stratum was not visited
)

// Estimate is an estimated number with its uncertainty. It is meaningful only where OK is true; SE, DF, Lo and Hi are
// NaN where they cannot be had (one sampling unit).
type Estimate struct {
	OK     bool
	Value  float64
	SE     float64
	DF     float64
	Lo, Hi float64
	Level  float64 // level of the interval, 0-1
	Kind   string  // of the interval: "t", "log-t", "bootstrap"; empty without one
}

// CV is SE/Value, NaN where Value is 0.
func (e Estimate) CV() float64 { return e.SE / e.Value }

// SharedError is an error that a stock has in common with other stocks: a calibration used elsewhere too, or the area
// of the bed. It must not be averaged away over years or beds.
type SharedError struct {
	ID string // equal IDs are the same error
	CV float64
}

// Stock is what stands of one species on one bed at one survey.
type Stock struct {
	Bed, Species, Survey string
	From, To, Date       Day
	Area, AreaSE         float64 // m2 of the surveyed part, AreaSE 0 where not given
	BedArea              float64 // m2 of the bed on that date

	Cover Estimate // percent of the surveyed part
	Kg    Estimate // kg wet on the surveyed part

	Exploitable float64 // share of Kg that may be cut by length, 0-1; 1 with a warning where lengths are not known
	// ExploitableSE is the standard error of Exploitable: 0 where no length rule holds, NaN where the lengths cannot tell it
	// (none, from one sampling unit, or all on one side of the rule).
	ExploitableSE float64
	FrondMean     Num // mean length, cm

	Quadrats     int     // visited
	QuadratsWith int     // visited and holding the species
	Occupied     float64 // share of the surveyed area that holds the species, quadrats weighted by their strata's areas
	PSU          int     // sampling units: transects, else quadrats
	PSUWith      int     // sampling units holding the species
	Weighed      int     // quadrats where the species was weighed and has cover
	DensityWith  float64 // kg/m2, mean over the sampling units that hold the species; NaN unknown
	DesignEffect float64 // variance over that of a simple random sample of as many quadrats; NaN unknown

	Conversion string // direct, ratio, ratio-length, linear, power, allometry, given, none
	Domain     string // survey, shore and year, species and year, species; empty where direct or given
	OwnCV      float64
	Shared     []SharedError // errors not in OwnCV
	Candidates []Candidate   // models tried by which cover and length become weight; none where all was weighed
	BedRatios  BedRatios     // how weight per cover differs between beds, where the conversion is from other surveys too

	Status   Status
	Reason   string
	Warnings []string
}
