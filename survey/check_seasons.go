package survey

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
)

// SeasonName is a season of rules.toml: of one species, or of all that have none of their own.
type SeasonName struct{ Species, Name string }

// seasonsOf are the names of the seasons of a species.
func seasonsOf(all []SeasonName, species string) []string {
	var own, general []string
	for _, s := range all {
		switch {
		case s.Species == "":
			general = append(general, s.Name)
		case foldSpecies(s.Species) == foldSpecies(species):
			own = append(own, s.Name)
		}
	}
	if own != nil {
		return own
	}
	return general
}

// seasonNames notes decisions for a season that nobody knows by its name, and that is spelt nearly as one is: a season of
// rules.toml, or of other decisions with the same days. A decision takes the place of those before it for a season of
// the same name alone. Names near to none are left alone: seasons may have been called otherwise before.
func (c *checker) seasonNames(all []SeasonName) {
	others := c.seasonsByDays()
	var unknown fold[[2]string]
	for _, d := range c.f.Decisions {
		names := seasonsOf(all, d.Species)
		if called(d.Season, names) {
			continue
		}
		if hint := cmp.Or(meant(d.Season, names), others.meant(d)); hint != "" {
			unknown.add([2]string{d.Season, hint}, d.Line)
		}
	}
	unknown.each(func(k [2]string, line int, also string) {
		c.found.doubt(decisionsTable.file, line, "season", k[1]+" Written as it is, it replaces no earlier decision for that season",
			"no season is called %q%s", k[0], also)
	})
}

// called tells whether a season is one of these, without regard to case and blanks.
func called(season string, names []string) bool {
	return slices.ContainsFunc(names, func(n string) bool { return foldSpecies(n) == foldSpecies(season) })
}

// seasonsByDays counts how often the decisions name each season, by its days of the year.
type seasonsByDays map[string]map[string]int

func (c *checker) seasonsByDays() seasonsByDays {
	out := seasonsByDays{}
	for _, d := range c.f.Decisions {
		k := daysOfYear(d)
		if out[k] == nil {
			out[k] = map[string]int{}
		}
		out[k][d.Season]++
	}
	return out
}

// meant is a hint with the season that at least three times as many decisions with the same days are for.
func (s seasonsByDays) meant(d Decision) string {
	names := s[daysOfYear(d)]
	var usual []string
	for _, n := range slices.Sorted(maps.Keys(names)) {
		if names[n] >= 3*names[d.Season] && foldSpecies(n) != foldSpecies(d.Season) {
			usual = append(usual, n)
		}
	}
	return meant(d.Season, usual)
}

func daysOfYear(d Decision) string {
	if d.From == NoDay || d.To == NoDay {
		return ""
	}
	return fmt.Sprint(d.From.Time().Format("01-02"), d.To.Time().Format("01-02"))
}
