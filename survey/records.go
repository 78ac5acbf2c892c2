package survey

// Num is a number that may be missing. A blank cell has OK false; it is never 0.
type Num struct {
	V  float64
	OK bool
}

// Or returns the number, or the given one where it is missing.
func (n Num) Or(v float64) float64 {
	if n.OK {
		return n.V
	}
	return v
}

// Some is a number that is there.
func Some(v float64) Num { return Num{V: v, OK: true} }

// Options steer reading and estimating. The zero value is not usable; start from [DefaultOptions].
type Options struct {
	AsOf       Day     // the only today; NoDay: the latest date in the folder
	MostAlike  int     // findings of one kind that are listed, the rest is counted; 0: 20
	Clock      bool    // AsOf is the clock's today: no day after it has been yet
	LeaveTides bool    // tides.csv is not read: only the days of the next survey rest on it
	LeaveLater bool    // rows dated after AsOf are left out instead of being mistakes; see [Folder.Until]
	WindowDays int     // quadrats each within so many days of the last belong to one survey
	Confidence float64 // level of intervals, (0, 1)
	Conversion string  // "auto" (the best that can be fitted) or one of [Conversions]
	Lonely     string  // a stratum with one sampling unit: "adjust", "average", "certainty", "fail"

	Interval       string // of totals: "t", "log-t" (stays positive), "bootstrap" (studentised, else log-t)
	BootstrapDraws int    // replicates of a bootstrap interval, at least 200
	Seed           uint64 // of the bootstrap's random numbers
	FPC            bool   // finite population correction where quadrats are the sampling units
	DF             string // degrees of freedom: "units" (sampling units less strata), "satterthwaite"

	SeasonNames []SeasonName // the seasons that decisions may be for

	Mapping Mapping               // how tables with other names, headers and units become ours
	Input   map[string]InputRules // how tables are written, by file; "": all of them

	first []int32 // what reading looked up for the checks: of every row of quadrats.csv, the first of the same quadrat
}

// DefaultOptions are the values used where rules.toml is silent.
func DefaultOptions() Options {
	return Options{AsOf: NoDay, WindowDays: 45, Confidence: 0.95, Conversion: "auto", Lonely: "adjust", DF: "units",
		Interval: "t", BootstrapDraws: 2000, Seed: 1}
}

// Folder is a checked survey folder. Lists are in the order of the files unless said otherwise.
type Folder struct {
	Beds      []Bed // sorted by ID
	Strata    []Stratum
	Surveys   []Declared
	Quadrats  Quadrats
	Readings  Quadrats // quadrats that another observer read once more; they do not count for any stock
	Fronds    Fronds
	Cuts      []Cut
	CutsKnown bool // harvest.csv has a row: what was cut is known

	Unallocated []Unallocated // rows of harvest.csv without a bed or species

	Regrowth  []PlotRow
	Events    []Event
	Closures  []Closure
	Decisions []Decision
	SetAside  []SetAside
	Permits   []Permit
	LowWaters []LowWater // of tides.csv, sorted by time
	Species   []Species  // the embedded table overlaid by species.csv, sorted by name
	Names     []string   // interned text of the columnar tables, sorted; Names[0] is ""
	AsOf      Day
	Later     int       // rows that were left out as dated after AsOf
	Doubts    Problems  // warnings found while reading
	Inputs    []Input   // every file read, sorted by path
	Mapped    []string  // what was read by a mapping, in words
	Dialects  []Dialect // how every table was read, sorted by file

	Headers map[string][]string // by file, its header as it is spelled; not of what a mapping reads

	Outlines        map[string]Outline            // by bed, of beds.geojson; nil without one
	StratumOutlines map[string]map[string]Outline // by bed and stratum, of beds.geojson; nil without one
}

// Input is a file that was read.
type Input struct {
	Path   string // slash path relative to the folder
	SHA256 string // lower-case hexadecimal
}

// Bed is one bed of the shore with what held from which date.
type Bed struct {
	ID      string
	Periods []BedPeriod // by From; the first has From NoDay where the cell is blank
}

// BedPeriod is one row of beds.csv.
type BedPeriod struct {
	Name     string
	Shore    string
	Zone     string // lower, mid, upper or empty
	Area     float64
	AreaSE   Num
	Suitable Num // fraction of the area where the species can grow, 0-1
	Lat, Lon Num
	Status   string // open or closed
	Reason   string
	From     Day
	Line     int

	AreaOutlined bool // Area is that of the outline; the cell is blank
}

// At is the row that holds on a day: the last with From not after it, else the first.
func (b Bed) At(d Day) BedPeriod {
	p := b.Periods[0]
	for _, q := range b.Periods[1:] {
		if q.From <= d {
			p = q
		}
	}
	return p
}

// Stratum is one row of strata.csv.
type Stratum struct {
	Bed, Stratum string
	Area         float64
	AreaSE       Num
	Line         int
	AreaOutlined bool // Area is that of the outline; the cell is blank
}

// Declared is one row of surveys.csv.
type Declared struct {
	Bed, Survey string
	From, To    Day
	Sought      []string // species sought; nil: all of the folder
	People      string
	LowWater    Num
	Protocol    string
	Notes       string
	Line        int
}

// Visit says what became of a planned quadrat.
type Visit uint8

const (
	Done         Visit = iota // visited (also where the cell is blank)
	Planned                   // not yet
	NotReached                // tide or swell did not allow it
	Unsampleable              // no rock, deep water
)

// Quadrats holds quadrats.csv as columns, one entry a row. Text is an index into [Folder.Names]; index 0 is blank.
// A number that is not given is NaN.
type Quadrats struct {
	Bed, Stratum, Transect, Quadrat, Species, Observer []uint32

	Day     []Day
	Visit   []Visit
	M2      []float64 // area of the quadrat, m2
	Cover   []float64 // percent
	Frond   []float64 // mean frond length, cm
	Biomass []float64 // g wet in the quadrat, or in Weighed m2 of it
	Weighed []float64 // m2 clipped and weighed; NaN: the whole quadrat
	Line    []int32   // line in quadrats.csv
	Class   []uint8   // where cover was read as a letter: its place in Classes, 1 the first; nil: nowhere
	Classes []CoverClass
}

// Len is the number of rows.
func (q *Quadrats) Len() int { return len(q.Day) }

// Fronds holds fronds.csv as columns, as [Quadrats] does.
type Fronds struct {
	Bed, Stratum, Transect, Quadrat, Species, Stage []uint32

	Day    []Day
	Length []float64 // cm
	Wet    []float64 // g
	Line   []int32
}

// Len is the number of rows.
func (f *Fronds) Len() int { return len(f.Day) }

// Cut is one row of harvest.csv: what left the bed.
type Cut struct {
	Bed, Species string
	From, To     Day // To equals From where date_to is blank
	Kg           float64
	Cast         bool // washed up, no pressure on the bed
	Permit       string
	Estimated    bool
	Line         int
}

// PlotRow is one row of regrowth.csv.
type PlotRow struct {
	Plot, Species, Bed string
	Day                Day
	Cut                bool    // event cut; else measure
	Biomass            float64 // g wet in the plot: what stands (measure), or what was taken off (cut)
	M2                 float64
	Line               int
}

// Event is one row of events.csv.
type Event struct {
	Bed  string // "*": all beds
	Day  Day
	Kind string // storm, ice, heat, spill, other
	Left Num    // fraction of the stock left
	Line int
}

// Closure is one row of closures.csv.
type Closure struct {
	Bed, Species string // "*": all beds; empty species: all
	From, To     Day    // To NoDay: until lifted
	Reason       string
	Line         int
}

// Decision is one row of decisions.csv: what was granted.
type Decision struct {
	Bed, Species, Season, Permit string
	From, To                     Day
	Kg                           float64
	DecidedBy                    string
	DecidedOn                    Day
	Reference, Reason            string
	Line                         int
}

// SetAside is one row of setaside.csv: rows left out, with the reason.
type SetAside struct {
	File, Bed, Quadrat, Species string
	Day                         Day
	Reason, By                  string
	On                          Day
	Rows                        int // how many rows it left out
	Line                        int
}

// Permit is one row of permits.csv: a share of a bed's offtake.
type Permit struct {
	Permit, Bed, Species string
	Share                float64
	Line                 int
}

// Species is one row of the species table, embedded or the folder's own.
type Species struct {
	Name, CommonName                       string
	Measured                               string // what frond_cm measures: strap, blade, frond, plant
	Life                                   string // annual, biennial, perennial
	R, RCV                                 Num    // growth rate per year and its coefficient of variation
	K, KCV                                 Num    // ceiling, kg wet per m2 of occupied rock, and its coefficient of variation
	PeakMonth, Amplitude                   Num    // month (1 to 13, with fraction) of fastest growth and 0-1 swing of the seasonal rate
	SeasonRatio                            Num    // stock at a season's start over the surveyed stock
	MaxFrond, MinLength, Leave, RecruitLen Num    // cm
	MaxFraction                            Num    // highest fraction of the exploitable stock, 0-1
	CoverA, CoverB, CoverCV                Num    // kg/m2 = CoverA * cover_pct^CoverB
	Group                                  string
	AphiaID                                Num
	Confidence                             string            // B one field number, C indirect, D guess within bounds
	Source                                 string            // where the values come from
	From                                   map[string]string // column name -> file (and line) that gave the cell
	InTable                                bool              // has a row in the embedded or the folder's table
}
