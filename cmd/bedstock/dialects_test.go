package main

import (
	"bytes"
	"encoding/csv"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"bedstock/data"
)

// saving is a way to save a survey folder: what a spreadsheet program makes of its cells and of its text.
type saving struct {
	sep   rune
	cell  func(string) string
	text  func(string) string
	code  encoding.Encoding
	rules string // what the cells of small tables leave open
}

var (
	isoDate = regexp.MustCompile(`^(\d{4})-(\d\d)-(\d\d)$`)
	decimal = regexp.MustCompile(`^(-?\d+)\.(\d+)$`)
)

// The demo gives the same stocks to the last byte, however its tables are saved.
func TestStocksInEveryDialect(t *testing.T) {
	demo, err := fs.Sub(data.FS, "demo")
	require.NoError(t, err)
	same := func(s string) string { return s }
	comma := func(s string) string { return decimal.ReplaceAllString(s, "$1,$2") }
	dayFirst := func(s string) string { return isoDate.ReplaceAllString(comma(s), "$3.$2.$1") }
	monthFirst := func(s string) string { return isoDate.ReplaceAllString(s, "$2/$3/$1") }
	crlf := func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") }
	cr := func(s string) string { return strings.ReplaceAll(s, "\n", "\r") }
	titled := func(s string) string { return "Beds of the shore\n\n" + crlf(s) + ";;;;\r\n" }
	want := stocksOf(t, demo, saving{',', same, same, unicode.UTF8, ""})
	require.Contains(t, want, "tarrowick")
	for name, how := range map[string]saving{
		"comma, UTF-8 with mark, CRLF":                 {',', same, crlf, unicode.UTF8BOM, ""},
		"semicolon, decimal comma, Windows-1252":       {';', dayFirst, crlf, charmap.Windows1252, "decimal = \"comma\"\ndates = \"day-first\"\n"},
		"tab, UTF-16, month first":                     {'\t', monthFirst, crlf, unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), "decimal = \"point\"\ndates = \"month-first\"\n"},
		"tab, decimal comma, UTF-16 the other way":     {'\t', comma, same, unicode.UTF16(unicode.BigEndian, unicode.UseBOM), "decimal = \"comma\"\n"},
		"semicolon, sep=, CR":                          {';', same, func(s string) string { return "sep=;\r" + cr(s) }, unicode.UTF8, "decimal = \"point\"\n"},
		"semicolon, title above, blank row at the end": {';', same, titled, unicode.UTF8, "decimal = \"point\"\n"},
	} {
		t.Run(name, func(t *testing.T) {
			require.True(t, want == stocksOf(t, demo, how), "other stocks")
		})
	}
}

// stocksOf saves the demo and says what bedstock stock prints of it for other programs.
func stocksOf(t *testing.T, demo fs.FS, how saving) string {
	dir := t.TempDir()
	names, err := fs.Glob(demo, "*.csv")
	require.NoError(t, err)
	for _, name := range names {
		text, err := fs.ReadFile(demo, name)
		require.NoError(t, err)
		out, err := how.code.NewEncoder().String(how.saved(t, string(text)))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(out), 0o644))
	}
	rules, err := fs.ReadFile(demo, "rules.toml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "rules.toml"), append(rules, "\n[input]\n"+how.rules...), 0o644))
	var stdout, stderr bytes.Buffer
	code := run([]string{"stock", dir, "--format", "csv"}, &env{stdin: strings.NewReader(""), stdout: &stdout, stderr: &stderr})
	require.Equal(t, exitDone, code, stderr.String())
	return stdout.String()
}

// saved writes a table with other cells and another separator.
func (s saving) saved(t *testing.T, text string) string {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	for _, row := range rows {
		for i := range row {
			row[i] = s.cell(row[i])
		}
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Comma = s.sep
	require.NoError(t, w.WriteAll(rows))
	return s.text(b.String())
}
