package model

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bedstock/model/offtake"
	"bedstock/survey"
)

// ruleKey is one key of rules.toml: where it goes, what it may be, what it means.
type ruleKey struct {
	name    string
	at      func(*Rules) any // *float64, *int, *bool, *string or *survey.Day
	lo, hi  float64          // range of a number, ends included unless open
	open    bool             // the lower end is not included
	enum    []string
	meaning string
}

// ruleKeys are all keys outside the seasons, in the order in which they are printed.
var ruleKeys = []ruleKey{
	{name: "as_of", at: func(r *Rules) any { return &r.Survey.AsOf }, meaning: "the only today; blank: the latest date in the folder"},
	{name: "survey_window_days", at: func(r *Rules) any { return &r.Survey.WindowDays }, lo: 1, hi: 366,
		meaning: "quadrats each within so many days of the last are one survey"},
	{name: "confidence", at: func(r *Rules) any { return &r.Survey.Confidence }, lo: 0.5, hi: 0.999, meaning: "level of every interval"},
	{name: "interval", at: func(r *Rules) any { return &r.Survey.Interval }, enum: []string{"t", "log-t", "bootstrap"},
		meaning: "intervals of stocks: t, log-t (stays above 0) or bootstrap over the transects (log-t where too few)"},
	{name: "bootstrap_draws", at: func(r *Rules) any { return &r.Survey.BootstrapDraws }, lo: 200, hi: 100000,
		meaning: "replicates of a bootstrap interval"},
	{name: "conversion", at: func(r *Rules) any { return &r.Survey.Conversion }, enum: survey.Conversions(),
		meaning: "how cover and length become weight; auto takes the model with the smallest left-out error"},
	{name: "lonely", at: func(r *Rules) any { return &r.Survey.Lonely }, enum: []string{"adjust", "average", "certainty", "fail"},
		meaning: "a stratum with one sampling unit"},
	{name: "fpc", at: func(r *Rules) any { return &r.Survey.FPC },
		meaning: "finite population correction where quadrats are the sampling units: true or false"},
	{name: "df", at: func(r *Rules) any { return &r.Survey.DF }, enum: []string{"units", "satterthwaite"},
		meaning: "degrees of freedom: sampling units less strata, or by how unequal the strata's variances are"},
	{name: "horizon_years", at: func(r *Rules) any { return &r.Offtake.Horizon }, lo: 1, hi: 100, meaning: "years looked ahead for the risk"},
	{name: "limit_of_k", at: func(r *Rules) any { return &r.Offtake.LimitOfK }, lo: 0, hi: 0.9, open: true,
		meaning: "the stock must stay above this share of K"},
	{name: "trigger_of_k", at: func(r *Rules) any { return &r.Offtake.TriggerOfK }, lo: 0, hi: 1, open: true,
		meaning: "below this share of K the advice is reduced, zero at the limit"},
	{name: "risk", at: func(r *Rules) any { return &r.Offtake.Risk }, lo: 0, hi: 0.5, open: true,
		meaning: "highest yearly probability of being below the limit"},
	{name: "max_fraction", at: func(r *Rules) any { return &r.Offtake.MaxFraction }, lo: 0, hi: 1,
		meaning: "highest fraction of the exploitable stock; a third is common practice, no source"},
	{name: "stock_quantile", at: func(r *Rules) any { return &r.Offtake.StockQuantile }, lo: 0.01, hi: 0.5,
		meaning: "quantile of the stock that the cap is taken of"},
	{name: "replacement_probability", at: func(r *Rules) any { return &r.Offtake.ReplacementProbability }, lo: 0.05, hi: 0.95,
		meaning: "probability with which the take must be replaced"},
	{name: "rebuild_years", at: func(r *Rules) any { return &r.Offtake.RebuildYears }, lo: 1, hi: 100,
		meaning: "years in which a thin bed is to reach its best level"},
	{name: "weak_fraction", at: func(r *Rules) any { return &r.Offtake.WeakFraction }, lo: 0, hi: 1,
		meaning: "cap for a species that the data hardly inform"},
	{name: "weak_spread", at: func(r *Rules) any { return &r.Offtake.WeakSpread }, lo: 0, hi: 1,
		meaning: "the data hardly inform a species whose spread of log r is still above this share of what it was before them"},
	{name: "weak_ramp", at: func(r *Rules) any { return &r.Offtake.WeakRamp }, lo: 0, hi: 1,
		meaning: "from so far below weak_spread on the weak cap comes in step by step"},
	{name: "project_after_years", at: func(r *Rules) any { return &r.ProjectAfter }, lo: 0, hi: 20,
		meaning: "from this age of a survey at a season's start on, its stock is projected on, never above its own advice"},
	{name: "oldest_survey_years", at: func(r *Rules) any { return &r.OldestSurvey }, lo: 0, hi: 50, open: true,
		meaning: "no advice for a season that begins longer after its survey"},
	{name: "rest_years", at: func(r *Rules) any { return &r.Offtake.RestYears }, lo: 0, hi: 20, meaning: "years a species rests on a bed after it was cut there"},
	{name: "storm_chance", at: func(r *Rules) any { return &r.Offtake.StormChance }, lo: 0, hi: 0.9, meaning: "chance of a storm in a year"},
	{name: "storm_survival", at: func(r *Rules) any { return &r.Offtake.StormSurvival }, lo: 0, hi: 1, open: true,
		meaning: "fraction of the stock that a storm leaves"},
	{name: "reported_share", at: func(r *Rules) any { return &r.ReportedShare }, lo: 0, hi: 1, open: true,
		meaning: "share of the cut that is reported"},
	{name: "reported_cv", at: func(r *Rules) any { return &r.ReportedCV }, lo: 0, hi: 2,
		meaning: "coefficient of variation of the reported share, one for all years"},
	{name: "returns_complete_to", at: func(r *Rules) any { return &r.ReturnsCompleteTo }, meaning: "returns are in up to this date"},
	{name: "disclosure_percent", at: func(r *Rules) any { return &r.DisclosurePercent }, lo: 0, hi: 100,
		meaning: "report --public: weights are withheld from which a permit could tell another's to within so many percent (p%-rule); 10 is judgement"},
	{name: "process_sd", at: func(r *Rules) any { return &r.SigmaProcess }, lo: 0, hi: 2, open: true,
		meaning: "scale of the year-to-year noise of a stand, on the log"},
	{name: "r_spread", at: func(r *Rules) any { return &r.SigmaR }, lo: 0, hi: 2, open: true, meaning: "scale of the spread of log r between beds"},
	{name: "k_spread", at: func(r *Rules) any { return &r.SigmaK }, lo: 0, hi: 2, open: true, meaning: "scale of the spread of log K between beds"},
}

// show writes the value of a key as rules.toml would.
func (k ruleKey) show(r *Rules) string {
	switch v := k.at(r).(type) {
	case *float64:
		return strconv.FormatFloat(*v, 'g', -1, 64)
	case *int:
		return strconv.Itoa(*v)
	case *bool:
		return strconv.FormatBool(*v)
	case *survey.Day:
		return v.String()
	case *survey.Num:
		if !v.OK {
			return ""
		}
		return strconv.FormatFloat(v.V, 'g', -1, 64)
	case *Clock:
		return v.String()
	case *string:
		return *v
	}
	panic("model: rule key " + k.name + " has an unknown kind")
}

// Meaning is the one-line meaning of a setting, empty for an unknown one.
func Meaning(name string) string {
	for _, k := range slices.Concat(ruleKeys, planKeys) {
		if k.name == name {
			return k.meaning
		}
	}
	switch {
	case strings.HasPrefix(name, "season.") && strings.HasSuffix(name, ")"):
		return "instead of the general seasons"
	case strings.HasPrefix(name, "season."):
		return "when may be cut, and the share of the year's offtake"
	case strings.HasPrefix(name, "baseline."):
		return "the line along a bed from which transects run up the shore"
	case strings.HasPrefix(name, "rotation."):
		return "beds cut in turn; quota --calendar shows the years"
	}
	if kind, _, ok := strings.Cut(name, "."); ok {
		if m := mappingMeanings[kind]; m != "" {
			return m
		}
	}
	return inputMeaning(name)
}

// describe fills Settings; from names the origin of the keys that are not defaults.
func (r *Rules) describe(from map[string]string) {
	origin := func(name string) string {
		if f := from[name]; f != "" {
			return f
		}
		return "default"
	}
	r.Settings = r.Settings[:0]
	for _, k := range ruleKeys {
		r.Settings = append(r.Settings, Setting{Name: k.name, Value: k.show(r), From: origin(k.name)})
	}
	for _, s := range r.Seasons {
		r.Settings = append(r.Settings, Setting{Name: "season." + s.Name, Value: shownSeason(s), From: origin("season." + s.Name)})
	}
	for _, own := range r.OwnSeasons {
		for _, s := range own.Seasons {
			name := ownSeason(s.Name, own.Species)
			r.Settings = append(r.Settings, Setting{Name: name, Value: shownSeason(s), From: origin(name)})
		}
	}
	for _, x := range r.Rotations {
		r.Settings = append(r.Settings, Setting{Name: "rotation." + x.Name, Value: x.String(), From: origin("rotation." + x.Name)})
	}
	r.describeMapping()
	for _, k := range planKeys {
		r.Settings = append(r.Settings, Setting{Name: k.name, Value: k.show(r), From: origin(k.name)})
	}
	for _, b := range r.Plan.Baselines {
		r.Settings = append(r.Settings, Setting{Name: b.name(), Value: b.String(), From: fmt.Sprintf("%s:%d", b.at.file, b.at.at.Line)})
	}
	r.describeInput(origin)
}

func shownSeason(s offtake.Season) string {
	return fmt.Sprintf("%s to %s, share %g", s.From, s.To, s.Share)
}

// String says in words what the rotation is.
func (r RotationRule) String() string {
	out := fmt.Sprintf("each of %s every %d years", strings.Join(r.Beds, ", "), r.Period)
	if len(r.Species) > 0 {
		out += ", " + strings.Join(r.Species, ", ")
	}
	if r.Start > 0 {
		out += fmt.Sprintf(", from %d", r.Start)
	}
	return out
}
