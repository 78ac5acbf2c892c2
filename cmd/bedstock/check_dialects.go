package main

import (
	"fmt"

	"bedstock/survey"
)

// printDialects says of every table that is not plain how it was read: what was found out may be wrong.
func printDialects(e *env, f *survey.Folder) {
	told := false
	for _, d := range f.Dialects {
		if !d.Plain() {
			fmt.Fprintln(e.stdout, d)
			told = true
		}
	}
	if told {
		fmt.Fprintln(e.stdout, "    hint: where that is wrong, say how a table is written in rules.toml: [input]")
	}
}
