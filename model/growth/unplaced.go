package growth

// Unplaced is a landing of which all, a part or nothing was taken from here: nobody noted the bed or the species.
type Unplaced struct {
	From, To float64 // time of its first day, and of the day after its last
	Kg       float64 // all of it, with the unreported share
}

// Negligible is the share of a stock up to which a landing that may be from it is passed over: far below what a survey
// or a year's growth can tell (coefficients of variation of a tenth and more).
const Negligible = 0.01

// Told tells whether it is known what was cut between survey t-1 and survey t, so that growth in that time can be
// worked out: cuts are recorded and the returns of that time are in, and the landings of that time that may be from here
// come to no more than [Negligible] of the smaller of the two stocks that were found. Where none was found both times, any
// landing is too much.
func (s Series) Told(t int) bool {
	if !s.CutsKnown || s.CutsTo != 0 && s.Surveys[t].T > s.CutsTo {
		return false
	}
	kg := s.UnplacedKg(t)
	return kg == 0 || kg <= Negligible*s.lesser(t)
}

// TellsGrowth tells whether what was cut is known between any two surveys.
func (s Series) TellsGrowth() bool {
	for t := 1; t < len(s.Surveys); t++ {
		if s.Told(t) {
			return true
		}
	}
	return false
}

// UnplacedKg is what may have been taken from here between survey t-1 and survey t besides the cuts: all landings of
// which a day lies in that time, kg with the unreported share.
func (s Series) UnplacedKg(t int) float64 {
	sum := 0.0
	for _, u := range s.Unplaced {
		if u.From < s.Surveys[t].T && u.To > s.Surveys[t-1].T {
			sum += u.Kg
		}
	}
	return sum
}

// Freed tells whether landings that may be from here leave some time between two surveys untold that would be told without
// them.
func (s Series) Freed() bool {
	none := s
	none.Unplaced = nil
	for t := 1; t < len(s.Surveys); t++ {
		if none.Told(t) && !s.Told(t) {
			return true
		}
	}
	return false
}

// lesser is the smaller stock found at survey t-1 and survey t, kg; 0 where neither found any.
func (s Series) lesser(t int) float64 {
	a, b := s.Surveys[t-1].Kg, s.Surveys[t].Kg
	if a > 0 && b > 0 {
		return min(a, b)
	}
	return max(a, b, 0)
}
