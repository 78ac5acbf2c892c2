package model

import (
	"errors"
	"fmt"
	"slices"

	"bedstock/survey"
)

// asScales is the name of a scale of cover, or a table of them by species, with that of all others under "others".
func asScales(value any) ([]survey.SpeciesScale, error) {
	if name, err := asName(value); err == nil {
		return []survey.SpeciesScale{{Scale: name}}, nil
	}
	table, ok := value.(map[string]any)
	if !ok || len(table) == 0 {
		return nil, fmt.Errorf(`%v is neither a scale nor a table of them, as {others = "sacfor massive", "Hildenbrandia rubra" = "sacfor crust"}`, value)
	}
	var out []survey.SpeciesScale
	for _, species := range sortedKeys(table) {
		name, err := asName(table[species])
		if err != nil {
			return nil, err
		}
		if species == "others" {
			species = ""
		}
		out = append(out, survey.SpeciesScale{Species: species, Scale: name})
	}
	return out, nil
}

// scale reads a table [classes.NAME] of letters and limits in percent.
func (m *mappingInput) scale(name string, value any, at survey.Place) error {
	table, ok := value.(map[string]any)
	if !ok {
		return errors.New("must be a table of classes")
	}
	s := survey.Scale{Name: name, At: at}
	if m.out.FindScale(name) != nil {
		return errors.New("there is a scale of this name already: take another")
	}
	for _, letter := range m.inOrder("classes\x00"+name, table) {
		limits, ok := table[letter].([]any)
		if !ok || len(limits) != 2 {
			return fmt.Errorf("%s: %v is no pair of limits", letter, table[letter])
		}
		lo, okLo := asNumber(limits[0])
		hi, okHi := asNumber(limits[1])
		if !okLo || !okHi {
			return fmt.Errorf("%s: %v is no pair of limits", letter, table[letter])
		}
		s.Classes = append(s.Classes, survey.CoverClass{Scale: name, Letter: letter, Lo: lo, Hi: hi})
	}
	if err := s.Check(); err != nil {
		return err
	}
	m.out.Scales = append(slices.Clip(m.out.Scales), s)
	return nil
}
