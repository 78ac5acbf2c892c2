package survey

import (
	"fmt"
	"strings"
	"testing"
)

// The texts that take most memory for their length: nothing but separators, lines, quotes, faults or brackets. Rows of
// small tables that are shorter than their keys take more, and are few (maxSmallRows).
func TestReadersAreThrifty(t *testing.T) {
	const half = 1 << 18
	head := "bed,date,quadrat,quadrat_m2,species,cover_pct\n"
	worst := map[string]string{
		"separators":  strings.Repeat(",", half),
		"lines":       strings.Repeat("\n", half),
		"quotes":      strings.Repeat(`"`, half),
		"names":       strings.Repeat("bed,", half/4),
		"wide header": head[:len(head)-1] + strings.Repeat(",x", half/2),
		"empty rows":  head + strings.Repeat("a\n", half/2),
		"long rows":   head + strings.Repeat(strings.Repeat(",", 100)+"\n", half/100),
		"blank rows":  head + strings.Repeat(",,,,,\n", half/6),
		"numbers":     head + strings.Repeat("a,2030-01-01,1,1,U,1\n", half/20),
		"faults":      head + strings.Repeat("a,1,1,x,U,y\n", half/12),
		"other beds":  head + numbered("%d,2030-01-01,1,1,U,1\n", half/25),
		"quoted rows": head + strings.Repeat("\"a\nb\",,\n", half/9),
		"half quotes": head + strings.Repeat("a\"b,,\n", half/7),
		"invalid":     head + strings.Repeat("\xff", half),
		"utf16":       "\xff\xfe" + strings.Repeat(",\x00", half/2),
		"cr":          strings.Repeat("\r", half),
	}
	for name, text := range worst {
		for _, file := range []string{"quadrats.csv", "beds.csv"} {
			if name == "faults" && file == "beds.csv" {
				continue
			}
			t.Run(name+" in "+file, func(t *testing.T) {
				texts := smallFolder()
				texts[file] = text
				thrifty(t, len(text), func() { _, _ = Read(files(texts), smallTable(), DefaultOptions()) })
			})
		}
	}
	for name, text := range map[string]string{
		"brackets":  strings.Repeat("[", half),
		"lists":     "[" + strings.Repeat("[],", half/3) + "0]",
		"numbers":   "[" + strings.Repeat("1,", half/2) + "0]",
		"objects":   "[" + strings.Repeat(`{"":0},`, half/7) + "0]",
		"features":  `{"type":"FeatureCollection","features":[` + strings.Repeat("{},", half/3) + "0]}",
		"positions": `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"bed":"Skarn"},"geometry":{"type":"Polygon","coordinates":[[` + strings.Repeat("[1,1],", half/6) + "[1,1]]]}}]}",
		"rings":     `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"bed":"Skarn"},"geometry":{"type":"Polygon","coordinates":[` + strings.Repeat("[[1,1]],", half/8) + "[[1,1]]]}}]}",
		"escapes":   `"` + strings.Repeat(`\u0041`, half/6) + `"`,
	} {
		t.Run(name, func(t *testing.T) {
			texts := smallFolder()
			texts[OutlinesFile] = text
			thrifty(t, len(text), func() { _, _ = Read(files(texts), smallTable(), DefaultOptions()) })
		})
	}
}

// numbered writes a line so often, each with its number.
func numbered(line string, n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, line, i)
	}
	return b.String()
}
