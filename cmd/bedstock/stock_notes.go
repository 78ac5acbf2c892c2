package main

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
)

// alike joins the warnings that differ in their numbers alone: "only 3 fronds" and "only 5 fronds" become "only 3 to 5
// fronds". Dates, years and labels are no numbers.
func (n *noter) alike() []string {
	joined := noter{of: map[string][]string{}}
	groups := map[string][]string{}
	var order []string
	for _, note := range n.notes {
		key := skeleton(note)
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], note)
	}
	for _, key := range order {
		text := ranges(groups[key])
		for _, note := range groups[key] {
			for _, who := range n.of[note] {
				joined.add(who, text)
			}
		}
	}
	return joined.lines()
}

// figure takes a word apart into what stands before a number, the number and what follows; ok is false for no number.
func figure(word string) (before, number, after string, ok bool) {
	number = strings.TrimLeft(word, "(")
	before = word[:len(word)-len(number)]
	trimmed := strings.TrimRight(number, ",;:)")
	after = number[len(trimmed):]
	number = trimmed
	if number == "" || strings.Trim(number, "0123456789.") != "" {
		return "", "", "", false
	}
	if len(number) == 4 && (number[:2] == "19" || number[:2] == "20") {
		return "", "", "", false // a year is a name
	}
	_, err := strconv.ParseFloat(number, 64)
	return before, number, after, err == nil
}

// skeleton is a text with its numbers taken out.
func skeleton(text string) string {
	words := strings.Split(text, " ")
	for i, w := range words {
		if before, _, after, ok := figure(w); ok {
			words[i] = before + "\x00" + after
		}
	}
	return strings.Join(words, " ")
}

// ranges is the text of notes of one skeleton, with the smallest and the largest of the numbers that differ.
func ranges(notes []string) string {
	words := strings.Split(notes[0], " ")
	for i, w := range words {
		before, _, after, ok := figure(w)
		if !ok {
			continue
		}
		lo, hi := math.Inf(1), math.Inf(-1)
		var least, most string
		for _, note := range notes {
			_, number, _, _ := figure(strings.Split(note, " ")[i])
			if v, err := strconv.ParseFloat(number, 64); err == nil {
				if v < lo {
					lo, least = v, number
				}
				if v > hi {
					hi, most = v, number
				}
			}
		}
		if lo < hi {
			words[i] = before + least + " to " + most + after
		}
	}
	return strings.Join(words, " ")
}

// addReason notes why something is missing, shortened where a sum names very many species.
func (n *noter) addReason(who string, parts ...string) {
	var out []string
	for _, p := range parts {
		list := strings.Split(p, "; ")
		if most := 6; len(list) > most {
			list = append(list[:most:most], strconv.Itoa(len(list)-most)+" more reasons (--format csv)")
		}
		if p != "" {
			out = append(out, strings.Join(list, "; "))
		}
	}
	if len(out) > 0 {
		n.add(who, strings.Join(out, ". Next time: "))
	}
}

// outside shortens the warning that a conversion is from elsewhere to what is the same for many rows.
func outside(warnings []string) []string {
	out := slices.Clone(warnings)
	for i, w := range out {
		if at := strings.Index(w, "leans on a conversion from outside"); at >= 0 {
			out[i], _, _ = strings.Cut(w[at:], " (")
		}
	}
	return out
}

// short is a status that is not ok, in a cell; the reason stands below the table.
func short(status string) table.Cell {
	if status == "ok" {
		return table.Missing
	}
	return table.Text(status)
}
