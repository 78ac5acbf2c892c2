package makedemo

import (
	"bytes"
	"encoding/csv"
	"strconv"
)

// Key names one species on one bed.
type Key struct{ Bed, Species string }

// StockAt is what truly stood on a survey date.
type StockAt struct {
	Date   string             // first day of the survey, YYYY-MM-DD
	Kg     float64            // kg wet on the whole bed
	Strata map[string]float64 // the same per stratum; the name is empty on a bed without strata
}

// Truth is what lies behind a demo. A visitor, a species that was on a bed in one year alone, has a stock and no R, K.
type Truth struct {
	Keys     []Key           // in the order of beds and stands
	R        map[Key]float64 // growth rate per year
	K        map[Key]float64 // ceiling, kg wet on the whole bed
	Occupied map[Key]float64 // share of the bed's area where the species can stand
	Stock    map[Key][]StockAt
	Sigma    float64 // process noise, sd of the log of the stock per root year
	// SpeciesR and SpeciesK are the values around which those of the beds are drawn: per year, and kg wet per m2 of
	// occupied rock.
	SpeciesR, SpeciesK map[string]float64
}

// CSV is the truth as a table, one row a bed, species and survey.
func (t Truth) CSV() []byte {
	var buf bytes.Buffer
	w := csv.NewWriter(&buf)
	rows := [][]string{{"bed", "species", "r_per_year", "k_kg", "occupied_fraction", "date", "stock_kg"}}
	for _, k := range t.Keys {
		r, ceiling := "", ""
		if t.K[k] > 0 {
			r, ceiling = num(t.R[k], 4), num(t.K[k], 1)
		}
		for _, s := range t.Stock[k] {
			rows = append(rows, []string{k.Bed, k.Species, r, ceiling, num(t.Occupied[k], 4), s.Date, num(s.Kg, 1)})
		}
	}
	if err := w.WriteAll(rows); err != nil {
		panic("makedemo: " + err.Error()) // a buffer takes all
	}
	return buf.Bytes()
}

// num writes a number with at most so many decimals, without trailing zeros.
func num(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if decimals == 0 {
		return s
	}
	for s[len(s)-1] == '0' {
		s = s[:len(s)-1]
	}
	if s[len(s)-1] == '.' {
		s = s[:len(s)-1]
	}
	return s
}
