package main

import (
	"fmt"
	"strconv"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// speciesParameters are the values in force for each species, each with its origin; where one is not given, what holds in
// its place is said.
func speciesParameters(rules model.Rules, species []survey.Species, only []string) table.Table {
	t := table.Table{Columns: []table.Column{col("species"), col("name"), col("value"), col("from")}}
	for _, s := range species {
		if !among(only, s.Name) {
			continue
		}
		for _, p := range parametersOf(rules, s) {
			value := table.Missing
			if p.value != "" {
				value = table.Text(p.value)
			}
			t.Add(table.Text(s.Name), table.Text(p.name), value, table.Text(p.from))
		}
		t.Notes = append(t.Notes, fmt.Sprintf("%s: %s", s.Name, s.Source))
	}
	return t
}

// parameter is a value in force for a species; an empty value: there is none, and from says what holds instead.
type parameter struct{ name, value, from string }

func parametersOf(rules model.Rules, s survey.Species) []parameter {
	var out []parameter
	for _, p := range []struct {
		name    string
		value   survey.Num
		instead string // empty: not worth a line where it is not given
	}{
		{"r_per_year", s.R, "not given: no advice"}, {"r_cv", s.RCV, "not given: no advice"},
		{"k_kg_m2", s.K, "not given: no advice"}, {"k_cv", s.KCV, "not given: no advice"},
		{"peak_month", s.PeakMonth, "not given: grows evenly over the year"}, {"amplitude", s.Amplitude, "not given: grows evenly over the year"},
		{"season_ratio", s.SeasonRatio, "not given: the smaller of the surveyed and the projected stock"},
		{"max_frond_cm", s.MaxFrond, ""}, {"min_length_cm", s.MinLength, "not given: every length may be cut"},
		{"leave_cm", s.Leave, "not given: nothing need be left standing of what is cut"}, {"recruit_cm", s.RecruitLen, ""},
		{"cover_a_kg_m2", s.CoverA, ""}, {"cover_b", s.CoverB, ""}, {"cover_cv", s.CoverCV, ""},
	} {
		switch {
		case p.value.OK:
			out = append(out, parameter{p.name, strconv.FormatFloat(p.value.V, 'g', -1, 64), s.From[p.name]})
		case p.instead != "":
			out = append(out, parameter{p.name, "", p.instead})
		}
	}
	return append(out, highestShare(rules, s), seasonsInForce(rules, s.Name), parameter{"life", s.Life, s.From["life"]})
}

// highestShare is the highest fraction in force for a species: the smaller of its own and the rule's.
func highestShare(rules model.Rules, s survey.Species) parameter {
	if own := s.MaxFraction; own.OK && own.V <= rules.Offtake.MaxFraction {
		return parameter{"max_fraction", strconv.FormatFloat(own.V, 'g', -1, 64), s.From["max_fraction"]}
	}
	return parameter{"max_fraction", strconv.FormatFloat(rules.Offtake.MaxFraction, 'g', -1, 64), "rule max_fraction, " + originOf(rules, "max_fraction")}
}

// seasonsInForce are the seasons of a species: its own, else the general ones.
func seasonsInForce(rules model.Rules, species string) parameter {
	var shown []string
	for _, s := range rules.SeasonsOf(species) {
		shown = append(shown, fmt.Sprintf("%s %s to %s, share %g", s.Name, s.From, s.To, s.Share))
	}
	from := "the general seasons"
	for _, own := range rules.OwnSeasons {
		if strings.EqualFold(own.Species, species) {
			from = originOf(rules, "season."+own.Seasons[0].Name+" ("+own.Species+")")
		}
	}
	return parameter{"seasons", strings.Join(shown, "; "), from}
}

func originOf(rules model.Rules, name string) string {
	for _, s := range rules.Settings {
		if s.Name == name {
			return s.From
		}
	}
	return ""
}
