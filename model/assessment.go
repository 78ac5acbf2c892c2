package model

import (
	"sync/atomic"

	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// Config is what an assessment needs beside the folder.
type Config struct {
	Rules Rules
	Seed  uint64
	Draws int // joint draws, all chains together
	// Only, if not nil, says which beds and species are assessed; the stocks are estimated for all, since beds lend each
	// other their calibration.
	Only func(Pair) bool
	// Progress, if not nil, is told how many beds of a stage are done, in any order of stages and from any goroutine: a bed
	// counts once for each of its species.
	Progress func(stage string, done, total int)
	// Ask, if not nil, is called from any goroutine with each unit as its advice is made, where there is one: what is asked of the
	// Futures of its Basis then is remembered, and needs no chances of its own.
	Ask func(*Assessment, *Unit)
	// Thrift, if not nil, is for shores whose draws no memory holds.
	Thrift *Thrift
}

// The stages of an assessment that take their time.
const (
	StageGrowth   = "growth"
	StageOfftake  = "offtake"
	StageEvidence = "evidence" // of the [Assessment.EvidenceTable]
)

// counting tells Progress of the stage how many of all are done, each time that more are.
func (c Config) counting(stage string, all int) func(more int) {
	if c.Progress == nil {
		return func(int) {}
	}
	var done atomic.Int64
	c.Progress(stage, 0, all)
	return func(more int) { c.Progress(stage, int(done.Add(int64(more))), all) }
}

// DefaultSeed and DefaultDraws are used where the command line is silent.
const (
	DefaultSeed  = 1
	DefaultDraws = 4000
)

// Assessment is everything that is written out.
type Assessment struct {
	Config
	Folder    *survey.Folder
	Stocks    []survey.Stock   // per bed, species and survey
	Plots     []growth.PlotFit // per regrowth plot; see RankedPlots
	Species   []SpeciesGrowth  // per species that the growth model could be asked about, by name, and reach of a long coast
	Units     []Unit           // per bed and species ever found there, by bed and species
	Absent    []Pair           // bed and species sought but never found
	Rotations []Rotation       // calendars of the beds that are cut in turn
	// Warnings concern the whole folder; those of a stock or a unit stand there.
	Warnings []string

	evidence   func() []EvidenceRow // gathered once
	evidenceOf func() map[Pair][]EvidenceRow
	checks     func() []GrowthCheck
	pools      func() map[runKey]int // places in Species
	ranked     func() []growth.PlotFit
	words      map[runKey]*plotWord // what the plots say of a species, and of each reach where there are several
}

// Pair names a bed and a species.
type Pair struct{ Bed, Species string }

// Unit is one species on one bed.
type Unit struct {
	Pair
	periods []survey.BedPeriod
	asOf    survey.Day

	loose       []survey.Unallocated // landings that may be from it
	loosePulses []growth.Pulse       // the same, dated, with the unreported share

	Row    *survey.Species  // nil: no row in the species table
	Where  survey.BedPeriod // what holds for the bed on the day of the assessment
	Stocks []survey.Stock   // by date
	Losses []survey.Event   // storms and others that took from it, in the order of events.csv: all that struck the bed but spills

	Series growth.Series    // what the growth model was given
	Times  []int            // index in Stocks of each observation of Series
	Occ    Occupancy        // fraction of the bed where the species can grow
	Prior  growth.Prior     // what the species table says
	Season growth.Season    // when it grows
	Growth growth.Posterior // Status "not assessed" where the model could not be asked
	reach  string           // of the coast, whose beds are in one pool; empty: all
	check  *GrowthCheck     // made with the advice; nil: not yet

	Basis   *Basis   // the advice of the last survey for the year that runs or comes next; nil: not assessed
	Seasons []Season // the running and the coming seasons, by date
	// Of the year that Basis advises: what is cut in its seasons so far, with what may have been of landings without a bed or
	// species, and what is advised for the rest of them, kg; NaN where it is not known.
	YearCutKg, YearAheadKg float64
	Pressure               []Pressure
	Last                   *Pressure // the last with a verdict; nil: none
	Status                 Status
	Reason                 string // why not assessed
	Warnings               []string
}

// Status says whether there is an advice.
type Status string

const (
	Assessed    Status = "ok"
	Closed      Status = "closed"
	Resting     Status = "rest"
	NotAssessed Status = "not assessed"
)

// Basis is the year's advice that one survey gives.
type Basis struct {
	Stock  survey.Stock
	Stand  offtake.Stand
	Year   offtake.Advice
	Audit  offtake.AuditResult
	Open   survey.Day // first day of the first season after the survey, or of the next one where the survey is old: to it Stand is brought
	Series growth.Series

	Futures *offtake.Futures // of Stand, from which Year was made; nil: it was made otherwise

	Other *Basis // with nothing or all of the landings that nobody placed, where that is another; a season gets the lower

	// What the advice rests on besides the survey: what was cut since outside the seasons, and of that what may have been of
	// landings without a bed or species, kg.
	TakenKg, LooseKg float64

	below               [2]below // as worked out before the draws went to a file
	projected           bool     // brought on to a season for which the survey is old
	beyond, beyondLoose bool     // a season since the survey had more cut than its part, of known cuts and of such landings
}

// below is the probability that a stock is below a share of its ceiling.
type below struct{ share, p float64 }

// PBelow is the probability that the stock of the stand is below a share of its ceiling.
func (b *Basis) PBelow(share float64) float64 {
	for _, known := range b.below {
		if known.share == share && share > 0 {
			return known.p
		}
	}
	n := 0
	for i, kg := range b.Stand.B {
		if kg < share*b.Stand.K[i] {
			n++
		}
	}
	return float64(n) / float64(len(b.Stand.B))
}

// Season is the advice for one bed, species and season.
type Season struct {
	Name      string
	From, To  survey.Day
	AdvisedKg float64 // NaN: not assessed
	UnshutKg  float64 // what was advised if it were not closed and did not rest; NaN: not assessed
	GrantedKg float64 // what decisions.csv grants; NaN: no decision
	CutKg     float64 // cut so far, with the unreported share; NaN: cuts are not known
	ShutKg    float64 // cut on days on which it was shut

	UnallocatedKg float64 // what may have been cut of it besides, of landings without a bed or species

	OffKg float64 // taken off the advice for what earlier seasons cut beyond theirs

	// RestsOnCuts tells whether the advice is another for what was cut since the survey; RestsOnLoose whether for landings
	// without a bed or species.
	RestsOnCuts, RestsOnLoose bool

	LimitedBy offtake.Limit
	Share     float64         // of the year's offtake; NaN: not assessed
	CapKg     float64         // cap on the stock expected as the season opens, kg a year; NaN: not assessed
	Year      *offtake.Advice // nil: not assessed
	Basis     *Basis          // the survey's advice that it rests on; nil: none
	Survey    survey.Day      // date of the survey it rests on; NoDay: none
	Status    Status
	Reason    string
	Turn      int              // year of the next turn where it is not the bed's turn in a rotation; 0: it is, or there is none
	Closures  []survey.Closure // those that hold on some of its days from today on; To NoDay: until lifted
	Warnings  []string
}

// Pressure sets what was cut between two surveys against what grew in that time.
type Pressure struct {
	From, To survey.Day
	CutKg    float64 // NaN: not known
	CastKg   float64
	// UnallocatedKg is what may have been cut besides, of landings without a bed or species, with the unreported share; 0
	// where it is negligible. Recovery, and Ratio where the verdict stands, reach from none of it (RecoveryOfCut) to all of
	// it.
	UnallocatedKg float64
	RecoveryOfCut growth.Interval

	Recovery   growth.Interval // kg; NaN where not assessed
	PAbove     float64
	Ratio      growth.Interval // cut over recovery; NaN where the recovery may be none
	Verdict    offtake.Finding
	AboveBest  bool   // the stock is above the level of most yield
	Storm      string // a loss recorded in that time, as "storm of 2024-01-14"
	Note       string // why the surveys cannot tell although the stock fell or rose
	Reason     string
	StockStart float64 // kg, median stock at From
}
