package model

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"bedstock/survey"
)

// inputKey is one key of the table [input] of rules.toml, which says how the tables of a folder are written.
type inputKey struct {
	name    string
	words   []string                         // that it may be; nil: it is no word
	at      func(*survey.InputRules) *string // where a word goes
	meaning string
}

var inputKeys = []inputKey{
	{"separator", survey.Separators(), func(in *survey.InputRules) *string { return &in.Separator }, "what stands between the cells of a table"},
	{"decimal", survey.Decimals(), func(in *survey.InputRules) *string { return &in.Decimal }, "the mark of decimals"},
	{"encoding", survey.Encodings(), func(in *survey.InputRules) *string { return &in.Encoding }, "how letters are kept"},
	{"dates", survey.DateOrders(), func(in *survey.InputRules) *string { return &in.Dates }, "the order of dates, besides 2031-06-14"},
	{"fill_down", nil, nil, "columns whose blank cells stand for the cell above"},
	{"skip_lines", nil, nil, "lines above the header that are passed over"},
}

// foundOut is the value of a key that rules.toml leaves open.
const foundOut = "found out file by file"

// show is the value of the key as rules.toml would have it, empty where it is left open.
func (k inputKey) show(in survey.InputRules) string {
	switch {
	case k.at != nil:
		return *k.at(&in)
	case k.name == "fill_down":
		return strings.Join(in.FillDown, ", ")
	case in.SkipLines.OK:
		return strconv.Itoa(int(in.SkipLines.V))
	}
	return ""
}

// readInput reads [input], of all tables, and [input."harvest.csv"], of one.
func (in *rulesInput) readInput(value any) {
	table, ok := value.(map[string]any)
	if !ok {
		in.fault(in.places["input"], "", "input must be a table: write [input]")
		return
	}
	places := inputPlaces(in.text)
	in.rules.Survey.Input = map[string]survey.InputRules{}
	for _, name := range sortedKeys(table) {
		own, ok := table[name].(map[string]any)
		if !ok {
			in.inputValue("", name, table[name], places)
			continue
		}
		if !slices.Contains(survey.TableFiles(), name) {
			in.fault(in.inputPlace(places, name, ""), "known tables: "+strings.Join(survey.TableFiles(), ", ")+`; the name stands in quotes, as in [input."quadrats.csv"]`,
				"input: %q is not a table of a survey folder", name)
			continue
		}
		for _, key := range sortedKeys(own) {
			in.inputValue(name, key, own[key], places)
		}
	}
}

// inputValue stores a value of a table; file is empty for all of them.
func (in *rulesInput) inputValue(file, name string, value any, places map[[2]string]unstable.Position) {
	at := in.inputPlace(places, file, name)
	shown := inputName(file, name)
	i := slices.IndexFunc(inputKeys, func(k inputKey) bool { return k.name == name })
	if i < 0 {
		in.fault(at, "known keys: separator, decimal, encoding, dates, fill_down, skip_lines", "unknown key %q", shown)
		return
	}
	rules := in.rules.Survey.Input[file]
	if err := inputKeys[i].assign(&rules, file, value); err != nil {
		in.fault(at, inputKeys[i].meaning, "%s: %v", shown, err)
		return
	}
	in.rules.Survey.Input[file] = rules
	in.from[shown] = fmt.Sprintf("%s:%d", in.file, at.Line)
}

// inputName is what a setting of how tables are written is called.
func inputName(file, key string) string {
	if file == "" {
		return "input." + key
	}
	return "input." + file + "." + key
}

// assign checks a value and stores it.
func (k inputKey) assign(rules *survey.InputRules, file string, value any) error {
	switch k.name {
	case "skip_lines":
		n, ok := value.(int64)
		if !ok || n < 0 || n > 1000 {
			return fmt.Errorf("%v is not a whole number from 0 to 1000", value)
		}
		rules.SkipLines = survey.Some(float64(n))
		return nil
	case "fill_down":
		names, err := asNames(value)
		if err != nil {
			return err
		}
		known := fillable(file)
		for _, n := range names {
			if !slices.Contains(known, n) {
				return fmt.Errorf("%q is not a column that can be filled from the row above: %s", n, strings.Join(known, ", "))
			}
		}
		rules.FillDown = names
		return nil
	}
	word, ok := value.(string)
	if !ok || !slices.Contains(k.words, word) {
		return fmt.Errorf("%v is not one of %s", value, strings.Join(k.words, ", "))
	}
	*k.at(rules) = word
	return nil
}

// fillable lists the columns of a table, or of any, that can be filled from the row above.
func fillable(file string) []string {
	if file != "" {
		return survey.FillableColumns(file)
	}
	var out []string
	for _, f := range survey.TableFiles() {
		for _, name := range survey.FillableColumns(f) {
			if !slices.Contains(out, name) {
				out = append(out, name)
			}
		}
	}
	return out
}

// inputPlace is where a key of [input] stands, or what is nearest to it: its table, then [input].
func (in *rulesInput) inputPlace(places map[[2]string]unstable.Position, file, key string) unstable.Position {
	for _, k := range [][2]string{{file, key}, {file, ""}} {
		if at, ok := places[k]; ok {
			return at
		}
	}
	return in.places["input"]
}

// inputPlaces finds where the keys of [input] stand, by table and key.
func inputPlaces(text []byte) map[[2]string]unstable.Position {
	out := map[[2]string]unstable.Position{}
	var p unstable.Parser
	p.Reset(text)
	var table []string
	for p.NextExpression() {
		e := p.Expression()
		var path []string
		var at unstable.Position
		for it := e.Key(); it.Next(); {
			path, at = append(path, string(it.Node().Data)), p.Shape(it.Node().Raw).Start
		}
		if e.Kind == unstable.Table || e.Kind == unstable.ArrayTable {
			table = path
		} else {
			path = append(slices.Clone(table), path...)
		}
		if len(path) < 2 || len(path) > 3 || path[0] != "input" {
			continue
		}
		k := [2]string{path[1], ""}
		switch {
		case len(path) == 3:
			k = [2]string{path[1], path[2]}
		case e.Kind != unstable.Table && !slices.Contains(survey.TableFiles(), path[1]):
			k = [2]string{"", path[1]}
		}
		out[k] = at
	}
	return out
}

// describeInput lists how tables are written: what is said of all, and what of some.
func (r *Rules) describeInput(origin func(name string) string) {
	for _, k := range inputKeys {
		name := inputName("", k.name)
		value := k.show(r.Survey.Input[""])
		if value == "" {
			value = foundOut
			if k.name == "fill_down" {
				value = "none"
			}
		}
		r.Settings = append(r.Settings, Setting{Name: name, Value: value, From: origin(name)})
	}
	for _, file := range sortedKeys(r.Survey.Input) {
		for _, k := range inputKeys {
			if value := k.show(r.Survey.Input[file]); file != "" && value != "" {
				name := inputName(file, k.name)
				r.Settings = append(r.Settings, Setting{Name: name, Value: value, From: origin(name)})
			}
		}
	}
}

// inputMeaning is the meaning of a setting of how tables are written.
func inputMeaning(name string) string {
	for _, k := range inputKeys {
		if strings.HasPrefix(name, "input.") && strings.HasSuffix(name, "."+k.name) {
			if k.words != nil {
				return k.meaning + ": " + strings.Join(k.words, ", ")
			}
			return k.meaning
		}
	}
	return ""
}
