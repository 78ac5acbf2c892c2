package model

import (
	"errors"
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"bedstock/model/offtake"
)

// readSeasons replaces the default seasons by those of the file.
func (in *rulesInput) readSeasons(value any) {
	list, ok := value.([]any)
	if !ok {
		in.fault(in.places["season"], "", "season must be a list: write [[season]]")
		return
	}
	before := len(in.problems)
	var seasons []offtake.Season
	for i, v := range list {
		table, ok := v.(map[string]any)
		if !ok || i >= len(in.seasons) {
			in.fault(in.places["season"], "", "season must be a list: write [[season]]")
			return
		}
		seasons = append(seasons, in.readSeason(table, in.seasons[i]))
	}
	if len(in.problems) > before {
		return
	}
	if err := offtake.ValidateSeasons(seasons); err != nil {
		in.fault(in.places["season"], "", "%s", strings.ReplaceAll(err.Error(), "\n", "; "))
		return
	}
	in.rules.Seasons = seasons
	for i, s := range seasons {
		in.from["season."+s.Name] = fmt.Sprintf("%s:%d", in.file, in.seasons[i][""].Line)
	}
}

func (in *rulesInput) readSeason(table map[string]any, at map[string]unstable.Position) offtake.Season {
	var s offtake.Season
	for _, name := range sortedKeys(table) {
		if err := setSeason(&s, name, table[name]); err != nil {
			in.fault(at[name], "a season has name, from, to (\"MM-DD\") and share", "season %s: %v", name, err)
		}
	}
	for _, name := range []string{"name", "from", "to", "share"} {
		if _, ok := table[name]; !ok {
			in.fault(at[""], "a season has name, from, to (\"MM-DD\") and share", "season without %s", name)
		}
	}
	return s
}

func setSeason(s *offtake.Season, name string, value any) error {
	text, isText := value.(string)
	switch name {
	case "name":
		if !isText || strings.TrimSpace(text) == "" {
			return fmt.Errorf("%v is not a name", value)
		}
		s.Name = strings.TrimSpace(text)
	case "from", "to":
		day, err := offtake.ParseMonthDay(text)
		if !isText || err != nil {
			return fmt.Errorf("%v is not a day of the form MM-DD", value)
		}
		if name == "from" {
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
