package model

import (
	"errors"
	"fmt"

	"bedstock/survey"
)

// wide reads a key of a wide table in [read.quadrats].
func (m *mappingInput) wide(t *survey.TableMap, table, key string, value any) (err error) {
	if t.Table != "quadrats.csv" {
		return errors.New("only quadrats.csv can be wide")
	}
	if t.Wide == nil {
		t.Wide = &survey.WideMap{Across: survey.AcrossSpecies, At: m.at("read", table, "layout")}
		if t.Wide.At.Line == 0 {
			return errors.New(`needs layout = "wide"`)
		}
	}
	w := t.Wide
	word := func(words ...string) (string, error) {
		for _, s := range words {
			if value == s {
				return s, nil
			}
		}
		return "", fmt.Errorf("%v is not one of %v", value, words)
	}
	switch key {
	case "layout":
		_, err = word("wide")
	case "across":
		w.Across, err = word(survey.AcrossSpecies, survey.AcrossQuadrat)
	case "blank":
		var s string
		s, err = word("absent", "error")
		w.Absent = s == "absent"
	case "ignore":
		w.Ignore, err = asNames(value)
	case "heading":
		w.Heading, err = asName(value)
	case "rows":
		rows, ok := value.(map[string]any)
		if !ok {
			return errors.New(`is no table of columns and labels, as {date = "Date"}`)
		}
		for _, name := range sortedKeys(rows) {
			label, err := asName(rows[name])
			if err != nil {
				return err
			}
			w.Rows = append(w.Rows, [2]string{name, label})
		}
	}
	return err
}
