package model

import (
	"fmt"
	"math"
	"strings"

	"bedstock/survey"
)

// touching are the seasons of which a day is among those of a cut, where there are several; of one that lies over the edge
// of a single season no other can be short.
func touching(seasons []LedgerRow, c survey.Cut) []int {
	var out []int
	for i, s := range seasons {
		if c.From <= s.To && c.To >= s.From {
			out = append(out, i)
		}
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

// overSeasons names seasons with their days.
func overSeasons(seasons []LedgerRow, at []int) []string {
	var out []string
	for _, i := range at {
		s := &seasons[i]
		out = append(out, fmt.Sprintf("%s %d (%s to %s)", s.Season, s.From.Year(), s.From, s.To))
	}
	return out
}

// noteAstride says of a row which returns run into its season that are not counted in it, and what is left if all of them
// were cut in it.
func (b *book) noteAstride(row *LedgerRow, astride []survey.Cut) {
	if len(astride) == 0 {
		return
	}
	sum := 0.0
	var which []string
	for _, c := range astride {
		sum += c.Kg
		which = append(which, fmt.Sprintf("%s kg of %s to %s (harvest.csv:%d)", Kg(c.Kg), c.From, c.To, c.Line))
	}
	row.AstrideKg = sum / b.a.out.Rules.ReportedShare
	text := strings.Join(which, ", ") + " may be of this, and is not counted here"
	switch limit := row.LimitKg(); {
	case row.CutKg <= limit*(1+1e-9) && row.CutKg+row.AstrideKg > limit*(1+1e-9):
		text += ": whether it is within cannot be told"
	case row.LeftKg > 0 && row.State == SeasonRunning:
		text += fmt.Sprintf(": decided less cut may be as little as %s kg", KgDown(math.Max(row.LeftKg-row.May(), 0)))
	}
	row.note(text)
}
