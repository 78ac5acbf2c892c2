package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// explain shows how stocks came about.
func (c stockCmd) explain(o *opened) (view, error) {
	var all []survey.Explanation
	for _, what := range c.Explain {
		bed, species, label, err := asked("--explain", what, o.folder)
		if err != nil {
			return view{}, err
		}
		found := survey.Explain(o.folder, o.rules.Survey, bed, species)
		if len(found) == 0 {
			return view{}, usageError(fmt.Sprintf("--explain %q: no survey of bed %s looked for %s\nhint: name it in species_sought of surveys.csv next time", what, bed, species))
		}
		kept := slices.DeleteFunc(slices.Clone(found), func(x survey.Explanation) bool { return label != "" && !strings.EqualFold(label, x.Stock.Survey) })
		if len(kept) == 0 {
			var labels []string
			for _, x := range found {
				labels = append(labels, x.Stock.Survey)
			}
			return view{}, usageError(fmt.Sprintf("--explain %q: no survey %q of %s on bed %s; there are %s", what, label, species, bed, strings.Join(labels, ", ")))
		}
		all = append(all, kept...)
	}
	v := view{machine: report.Explained(all)}
	if c.Format == table.FormatText {
		var b bytes.Buffer
		for i, x := range all {
			if i > 0 {
				b.WriteByte('\n')
			}
			explainer{&b, x}.write()
		}
		v.text = b.String()
	}
	return v, nil
}

// asked splits what an option names, BED/SPECIES or BED/SPECIES/SURVEY; a name may itself hold a slash.
func asked(option, what string, f *survey.Folder) (bed, species, label string, err error) {
	named := f.NamedSpecies()
	bedSeen := ""
	for i := range len(what) {
		if what[i] != '/' {
			continue
		}
		b := slices.IndexFunc(f.Beds, func(b survey.Bed) bool { return among([]string{what[:i]}, b.ID) })
		if b < 0 {
			continue
		}
		bedSeen = f.Beds[b].ID
		rest := what[i+1:]
		for j := len(rest); j > 0; j = strings.LastIndexByte(rest[:j], '/') {
			if s := slices.IndexFunc(named, func(n string) bool { return among([]string{rest[:j]}, n) }); s >= 0 {
				return bedSeen, named[s], strings.TrimSpace(strings.TrimPrefix(rest[j:], "/")), nil
			}
		}
	}
	switch {
	case !strings.Contains(what, "/"):
		err = usageError(fmt.Sprintf("%s %q is not BED/SPECIES\nhint: %[1]s \"%[3]s/%[4]s\"", option, what, example(f), exampleSpecies(named)))
	case bedSeen == "":
		err = usageError(fmt.Sprintf("%s %q: no such bed in beds.csv\nhint: the beds are %s", option, what, few(bedsOf(f))))
	default:
		err = usageError(fmt.Sprintf("%s %q: the species is not in the surveys of this folder\nhint: there are %s", option, what, few(named)))
	}
	return "", "", "", err
}

func example(f *survey.Folder) string {
	if len(f.Beds) == 0 {
		return "BED"
	}
	return f.Beds[0].ID
}

func exampleSpecies(named []string) string {
	if len(named) == 0 {
		return "SPECIES"
	}
	return named[0]
}

func bedsOf(f *survey.Folder) []string {
	var out []string
	for _, b := range f.Beds {
		out = append(out, b.ID)
	}
	return out
}

// few are the first ten names.
func few(names []string) string {
	const most = 10
	if len(names) > most {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return strings.Join(names, ", ")
}
