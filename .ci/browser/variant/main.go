// Variant writes a survey folder made from another one, for reports that the demo does not give:
//
//	variant many FROM TO     the rows of FROM under sixty names of beds, some of them long
//	variant hostile FROM TO  FROM with markup where people write words
package main

import (
	"encoding/csv"
	"fmt"
	"log"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// beds is how many beds "many" makes.
const beds = 60

// hostile are the texts put into columns; each would do something that is noticed if it were taken for markup.
var hostile = map[string]map[string]string{
	"beds.csv":      {"name": "", "shore": "<img src=x onerror=alert(2)>", "reason": "</style><script>alert(3)</script>"},
	"closures.csv":  {"reason": `"><svg onload=alert(4)>`},
	"decisions.csv": {"reason": "<b onmouseover=alert(5)>"},
	"events.csv":    {"notes": "--><script>alert(6)</script>"},
	"surveys.csv":   {"people": "<a href=javascript:alert(7)>R. Marl</a>", "notes": "]]><script>alert(8)</script>"},
	"quadrats.csv":  {"observer": "&lt;script&gt;", "notes": "</title><script>alert(9)</script>"},
}

// names are names of beds that are hard to show, taken in turn; each gets a number behind it. The fifth row of the demo is
// one that a later row of the same bed replaces.
var names = []string{
	"<script>alert(1)</script>",
	`"Quoted" & 'twice' &amp; more`,
	"=1+1",
	"\U0001F30A\U0001F9AD Seal rock \u00df\u00f8",
	"@SUM(A1:A9)",
	strings.Repeat("Long", 50), // 200 letters without a place to break
	"\u0635\u062e\u0631\u0629 \u0627\u0644\u0641\u0642\u0645\u0629 12", // right to left
	"\u05e1\u05dc\u05e2 (left) \u05d9\u05dd \u202eturned",
}

func main() {
	log.SetFlags(0)
	log.SetPrefix("variant: ")
	if len(os.Args) != 4 || os.Args[1] != "many" && os.Args[1] != "hostile" {
		log.Fatal("want many or hostile, a survey folder and a new folder")
	}
	if err := write(os.Args[1], os.Args[2], os.Args[3]); err != nil {
		log.Fatal(err)
	}
}

func write(kind, from, to string) error {
	entries, err := os.ReadDir(from)
	if err != nil {
		return err
	}
	if err := os.Mkdir(to, 0o777); err != nil {
		return err
	}
	var first [][]string
	if kind == "many" {
		if first, err = read(filepath.Join(from, "beds.csv")); err != nil {
			return err
		}
	}
	for _, e := range entries {
		in, out := filepath.Join(from, e.Name()), filepath.Join(to, e.Name())
		if filepath.Ext(e.Name()) != ".csv" {
			if err := copyFile(in, out); err != nil {
				return err
			}
			continue
		}
		rows, err := read(in)
		if err != nil {
			return fmt.Errorf("%s: %w", e.Name(), err)
		}
		if kind == "many" {
			rows = many(rows, column(first, "bed"))
		} else {
			poison(rows, hostile[e.Name()])
		}
		if err := save(out, rows); err != nil {
			return err
		}
	}
	return nil
}

// many repeats the rows of a table, each bed under several names; tables without beds stay as they are.
func many(rows [][]string, names []string) [][]string {
	bed := slices.Index(rows[0], "bed")
	if bed < 0 {
		return rows
	}
	out := rows[:1:1]
	for i := range beds {
		from, to := names[i%len(names)], fmt.Sprintf("%s-%02d", names[i%len(names)], i+1)
		for _, row := range rows[1:] {
			if row[bed] != from {
				continue
			}
			row = slices.Clone(row)
			row[bed] = to
			for j, head := range rows[0] {
				switch head {
				case "plot":
					row[j] += fmt.Sprintf("-%02d", i+1)
				case "name":
					row[j] = longName(row[j], i)
				}
			}
			out = append(out, row)
		}
	}
	return out
}

// longName gives every bed a name of its own, and a few of them long ones, with and without places to break a line.
func longName(name string, i int) string {
	switch i % 7 {
	case 2:
		return fmt.Sprintf("%s, the outer ledges below the old lifeboat slip as far as the second gully %d", name, i+1)
	case 5:
		return fmt.Sprintf("Marrow%s%d", strings.Repeat("gullyledge", 5), i+1)
	}
	return fmt.Sprintf("%s %d", name, i+1)
}

// poison writes the texts into their columns; names of beds are numbered, so that they stay apart.
func poison(rows [][]string, texts map[string]string) {
	for _, head := range slices.Sorted(maps.Keys(texts)) {
		if j := slices.Index(rows[0], head); j >= 0 {
			for i := 1; i < len(rows); i++ {
				if rows[i][j] = texts[head]; head == "name" {
					rows[i][j] = fmt.Sprint(names[(i-1)%len(names)], " ", i)
				}
			}
		}
	}
}

func column(rows [][]string, head string) []string {
	var out []string
	if j := slices.Index(rows[0], head); j >= 0 {
		for _, row := range rows[1:] {
			if !slices.Contains(out, row[j]) {
				out = append(out, row[j])
			}
		}
	}
	return out
}

func read(path string) ([][]string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err == nil && len(rows) == 0 {
		err = fmt.Errorf("no heading")
	}
	return rows, err
}

func save(path string, rows [][]string) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	if err := csv.NewWriter(f).WriteAll(rows); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}

func copyFile(from, to string) error {
	data, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	return os.WriteFile(to, data, 0o666)
}
