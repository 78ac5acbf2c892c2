package model

import (
	"fmt"
	"strings"

	"bedstock/model/offtake"
	"bedstock/survey"
)

// RulesFile is the name of the rules file in a survey folder.
const RulesFile = "rules.toml"

// Rules are the effective choices of a folder: the defaults overlaid by rules.toml and the command line.
type Rules struct {
	Survey  survey.Options
	Offtake offtake.Rules
	Seasons []offtake.Season // of every species without seasons of its own

	OwnSeasons []SpeciesSeasons // by species; see [Rules.SeasonsOf]
	Rotations  []RotationRule   // groups of beds that are cut in turn; see [Rules.OfftakeOf]

	SigmaProcess  float64 // half-normal scale of the process noise, per root year
	SigmaR        float64 // half-normal scale of the spread of log r between beds
	SigmaK        float64 // half-normal scale of the spread of log K between beds
	ReportedShare float64 // share of the cut that is reported, (0, 1]
	ReportedCV    float64 // coefficient of variation of that share, one for all years; 0: it is exact

	ProjectAfter float64 // years after a survey from which on its stock is projected on, never above its own advice
	OldestSurvey float64 // years after a survey from which on there is no advice

	DisclosurePercent float64 // p of the p%-rule by which the public edition withholds what permits cut, 0-100

	Dataset *Dataset // what the survey is called and who answers for it; nil: not said

	ReturnsCompleteTo survey.Day // returns are in up to this date; NoDay: not said

	unreadable bool      // the mapping has a mistake: how the folder is read is not known
	Plan       PlanRules // of the next survey

	// Settings lists every value with its origin, in the order of the file's description.
	Settings []Setting
}

// Setting is one effective value and where it comes from.
type Setting struct {
	Name  string `json:"name"`
	Value string `json:"value"`
	From  string `json:"from"` // "default", "rules.toml:LINE" or the name of the option
}

// Changed lists the settings that differ from the defaults, but for the day of the assessment, the seasons, the
// rotations, how tables are written and what concerns only the plan of the next survey.
func (r Rules) Changed() []Setting {
	usual := map[string]string{}
	for _, s := range DefaultRules().Settings {
		usual[s.Name] = s.Value
	}
	var out []Setting
	for _, s := range r.Settings {
		if value, known := usual[s.Name]; known && value != s.Value && s.Name != "as_of" && !strings.HasPrefix(s.Name, "season.") &&
			!strings.HasPrefix(s.Name, planPrefix) && !strings.HasPrefix(s.Name, "input.") {
			out = append(out, s)
		}
	}
	return out
}

// ChangedSentence names the rules in force that are not the defaults, with their origins; empty: there is none.
func (r Rules) ChangedSentence() string {
	var parts []string
	for _, s := range r.Changed() {
		parts = append(parts, fmt.Sprintf("%s %s (%s)", s.Name, s.Value, s.From))
	}
	if len(parts) == 0 {
		return ""
	}
	return "Rules other than the defaults: " + strings.Join(parts, ", ")
}

// DefaultRules are the rules of a folder without rules.toml.
func DefaultRules() Rules {
	r := Rules{
		Survey: survey.DefaultOptions(), Offtake: offtake.DefaultRules(),
		Seasons:      offtake.DefaultSeasons(),
		SigmaProcess: 0.3, SigmaR: 0.3, SigmaK: 0.5, ReportedShare: 1, DisclosurePercent: 10, ProjectAfter: 1, OldestSurvey: 3, ReturnsCompleteTo: survey.NoDay, Plan: defaultPlanRules(),
	}
	r.describe(nil)
	return r
}
