package model

import (
	"errors"
	"fmt"
	"strings"

	"bedstock/survey"
)

// column reads one column of [columns."quadrats.csv"].
func (m *mappingInput) column(t *survey.TableMap, table, name string, value any) {
	at := m.at("columns", table, name)
	c := survey.ColumnMap{Column: name, At: at}
	for _, other := range t.Columns {
		if other.Column == name {
			m.problems = append(m.problems, survey.Problem{File: at.File, Line: at.Line, Column: at.Column, Hint: "keep one of them",
				Text: fmt.Sprintf("columns.%s %s: is mapped in line %d already", table, name, other.At.Line)})
			return
		}
	}
	err := setColumn(&c, value)
	if err != nil {
		m.problems = append(m.problems, survey.Problem{File: at.File, Line: at.Line, Column: at.Column, Hint: columnsHint,
			Text: fmt.Sprintf("columns.%s %s: %v", table, name, err)})
		return
	}
	t.Columns = append(t.Columns, c)
}

func setColumn(c *survey.ColumnMap, value any) error {
	if s, ok := value.(string); ok {
		value = map[string]any{"from": s}
		if strings.Contains(s, "{") {
			value = map[string]any{"text": s}
		}
	}
	table, ok := value.(map[string]any)
	if !ok {
		return fmt.Errorf("%v is no header; a fixed value is {value = %v}", value, value)
	}
	var errs []string
	for _, key := range sortedKeys(table) {
		if err := setColumnKey(c, key, table[key]); err != nil {
			errs = append(errs, fmt.Sprintf("%s: %v", key, err))
		}
	}
	if errs != nil {
		return errors.New(strings.Join(errs, "; "))
	}
	return oneOrigin(c)
}

// oneOrigin holds that a column is made of one thing, and that a fixed value has nothing to be translated.
func oneOrigin(c *survey.ColumnMap) error {
	n := 0
	for _, given := range []bool{c.From != "", c.Text != "", c.Sum != nil, c.Fixed, c.Cells} {
		if given {
			n++
		}
	}
	switch {
	case n == 0:
		return errors.New("says neither from nor text, sum, value or cells")
	case n > 1:
		return errors.New("says more than one of from, text, sum, value and cells")
	case c.Fixed && c.Words != nil:
		return errors.New("a fixed value needs no words")
	}
	return nil
}

func setColumnKey(c *survey.ColumnMap, key string, value any) (err error) {
	switch key {
	case "from":
		c.From, err = asName(value)
	case "text":
		c.Text, err = asName(value)
	case "sum":
		if c.Sum, err = asNames(value); err == nil && len(c.Sum) < 2 {
			err = errors.New("needs two headers or more")
		}
	case "value":
		c.Fixed = true
		c.Value, err = asText(value)
	case "cells":
		if c.Cells, _ = value.(bool); !c.Cells {
			err = fmt.Errorf("%v is not true", value)
		}
	case "unit":
		c.Unit, err = asName(value)
	case "per":
		c.Per, err = asName(value)
	case "form":
		c.Form, err = asName(value)
	case "times":
		v, ok := asNumber(value)
		if !ok || v <= 0 {
			return fmt.Errorf("%v is not a number above 0", value)
		}
		c.Times, err = asText(value)
	case "classes":
		c.Classes, err = asScales(value)
	case "words":
		c.Words, err = asWords(value)
	default:
		err = errors.New("unknown key")
	}
	return err
}

func asWords(value any) (map[string]string, error) {
	table, ok := value.(map[string]any)
	if !ok || len(table) == 0 {
		return nil, errors.New(`is no table of words, as {"ja" = "yes"}`)
	}
	out := map[string]string{}
	for word, v := range table {
		s, err := asText(v)
		if err != nil {
			return nil, err
		}
		out[word] = s
	}
	return out, nil
}

// reading reads one key of [read."quadrats.csv"].
func (m *mappingInput) reading(t *survey.TableMap, table, key string, value any) (err error) {
	at := m.at("read", table, key)
	switch key {
	case "missing":
		t.Missing, err = asTexts(value)
	case "where":
		t.Where, err = m.filters(value, at)
	case "except":
		t.Except, err = m.filters(value, at)
	case "only_listed_species":
		only, ok := value.(bool)
		if !ok {
			return fmt.Errorf("%v is neither true nor false", value)
		}
		t.OnlyListed = only
	case "repeats":
		word, _ := value.(string)
		if t.Table != "quadrats.csv" || word != survey.RepeatsOnce && word != survey.RepeatsAdd {
			return fmt.Errorf("%v is not %q or %q of quadrats.csv", value, survey.RepeatsOnce, survey.RepeatsAdd)
		}
		t.Repeats = word
	case "layout", "across", "blank", "ignore", "heading", "rows":
		err = m.wide(t, table, key, value)
	case "join":
		t.Join, err = asJoin(value, at)
	default:
		err = errors.New("unknown key")
	}
	return err
}

// asTexts is one text or a list of texts.
func asTexts(value any) ([]string, error) {
	list, ok := value.([]any)
	if !ok {
		list = []any{value}
	}
	var out []string
	for _, v := range list {
		s, err := asText(v)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

func (m *mappingInput) filters(value any, at survey.Place) ([]survey.Filter, error) {
	table, ok := value.(map[string]any)
	if !ok || len(table) == 0 {
		return nil, errors.New(`is no table of headers and cells, as {Metric = "cover"}`)
	}
	var out []survey.Filter
	for _, header := range sortedKeys(table) {
		texts, err := asTexts(table[header])
		if err != nil {
			return nil, err
		}
		out = append(out, survey.Filter{Header: header, Texts: texts, At: at})
	}
	return out, nil
}

func asJoin(value any, at survey.Place) (*survey.Join, error) {
	table, ok := value.(map[string]any)
	if !ok {
		return nil, errors.New(`is written {file = "places.csv", on = "Site"}`)
	}
	j := &survey.Join{At: at}
	var err error
	for _, key := range sortedKeys(table) {
		switch key {
		case "file":
			j.File, err = asFile(table[key])
		case "on":
			j.On, err = asName(table[key])
		default:
			err = fmt.Errorf("unknown key %q", key)
		}
		if err != nil {
			return nil, err
		}
	}
	if j.File == "" || j.On == "" {
		return nil, errors.New("needs file and on")
	}
	return j, nil
}
