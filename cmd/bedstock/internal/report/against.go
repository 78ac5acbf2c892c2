package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
)

// Earlier is a report that this one is compared with: its tables and what its manifest says.
type Earlier struct {
	AsOf, Version string
	Seed          uint64
	Invented      bool
	Rules         map[string]string // value by name
	Inputs        map[string]string // SHA-256 by path
	Tables        map[string][]byte // by file name
}

// What a change can be of, in the order in which they are told.
const (
	aboutBed      = "bed"
	aboutStand    = "stand"
	aboutStock    = "stock"
	aboutOfftake  = "offtake"
	aboutVerdict  = "verdict"
	aboutRegrowth = "regrowth"
	aboutRule     = "rule"
	aboutInput    = "input"
	aboutRun      = "run"
)

// Findings of a change of stock.
const (
	beyondIntervals = "more than the two intervals allow"
	withinIntervals = "within what the two intervals allow"
	sameSurvey      = "same survey, another figure"
	cannotCompare   = "cannot tell"
)

// change is what differs from the earlier report in one thing.
type change struct {
	What, Bed, Species, Item string
	Before, After, Unit      string
	Diff                     *span3 // of a stock; nil: none
	Finding                  string
	Words                    string // without capital and full stop
}

var changesLayout = tableLayout{name: "changes", title: "Changes since the earlier report",
	about: "A row a difference between this report and the earlier one. Empty before or after: there was or is none.",
	fields: []field{
		textField("what", "What differs.").full().oneOf(aboutBed, aboutStand, aboutStock, aboutOfftake, aboutVerdict, aboutRegrowth, aboutRule, aboutInput, aboutRun),
		textField("bed", "Label of the bed."),
		textField("species", "Scientific name of the species."),
		textField("item", "The surveys, seasons, parameter, rule or file."),
		textField("before", "In the earlier report."),
		textField("after", "In this report."),
		textField("unit", "Unit of before and after where they are numbers."),
		numberField("change_kg", "kg", "Stock of the later survey minus that of the earlier one."),
		numberField("change_lo", "kg", "Lower end of the interval of that change."),
		numberField("change_hi", "kg", "Upper end of the interval of that change."),
		textField("finding", "Whether the stock changed by more than the two intervals allow.").
			oneOf(beyondIntervals, withinIntervals, sameSurvey, cannotCompare),
		textField("words", "The change in words.").full(),
	}}

func changesTable(list []change) table.Table {
	t := changesLayout.empty()
	for _, c := range list {
		d := span3{math.NaN(), math.NaN(), math.NaN()}
		if c.Diff != nil {
			d = *c.Diff
		}
		t.Add(table.Text(c.What), table.Text(c.Bed), table.Text(c.Species), table.Text(c.Item), table.Text(c.Before), table.Text(c.After),
			table.Text(c.Unit), num(d.Value), num(d.Lo), num(d.Hi), table.Text(c.Finding), table.Text(c.Words))
	}
	return t
}

// Changes lists what differs between an earlier report and this one: beds and stands, stocks, offtake, verdicts, regrowth,
// rules, inputs, and how the run was made. tables are those of this report by file name. The order is that of this list,
// then by bed and species.
func changesSince(e *Earlier, a *model.Assessment, opt Options, tables map[string][]byte) ([]change, error) {
	before, err := recordsOf(e.Tables)
	if err != nil {
		return nil, fmt.Errorf("the earlier report: %w", err)
	}
	after, err := recordsOf(tables)
	if err != nil {
		return nil, err
	}
	level := settingOf(a, "confidence")
	out := goneAndNew(before, after)
	for _, key := range after.keys() {
		if old := before.stands[key]; old != nil {
			out = append(out, old.against(after.stands[key], e.Rules["confidence"] == level)...)
		}
	}
	slices.SortStableFunc(out, func(x, y change) int { return cmp.Compare(rankOf(x.What), rankOf(y.What)) })
	out = append(out, changedRules(e, a)...)
	out = append(out, changedInputs(e, a)...)
	return append(out, changedRun(e, a, opt)...), nil
}

func rankOf(what string) int {
	return slices.Index([]string{aboutBed, aboutStand, aboutStock, aboutOfftake, aboutVerdict, aboutRegrowth}, what)
}

// goneAndNew lists the beds and stands that only one of the reports has.
func goneAndNew(before, after records) (out []change) {
	for _, side := range []struct {
		here, there records
		words       string
		new         bool
	}{{after, before, "new", true}, {before, after, "no longer there", false}} {
		for _, bed := range side.here.beds {
			if !slices.Contains(side.there.beds, bed) {
				out = append(out, change{What: aboutBed, Bed: bed, Before: ifElse(side.new, "", "there"), After: ifElse(side.new, "there", ""),
					Words: ifElse(side.new, "a new bed", "this bed is no longer in the survey folder")})
			}
		}
		for _, key := range side.here.keys() {
			if side.there.stands[key] == nil && slices.Contains(side.there.beds, key.Bed) {
				out = append(out, change{What: aboutStand, Bed: key.Bed, Species: key.Species, Before: ifElse(side.new, "", "there"),
					After: ifElse(side.new, "there", ""), Words: ifElse(side.new, "this species was not recorded on the bed before", "this species is no longer recorded on the bed")})
			}
		}
	}
	return out
}

func settingOf(a *model.Assessment, name string) string {
	for _, s := range a.Rules.Settings {
		if s.Name == name {
			return s.Value
		}
	}
	return ""
}

// changedRules lists the rules with another value, but for the day of the assessment.
func changedRules(e *Earlier, a *model.Assessment) (out []change) {
	seen := map[string]bool{"as_of": true}
	for _, s := range a.Rules.Settings {
		if old, ok := e.Rules[s.Name]; !seen[s.Name] && (!ok || old != s.Value) {
			out = append(out, change{What: aboutRule, Item: s.Name, Before: old, After: s.Value,
				Words: fmt.Sprintf("rule %s: %s, before %s (%s)", s.Name, cmp.Or(s.Value, "none"), cmp.Or(old, "none"), s.From)})
		}
		seen[s.Name] = true
	}
	for _, name := range sortedKeys(e.Rules) {
		if !seen[name] {
			out = append(out, change{What: aboutRule, Item: name, Before: e.Rules[name], Words: fmt.Sprintf("rule %s: no longer there, before %s", name, e.Rules[name])})
		}
	}
	return out
}

// changedInputs lists the files of the survey folder that are new, gone or not the same bytes.
func changedInputs(e *Earlier, a *model.Assessment) (out []change) {
	seen := map[string]bool{}
	for _, in := range a.Folder.Inputs {
		seen[in.Path] = true
		switch old := e.Inputs[in.Path]; old {
		case in.SHA256:
		case "":
			out = append(out, change{What: aboutInput, Item: in.Path, After: in.SHA256, Words: in.Path + " is new"})
		default:
			out = append(out, change{What: aboutInput, Item: in.Path, Before: old, After: in.SHA256, Words: in.Path + " has changed"})
		}
	}
	for _, path := range sortedKeys(e.Inputs) {
		if !seen[path] {
			out = append(out, change{What: aboutInput, Item: path, Before: e.Inputs[path], Words: path + " is no longer there"})
		}
	}
	return out
}

// changedRun lists in what the two runs differ beside folder and rules.
func changedRun(e *Earlier, a *model.Assessment, opt Options) (out []change) {
	add := func(item, before, after string) {
		if before != after {
			out = append(out, change{What: aboutRun, Item: item, Before: before, After: after, Words: fmt.Sprintf("%s: %s, before %s", item, after, before)})
		}
	}
	add("day of the advice", e.AsOf, a.Folder.AsOf.String())
	add("version of bedstock", e.Version, opt.Version)
	add("seed", fmt.Sprint(e.Seed), fmt.Sprint(a.Seed))
	add("data", inventedWords(e.Invented), inventedWords(opt.Invented))
	return out
}

func inventedWords(invented bool) string { return ifElse(invented, "INVENTED", "of a survey") }

func sortedKeys(m map[string]string) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.SortFunc(out, strings.Compare)
	return out
}
