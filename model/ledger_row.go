package model

import (
	"math"

	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// LedgerRow is what was advised, decided and cut of one species on one bed in one season, by all together or by one permit.
type LedgerRow struct {
	Pair
	Shore    string
	Season   string
	From, To survey.Day
	Permit   string // empty: all together
	State    LedgerState

	AdvisedKg float64 // NaN: no advice. Of a season that is over: what was advised with what was known on its first day
	LimitedBy offtake.Limit
	Status    Status // of the advice; empty: it was not worked out
	Reason    string // why there is no advice, or nothing may be cut
	DecidedKg float64
	CutKg     float64 // with the unreported share; NaN: cuts are not known
	ReturnsMg int64   // what the returns say, mg: exact sums
	// UnallocatedKg is what may be of this besides, of landings without a bed or species, with the unreported share. It is
	// neither in CutKg nor taken off LeftKg.
	UnallocatedKg float64
	// AstrideKg is what returns say that run into this season from another in which they count, or from between two so that
	// they count in none, with the unreported share: some of it may be of this. It is neither in CutKg nor taken off LeftKg.
	AstrideKg float64
	ShutMg    int64   // of these, cut on days on which it was closed or rested, mg
	CastMg    int64   // cast weed, mg
	LeftKg    float64 // of what was decided, else advised, never below 0, and 0 where nothing more may be cut; NaN: not known

	Returns, Nil int        // rows of harvest.csv, and those of them that say 0
	LastReturn   survey.Day // NoDay: none
	Missing      bool       // a permit may cut and has sent no return
	Projected    growth.Interval
	OverChance   float64 // probability that the end is above what may be cut; NaN: not known
	PaceNote     string  // why there is no projection
	Risk         float64 // of what was decided where it is above the advice: highest yearly probability below the limit; NaN else
	Notes        []string

	sent    bool      // a return of the permit names no stand, and may be of this
	inMg    int64     // of the returns, those up to the day to which they are in, mg
	weights []float64 // kg of the returns from which a pace can be told
	passed  float64   // open days that they are from
	ahead   float64   // open days after these
}

// LedgerState is where a season stands on the day of the assessment.
type LedgerState string

const (
	SeasonOver    LedgerState = "ended"
	SeasonRunning LedgerState = "running"
	SeasonComing  LedgerState = "coming"
)

// LimitKg is what may be cut: what was decided, else what is advised; NaN where neither is known. What is cut of a stand
// before it is closed is set against what may have been cut until then.
func (r *LedgerRow) LimitKg() float64 {
	if r.Issued() {
		return r.DecidedKg
	}
	return r.AdvisedKg
}

// Issued tells whether there was a decision; else the advice stands, "not issued".
func (r *LedgerRow) Issued() bool { return !math.IsNaN(r.DecidedKg) }

// Shut tells whether nothing more may be cut: closed, or resting.
func (r *LedgerRow) Shut() bool { return r.Status == Closed || r.Status == Resting }

// Over tells whether more is cut than may be. What was cut before a closure is lawful and is not; what was cut on shut days
// is.
func (r *LedgerRow) Over() bool {
	if r.Shut() && (r.ShutMg > 0 || !r.Issued()) {
		return r.ShutMg > 0
	}
	return r.CutKg > 0 && r.CutKg > r.LimitKg()*(1+1e-9)
}

func (r *LedgerRow) note(text string) { r.Notes = append(r.Notes, text) }

// May is what may be cut besides: what may be of this of returns that are not counted here.
func (r *LedgerRow) May() float64 { return r.UnallocatedKg + r.AstrideKg }

// Kilos is a weight in mg as kg.
func Kilos(mg int64) float64 { return float64(mg) / 1e6 }

// milligrams is a weight in kg to the mg.
func milligrams(kg float64) int64 { return int64(math.Round(kg * 1e6)) }
