package model

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"bedstock/model/offtake"
	"bedstock/survey"
)

// SpeciesSeasons are the seasons of a species that has its own instead of the general ones.
type SpeciesSeasons struct {
	Species string
	Seasons []offtake.Season
	at      place
}

// SeasonsOf are the seasons in which a species may be cut: its own where it has some, else the general ones.
func (r *Rules) SeasonsOf(species string) []offtake.Season {
	for _, own := range r.OwnSeasons {
		if sameName(own.Species, species) {
			return own.Seasons
		}
	}
	return r.Seasons
}

// seasonNames are the names of all seasons, by species where they are of one.
func (r *Rules) seasonNames() []survey.SeasonName {
	var out []survey.SeasonName
	add := func(species string, seasons []offtake.Season) {
		for _, s := range seasons {
			out = append(out, survey.SeasonName{Species: species, Name: s.Name})
		}
	}
	add("", r.Seasons)
	for _, own := range r.OwnSeasons {
		add(own.Species, own.Seasons)
	}
	return out
}

const seasonHint = "a season has name, from, to (\"MM-DD\") and share, and species where it is for some only"

// readSeasons replaces the general seasons by those of the file that name no species, and gathers the others by species.
func (in *rulesInput) readSeasons(value any) {
	before := len(in.problems)
	var general []offtake.Season
	var own []SpeciesSeasons
	var first placed // of the general ones
	for i, t := range in.tables("season", value) {
		s, species := in.readSeason(t)
		origin := fmt.Sprintf("%s:%d", in.file, t.at[""].Line)
		if len(species) == 0 {
			if len(general) == 0 {
				first = t
			}
			general = append(general, s)
			in.from["season."+s.Name] = origin
		}
		for _, name := range species {
			k := slices.IndexFunc(own, func(o SpeciesSeasons) bool { return sameName(o.Species, name) })
			if k < 0 {
				at := in.lists["season"][i][""]
				if where, ok := in.lists["season"][i]["species"]; ok {
					at = where
				}
				own = append(own, SpeciesSeasons{Species: name, at: place{in.file, at}})
				k = len(own) - 1
			}
			own[k].Seasons = append(own[k].Seasons, s)
			in.from[ownSeason(s.Name, own[k].Species)] = origin
		}
	}
	if len(in.problems) > before {
		return
	}
	if err := offtake.ValidateSeasons(general); err != nil {
		in.fault(first.at[""], "", "%s", oneLine(err))
	}
	for _, o := range own {
		if err := offtake.ValidateSeasons(o.Seasons); err != nil {
			in.fault(o.at.at, "", "%s: %s", o.Species, oneLine(err))
		}
	}
	if len(in.problems) > before {
		return
	}
	if len(general) > 0 {
		in.rules.Seasons = general
	}
	in.rules.OwnSeasons = own
}

func oneLine(err error) string { return strings.ReplaceAll(err.Error(), "\n", "; ") }

// ownSeason is the name of the setting of a species' own season.
func ownSeason(season, species string) string { return "season." + season + " (" + species + ")" }

func (in *rulesInput) readSeason(t placed) (s offtake.Season, species []string) {
	in.fill("season", seasonHint, t, []string{"name", "from", "to", "share"}, func(key string, value any) (err error) {
		if key == "species" {
			species, err = asNames(value)
			return err
		}
		return setSeason(&s, key, value)
	})
	return s, species
}

func setSeason(s *offtake.Season, key string, value any) (err error) {
	switch key {
	case "name":
		s.Name, err = asName(value)
		return err
	case "from", "to":
		text, isText := value.(string)
		day, err := offtake.ParseMonthDay(text)
		if !isText || err != nil {
			return fmt.Errorf("%v is not a day of the form MM-DD", value)
		}
		if key == "from" {
			s.From = day
		} else {
			s.To = day
		}
	case "share":
		v, ok := asNumber(value)
		if !ok || v < 0 || v > 1 {
			return fmt.Errorf("%v is not between 0 and 1", value)
		}
		s.Share = v
	default:
		return errors.New("unknown key")
	}
	return nil
}
