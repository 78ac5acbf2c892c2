package model

import (
	"errors"
	"fmt"
	"slices"

	"bedstock/model/offtake"
	"bedstock/survey"
)

// RotationRule is a group of beds of which each is cut in one year out of Period. The year of a season is that of its
// first day.
type RotationRule struct {
	Name    string
	Beds    []string
	Species []string // that take turns; none: every species of the beds
	Period  int      // years from one turn of a bed to its next
	Start   int      // first year of the rotation; what was cut before counts for no turn. 0: in force already
	at      place
}

// holds tells whether a species of a bed takes its turn in the rotation.
func (r RotationRule) holds(p Pair) bool {
	return slices.Contains(r.Beds, p.Bed) && (len(r.Species) == 0 ||
		slices.ContainsFunc(r.Species, func(s string) bool { return sameName(s, p.Species) }))
}

// rotation is the rotation of a bed and species, nil where there is none.
func (r *Rules) rotation(p Pair) *RotationRule {
	for i := range r.Rotations {
		if r.Rotations[i].holds(p) {
			return &r.Rotations[i]
		}
	}
	return nil
}

// OfftakeOf are the rules of the offtake of one bed and species: those of the folder, with the rest of its rotation in
// place of rest_years where it is in one that has begun on the day of the assessment, and intervals of the level that all
// have.
func (r *Rules) OfftakeOf(p Pair) offtake.Rules {
	if x := r.rotation(p); x != nil && (x.Start == 0 || x.Start <= r.Survey.AsOf.Year()) {
		return r.restOf(*x)
	}
	return r.leveled()
}

func (r *Rules) leveled() offtake.Rules {
	out := r.Offtake
	out.Level = r.Survey.Confidence
	return out
}

// restOf are the rules of the offtake of beds in a rotation.
func (r *Rules) restOf(x RotationRule) offtake.Rules {
	out := r.leveled()
	out.RestYears = x.Period - 1
	return out
}

const rotationHint = "a rotation has name, beds (a list) and period (years), and species (a list) and start (a year) where wanted"

func (in *rulesInput) readRotations(value any) {
	for _, t := range in.tables("rotation", value) {
		var x RotationRule
		before := len(in.problems)
		in.fill("rotation", rotationHint, t, []string{"name", "beds", "period"}, func(key string, value any) error {
			return setRotation(&x, key, value)
		})
		x.at = place{in.file, t.at[""]}
		if len(in.problems) > before {
			continue
		}
		if also, bed := in.rules.inOther(x); also != "" {
			in.fault(t.at["beds"], "a species of a bed takes its turn in one rotation", "rotation %q: %s is in rotation %q already", x.Name, bed, also)
			continue
		}
		in.rules.Rotations = append(in.rules.Rotations, x)
		in.from["rotation."+x.Name] = fmt.Sprintf("%s:%d", in.file, t.at[""].Line)
	}
}

// inOther gives the name of a rotation that has a name, or a bed and species, in common with another, and the bed.
func (r *Rules) inOther(x RotationRule) (name, bed string) {
	for _, other := range r.Rotations {
		if sameName(other.Name, x.Name) {
			return other.Name, "the name"
		}
		for _, bed := range x.Beds {
			if !slices.Contains(other.Beds, bed) {
				continue
			}
			if len(x.Species) == 0 || len(other.Species) == 0 {
				return other.Name, bed
			}
			for _, s := range x.Species {
				if other.holds(Pair{bed, s}) {
					return other.Name, bed + ", " + s
				}
			}
		}
	}
	return "", ""
}

func setRotation(x *RotationRule, key string, value any) (err error) {
	switch key {
	case "name":
		x.Name, err = asName(value)
	case "beds":
		x.Beds, err = asNames(value)
	case "species":
		x.Species, err = asNames(value)
	case "period":
		x.Period, err = asYears(value, 2, 20)
	case "start":
		x.Start, err = asYears(value, 1900, 2200)
	default:
		err = errors.New("unknown key")
	}
	return err
}

func asYears(value any, lo, hi int) (int, error) {
	v, ok := value.(int64)
	if !ok {
		return 0, fmt.Errorf("%v is not a whole number", value)
	}
	if v < int64(lo) || v > int64(hi) {
		return 0, fmt.Errorf("%d is not between %d and %d", v, lo, hi)
	}
	return int(v), nil
}

// checkRest holds every rest shorter than the years looked ahead: the risk is looked at just before the next cut, which
// must come within them.
func (r *Rules) checkRest() survey.Problems {
	var out survey.Problems
	for _, x := range r.Rotations {
		if x.Period > r.Offtake.Horizon {
			out = append(out, x.at.problem("", "rotation period: %d years are more than horizon_years %d", x.Period, r.Offtake.Horizon))
		}
	}
	return out
}
