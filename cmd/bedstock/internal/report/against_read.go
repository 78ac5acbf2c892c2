package report

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"bedstock/model"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// records are what the tables of a report hold of each stand, and which beds they name.
type records struct {
	beds   []string
	stands map[model.Pair]*standRecord
}

// standRecord is what the tables of a report hold of one species on one bed.
type standRecord struct {
	model.Pair
	stock           stockRecord
	r, k            span3
	seasons, limits []string
	advisedKg       []float64 // by season; NaN: none
	verdict, period string    // the last
}

func (r records) keys() []model.Pair {
	out := make([]model.Pair, 0, len(r.stands))
	for k := range r.stands {
		out = append(out, k)
	}
	slices.SortFunc(out, func(x, y model.Pair) int {
		return strings.Compare(x.Bed+"\x00"+x.Species, y.Bed+"\x00"+y.Species)
	})
	return out
}

// recordsOf reads the tables of a report.
func recordsOf(tables map[string][]byte) (records, error) {
	r := records{stands: map[model.Pair]*standRecord{}}
	for _, t := range []struct {
		layout tableLayout
		read   func(*standRecord, map[string]string)
	}{{stockLayout, (*standRecord).readStock}, {growthLayout, (*standRecord).readGrowth}, {quotaLayout, (*standRecord).readQuota},
		{pressureLayout, (*standRecord).readPressure}} {
		rows, err := rowsOf(tables, t.layout.name+".csv")
		if err != nil {
			return r, err
		}
		for _, row := range rows {
			if !slices.Contains(r.beds, row["bed"]) {
				r.beds = append(r.beds, row["bed"])
			}
			if row["species"] != "" {
				t.read(r.stand(row["bed"], row["species"]), row)
			}
		}
	}
	slices.Sort(r.beds)
	return r, nil
}

func (r records) stand(bed, species string) *standRecord {
	key := model.Pair{Bed: bed, Species: species}
	if r.stands[key] == nil {
		nan := span3{math.NaN(), math.NaN(), math.NaN()}
		r.stands[key] = &standRecord{Pair: key, r: nan, k: nan, stock: stockRecord{kg: nan}}
	}
	return r.stands[key]
}

// rowsOf reads a table by column names.
func rowsOf(tables map[string][]byte, name string) ([]map[string]string, error) {
	data, ok := tables[name]
	if !ok {
		return nil, fmt.Errorf("no %s in it", name)
	}
	all, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(all) == 0 || !slices.Contains(all[0], "bed") || !slices.Contains(all[0], "species") {
		return nil, fmt.Errorf("%s: no columns bed and species", name)
	}
	var out []map[string]string
	for _, row := range all[1:] {
		cells := map[string]string{}
		for i, column := range all[0] {
			cells[column] = unguarded(row[i])
		}
		out = append(out, cells)
	}
	return out, nil
}

// unguarded takes off the apostrophe that keeps a spreadsheet from reading a text as a formula.
func unguarded(s string) string {
	if rest, ok := strings.CutPrefix(s, "'"); ok && rest != "" && strings.ContainsAny(rest[:1], "=+-@\t\r\n") {
		return rest
	}
	return s
}

// cellNumber is the number in a cell, NaN where there is none.
func cellNumber(s string) float64 {
	if v, err := strconv.ParseFloat(s, 64); err == nil {
		return v
	}
	return math.NaN()
}

// readStock takes the last survey with an estimate, one of a part of the bed only where there is none of the whole.
func (s *standRecord) readStock(row map[string]string) {
	now := stockRecord{row["survey"], row["date"], span3{cellNumber(row["stock_kg"]), cellNumber(row["lo_kg"]), cellNumber(row["hi_kg"])},
		row["status"] == string(survey.SurveyedPart)}
	known := s.stock.kg.known()
	switch {
	case !now.kg.known(), known && now.part && !s.stock.part:
	case !known, s.stock.part && !now.part, now.date >= s.stock.date:
		s.stock = now
	}
}

func (s *standRecord) readGrowth(row map[string]string) {
	s.r = span3{cellNumber(row["r_per_year"]), cellNumber(row["r_lo"]), cellNumber(row["r_hi"])}
	s.k = span3{cellNumber(row["k_kg"]), cellNumber(row["k_lo"]), cellNumber(row["k_hi"])}
}

func (s *standRecord) readQuota(row map[string]string) {
	s.seasons = append(s.seasons, strings.TrimSpace(row["season"]+" "+row["from"][:min(4, len(row["from"]))]))
	s.advisedKg = append(s.advisedKg, cellNumber(row["advised_kg"]))
	if by := heldWords(offtake.Limit(row["limited_by"])); by != "" && !slices.Contains(s.limits, by) {
		s.limits = append(s.limits, by)
	}
}

// heldWords says what holds an offtake, as it stands behind "held by".
func heldWords(l offtake.Limit) string {
	switch l {
	case offtake.ByCap, offtake.ByRisk, offtake.ByOldSurvey:
		return "the " + string(l)
	case offtake.ByReplacement:
		return "what grows back"
	case offtake.ByCutBefore:
		return "what was cut too much before"
	case offtake.ByClosed:
		return "the closure"
	case offtake.ByRest:
		return "the rest"
	case offtake.ByNotAssessed:
		return "too little known"
	}
	return string(l)
}

// readPressure takes the last time between two surveys that has a verdict.
func (s *standRecord) readPressure(row map[string]string) {
	period := row["from"] + " to " + row["to"]
	if head := verdictHead(row["verdict"]); head != "" && head != string(offtake.PressureNotAssessed) && period > s.period {
		s.verdict, s.period = head, period
	}
}

// verdictHead is a verdict without what stands beside it.
func verdictHead(words string) string {
	for _, v := range []offtake.Finding{offtake.AboveRecovery, offtake.BelowRecovery, offtake.CannotTell, offtake.NothingCut, offtake.PressureNotAssessed} {
		if strings.HasPrefix(words, string(v)) {
			return string(v)
		}
	}
	return ""
}
