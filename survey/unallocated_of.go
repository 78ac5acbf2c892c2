package survey

import (
	"fmt"
	"math"
	"slices"
	"strconv"
)

// negligibleShare is the share of a stock up to which landings that may be from it are passed over.
const negligibleShare = 0.01

// Touching are those landings of which a day lies in the time from one day until the day before another.
func Touching(list []Unallocated, from, until Day) []Unallocated {
	return slices.DeleteFunc(slices.Clone(list), func(u Unallocated) bool { return u.From >= until || u.To < from })
}

// SumKg is the sum of landings, kg.
func SumKg(list []Unallocated) float64 {
	sum := 0.0
	for _, u := range list {
		sum += u.Kg
	}
	return sum
}

// LandingWords names landings by weight and lines, as "42.5 kg without a bed (harvest.csv:3 and 4)".
func LandingWords(list []Unallocated) string {
	noBed, noSpecies := false, false
	var lines []string
	for _, u := range list {
		noBed, noSpecies = noBed || u.Bed == "", noSpecies || u.Species == ""
		lines = append(lines, fmt.Sprint(u.Line))
	}
	what := lacks{bed: noBed, species: noSpecies}.words()
	if noBed && noSpecies {
		what = "bed or species"
	}
	kg := strconv.FormatFloat(math.Round(SumKg(list)*1000)/1000, 'f', -1, 64) // to the gram
	return fmt.Sprintf("%s kg without a %s (harvest.csv:%s)", kg, what, some(lines, 6))
}
