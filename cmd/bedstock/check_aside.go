package main

import (
	"fmt"
	"io"
	"strings"

	"bedstock/survey"
)

// printAside lists what setaside.csv leaves out, who decided it, when and why.
func printAside(w io.Writer, list []survey.SetAside) {
	for _, s := range list {
		where := []string{s.File}
		for _, word := range []string{s.Bed, s.Day.String(), s.Species} {
			if word != "" {
				where = append(where, word)
			}
		}
		if s.Quadrat != "" {
			where = append(where, "quadrat "+s.Quadrat)
		}
		by := ""
		if who := strings.Trim(s.By+", "+s.On.String(), ", "); who != "" {
			by = " (" + who + ")"
		}
		fmt.Fprintf(w, "set aside: %s: %s: %s%s\n", plural(s.Rows, "row"), strings.Join(where, ", "), s.Reason, by)
	}
}
