package model

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"bedstock/survey"
)

// Baseline is a line along a bed (or one of its strata) from which transects run up the shore, a table [[baseline]] of
// rules.toml. The bed (or stratum) is taken to be the strip of Up metres beside it.
type Baseline struct {
	Bed, Stratum string
	Start, End   survey.LonLat // where Drawn
	Drawn        bool          // its ends are known on the map
	Length       float64       // m; that between the ends where Drawn
	Up           float64       // m, from the line to the upper edge
	Right        bool          // the bed lies to the right of the way from start to end, else to the left
	at           place
}

// name is that of the setting.
func (b Baseline) name() string {
	if b.Stratum != "" {
		return "baseline." + b.Bed + "." + b.Stratum
	}
	return "baseline." + b.Bed
}

// String says in words where the line runs.
func (b Baseline) String() string {
	out := fmt.Sprintf("%.4g m along, %g m up the shore", b.Length, b.Up)
	if b.Drawn {
		side := "left"
		if b.Right {
			side = "right"
		}
		out += fmt.Sprintf(", from %g, %g to %g, %g, the bed to the %s", b.Start.Lon, b.Start.Lat, b.End.Lon, b.End.Lat, side)
	}
	return out
}

const baselineHint = "a baseline has bed, up_m (its width up the shore) and either start and end ([longitude, latitude]) or length_m; stratum and side where wanted"

// readBaselines reads the tables [[baseline]].
func (in *rulesInput) readBaselines(value any) {
	for _, t := range in.tables("baseline", value) {
		var b Baseline
		ends, before := 0, len(in.problems)
		in.fill("baseline", baselineHint, t, []string{"bed", "up_m"}, func(key string, value any) error {
			if key == "start" || key == "end" {
				ends++
			}
			return b.set(key, value)
		})
		b.at = place{in.file, t.at[""]}
		if len(in.problems) > before {
			continue
		}
		switch twice := slices.ContainsFunc(in.rules.Plan.Baselines, func(o Baseline) bool { return o.Bed == b.Bed && o.Stratum == b.Stratum }); {
		case twice:
			in.fault(t.at[""], "one baseline a bed, or one for each of its strata", "baseline of bed %q: there is one already", b.Bed)
			continue
		case ends == 1, ends == 0 && b.Length == 0, ends == 2 && b.Length > 0:
			in.fault(t.at[""], baselineHint, "baseline of bed %q needs start and end, or length_m", b.Bed)
			continue
		}
		if b.Drawn = ends == 2; b.Drawn {
			x, y := planeAt(b.Start).metres(b.End)
			if b.Length = math.Hypot(x, y); !(b.Length >= 1 && b.Length <= 50000) {
				in.fault(t.at["end"], "", "baseline of bed %q: its ends lie %.3g m apart", b.Bed, b.Length)
				continue
			}
		}
		in.rules.Plan.Baselines = append(in.rules.Plan.Baselines, b)
	}
}

// set stores one key.
func (b *Baseline) set(key string, value any) (err error) {
	metres := func(to *float64) error {
		v, ok := asNumber(value)
		if !ok || !(v >= 0.1 && v <= 50000) {
			return fmt.Errorf("%v is not a number of metres between 0.1 and 50000", value)
		}
		*to = v
		return nil
	}
	switch key {
	case "bed":
		b.Bed, err = asName(value)
	case "stratum":
		b.Stratum, err = asName(value)
	case "start":
		b.Start, err = asLonLat(value)
	case "end":
		b.End, err = asLonLat(value)
	case "length_m":
		err = metres(&b.Length)
	case "up_m":
		err = metres(&b.Up)
	case "side":
		if value != "left" && value != "right" {
			return fmt.Errorf("%v is neither left nor right, on the way from start to end", value)
		}
		b.Right = value == "right"
	default:
		err = errors.New("unknown key")
	}
	return err
}

// asLonLat is a position [longitude, latitude].
func asLonLat(value any) (survey.LonLat, error) {
	list, ok := value.([]any)
	if ok && len(list) == 2 {
		lon, a := asNumber(list[0])
		lat, b := asNumber(list[1])
		if a && b && math.Abs(lon) <= 180 && math.Abs(lat) <= 89 {
			return survey.LonLat{Lon: lon, Lat: lat}, nil
		}
	}
	return survey.LonLat{}, fmt.Errorf("%v is not a position [longitude, latitude]", value)
}

// settleBaselines checks that beds and strata of baselines are known in the folder.
func (r *Rules) settleBaselines(f *survey.Folder) survey.Problems {
	var problems survey.Problems
	for _, b := range r.Plan.Baselines {
		switch {
		case !slices.ContainsFunc(f.Beds, func(bed survey.Bed) bool { return bed.ID == b.Bed }):
			problems = append(problems, b.at.problem("the labels stand in the column bed of beds.csv", "baseline bed: no bed is labelled %q", b.Bed))
		case b.Stratum != "" && !slices.ContainsFunc(f.Strata, func(s survey.Stratum) bool { return s.Bed == b.Bed && s.Stratum == b.Stratum }):
			problems = append(problems, b.at.problem("strata stand in strata.csv", "baseline stratum: bed %s has no stratum %q", b.Bed, b.Stratum))
		}
	}
	return problems
}
