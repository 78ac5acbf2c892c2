package model

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"bedstock/survey"
)

// RulesText is a rules file as read.
type RulesText struct {
	Name string // as problems and origins call it
	Text []byte
}

// ReadRules reads rules.toml of a folder over the defaults. A folder without one has the defaults. Every mistake comes
// back with its place; the rules are usable only when there is none. An error is a failure to read.
func ReadRules(fsys fs.FS) (Rules, survey.Problems, error) {
	text, err := rulesText(fsys)
	if err != nil || text == nil {
		return DefaultRules(), nil, err
	}
	rules, problems := ParseRules(*text)
	return rules, problems, nil
}

// maxRules is the largest rules.toml that is read, in bytes.
const maxRules = 1 << 20

// rulesText reads rules.toml, nil where there is none. A link, folder or pipe of the name is refused unopened: opening a
// pipe waits for ever.
func rulesText(fsys fs.FS) (*RulesText, error) {
	info, err := fs.Lstat(fsys, RulesFile)
	switch {
	case err != nil:
	case !info.Mode().IsRegular():
		return nil, survey.Problems{{File: RulesFile, Text: "is not a plain file", Hint: "put the file itself there, not a folder, link or pipe"}}
	case info.Size() > maxRules:
		return nil, survey.Problems{{File: RulesFile, Text: "is larger than 1 MiB", Hint: "rules are a page of text: is it another file?"}}
	}
	text, err := fs.ReadFile(fsys, RulesFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", RulesFile, err)
	}
	return &RulesText{Name: RulesFile, Text: text}, nil
}

// ParseRules lays the text of a rules file over the defaults. All mistakes come back with their places.
func ParseRules(file RulesText) (Rules, survey.Problems) {
	r := DefaultRules()
	in := rulesInput{rules: &r, file: file.Name, text: file.Text, from: map[string]string{}}
	var values map[string]any
	if err := toml.Unmarshal(file.Text, &values); err != nil {
		r.unreadable = strings.Contains(string(file.Text), "[files]") || strings.Contains(string(file.Text), "[columns")
		return r, survey.Problems{syntaxProblem(file.Name, err)}
	}
	in.places, in.lists = keyPlaces(file.Text)
	for _, name := range sortedKeys(values) {
		switch name {
		case "season":
			in.readSeasons(values[name])
			continue
		case "rotation":
			in.readRotations(values[name])
			continue
		case "dataset":
			in.readDataset(values[name])
			continue
		case "plan":
			in.readPlan(values[name])
			continue
		case "baseline":
			in.readBaselines(values[name])
			continue
		case "input":
			in.readInput(values[name])
			continue
		}
		if slices.Contains(mappingKeys, name) {
			continue
		}
		i := slices.IndexFunc(ruleKeys, func(k ruleKey) bool { return k.name == name })
		if i < 0 {
			in.fault(in.places[name], knownKeys(), "unknown key %q", name)
			continue
		}
		in.set(ruleKeys[i], values[name])
	}
	in.readMapping(file.Text, values)
	in.checkLevels()
	r.describe(in.from)
	in.problems.Sort()
	return r, in.problems
}

// checkLevels holds the limit below the trigger, and every rest shorter than the years looked ahead.
func (in *rulesInput) checkLevels() {
	if len(in.problems) > 0 {
		return
	}
	o := in.rules.Offtake
	if o.TriggerOfK <= o.LimitOfK {
		in.fault(in.firstOf("trigger_of_k", "limit_of_k"), "", "trigger_of_k: %g is not above limit_of_k %g", o.TriggerOfK, o.LimitOfK)
	}
	if o.RestYears >= o.Horizon {
		in.fault(in.firstOf("rest_years", "horizon_years"), "", "rest_years: %d is not less than horizon_years %d", o.RestYears, o.Horizon)
	}
	in.problems = append(in.problems, in.rules.checkRest()...)
}

// firstOf is where the first of the keys stands that the file has.
func (in *rulesInput) firstOf(names ...string) unstable.Position {
	for _, name := range names {
		if at, ok := in.places[name]; ok {
			return at
		}
	}
	return unstable.Position{}
}

func syntaxProblem(file string, err error) survey.Problem {
	p := survey.Problem{File: file, Text: err.Error(), Hint: "rules.toml is TOML: a line is key = value, text stands in double quotes"}
	var de *toml.DecodeError
	if errors.As(err, &de) {
		p.Line, p.Column = de.Position()
		p.Text = strings.TrimPrefix(de.Error(), "toml: ")
		if strings.HasSuffix(p.Text, "U+002C ','") {
			p.Text, p.Hint = "a comma where the line should end", "write decimals with a point, as 0.7; texts of a list stand in brackets, as [\"a\", \"b\"]"
		}
	}
	return p
}

// keyPlaces finds where each top-level key stands, and each key of every table of a list such as [[season]].
func keyPlaces(text []byte) (top map[string]unstable.Position, lists map[string][]map[string]unstable.Position) {
	top, lists = map[string]unstable.Position{}, map[string][]map[string]unstable.Position{}
	var p unstable.Parser
	p.Reset(text)
	table := ""
	for p.NextExpression() {
		e := p.Expression()
		it := e.Key()
		if !it.Next() {
			continue
		}
		name, at := string(it.Node().Data), p.Shape(it.Node().Raw).Start
		switch {
		case e.Kind == unstable.Table || e.Kind == unstable.ArrayTable:
			table = name
			if _, ok := top[name]; !ok {
				top[name] = at
			}
			lists[name] = append(lists[name], map[string]unstable.Position{"": at})
		case table == "":
			top[name] = at
		default:
			lists[table][len(lists[table])-1][name] = at
		}
	}
	return top, lists
}

type rulesInput struct {
	rules    *Rules
	file     string
	text     []byte
	places   map[string]unstable.Position
	lists    map[string][]map[string]unstable.Position
	from     map[string]string
	problems survey.Problems
}

func (in *rulesInput) fault(at unstable.Position, hint, format string, args ...any) {
	in.problems = append(in.problems, survey.Problem{File: in.file, Line: at.Line, Column: at.Column,
		Text: fmt.Sprintf(format, args...), Hint: hint})
}

func (in *rulesInput) set(k ruleKey, value any) {
	at := in.places[k.name]
	if err := k.assign(in.rules, value); err != nil {
		in.fault(at, k.meaning, "%s: %v", k.name, err)
		return
	}
	in.from[k.name] = fmt.Sprintf("%s:%d", in.file, at.Line)
}

// assign checks a value of rules.toml and stores it.
func (k ruleKey) assign(r *Rules, value any) error {
	switch p := k.at(r).(type) {
	case *float64:
		v, ok := asNumber(value)
		if !ok {
			return fmt.Errorf("%v is not a number", value)
		}
		if v < k.lo || v > k.hi || k.open && v == k.lo {
			return fmt.Errorf("%g is not %s", v, k.bounds())
		}
		*p = v
	case *survey.Num:
		v, ok := asNumber(value)
		if !ok {
			return fmt.Errorf("%v is not a number", value)
		}
		if v < k.lo || v > k.hi {
			return fmt.Errorf("%g is not %s", v, k.bounds())
		}
		*p = survey.Some(v)
	case *Clock:
		s, ok := value.(string)
		minute, fits := survey.ParseClock(s)
		if !ok || !fits {
			return fmt.Errorf("%v is not a time of day such as \"07:30\"", value)
		}
		*p = Clock(minute)
	case *int:
		v, ok := value.(int64)
		if !ok {
			return fmt.Errorf("%v is not a whole number", value)
		}
		if float64(v) < k.lo || float64(v) > k.hi {
			return fmt.Errorf("%d is not %s", v, k.bounds())
		}
		*p = int(v)
	case *bool:
		v, ok := value.(bool)
		if !ok {
			return fmt.Errorf("%v is neither true nor false", value)
		}
		*p = v
	case *string:
		v, ok := value.(string)
		if !ok || !slices.Contains(k.enum, v) {
			return fmt.Errorf("%v is not one of %s", value, strings.Join(k.enum, ", "))
		}
		*p = v
	case *survey.Day:
		v, err := asDay(value)
		if err != nil {
			return err
		}
		*p = v
	}
	return nil
}

func (k ruleKey) bounds() string {
	if k.open {
		return fmt.Sprintf("above %g and at most %g", k.lo, k.hi)
	}
	return fmt.Sprintf("between %g and %g", k.lo, k.hi)
}

func asNumber(value any) (float64, bool) {
	switch v := value.(type) {
	case float64:
		return v, v-v == 0 // neither NaN nor infinite
	case int64:
		return float64(v), true
	}
	return 0, false
}

func asDay(value any) (survey.Day, error) {
	switch v := value.(type) {
	case toml.LocalDate:
		return survey.ParseDay(v.String())
	case string:
		return survey.ParseDay(v)
	}
	return survey.NoDay, fmt.Errorf("%v is not a date of the form YYYY-MM-DD", value)
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

func knownKeys() string {
	names := make([]string, len(ruleKeys))
	for i, k := range ruleKeys {
		names[i] = k.name
	}
	return "known keys: " + strings.Join(names, ", ") + ", [[season]], [[rotation]], [plan], [[baseline]], [input], [dataset], [" + strings.Join(mappingKeys, "], [") + "]"
}
