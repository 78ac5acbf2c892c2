package main

import (
	"bytes"
	"encoding/csv"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
)

// shared are the options that several commands have in common, each with a value that is not the usual one.
var shared = map[string]string{"--seed": "7", "--draws": "401", "--bed": "candlemoss", "--species": "Fucus serratus", "--format": "csv"}

// usual are the commands by which the effect of a shared option is seen, in a folder of two beds, of one species each. OUT is a
// file or folder to be written.
var usual = map[string]string{
	"report": "small -o OUT --figures none --draws 400",
	"check":  "small",
	"stock":  "small --rules bootstrap.toml",
	"growth": "small --draws 400",
	"quota":  "small --draws 400",
	"plan":   "small",
	"rules":  "small",
	"ledger": "small --on 2026-08-20 --draws 400",
	"figure": "recovery small -o OUT.svg --bed tarrowick --draws 400",
}

// drawsAlone are commands that assess the survey with the same options as quota: one of these is tried.
var drawsAlone = []string{"report", "growth", "ledger", "figure"}

// Whatever shared option the help of a command shows does something there: with another value the command prints or
// writes something else.
func TestOptionsShownDoSomething(t *testing.T) {
	t.Chdir(t.TempDir())
	smallDemo(t)
	var c cli
	app, err := kong.New(&c, kong.Vars{"version": "", "figures": "", "curves": ""})
	require.NoError(t, err)
	tried := 0
	for _, cmd := range app.Model.Children {
		before := "" // what it did without the option
		for _, f := range cmd.Flags {
			option := "--" + f.Name
			value, ok := shared[option]
			if !ok || option != "--draws" && slices.Contains(drawsAlone, cmd.Name) {
				continue
			}
			require.NotEmpty(t, usual[cmd.Name], "%s %s: say by what arguments its effect is seen", cmd.Name, option)
			args := []string{cmd.Name}
			args = append(args, strings.Fields(usual[cmd.Name])...)
			if before == "" {
				var code int
				before, code = outcome(t, args)
				require.Zero(t, code, "%v: %s", args, before)
			}
			after, _ := outcome(t, with(args, option, value)) // a stand that is not there is an answer too
			assert.NotEqual(t, before, after, "%s %s %s changes nothing", cmd.Name, option, value)
			tried++
		}
	}
	assert.Greater(t, tried, 15)
}

// with is a command line with another value of an option.
func with(args []string, option, value string) []string {
	out := slices.Clone(args)
	if i := slices.Index(out, option); i >= 0 {
		out[i+1] = value
		return out
	}
	return append(out, option, value)
}

// outcome is what a command prints and writes, and its exit code.
func outcome(t *testing.T, args []string) (string, int) {
	t.Helper()
	require.NoError(t, os.RemoveAll("out"))
	require.NoError(t, os.Mkdir("out", 0o755))
	args = slices.Clone(args)
	for i := range args {
		args[i] = strings.Replace(args[i], "OUT", "out/x", 1)
	}
	var said bytes.Buffer
	code := run(args, &env{stdin: strings.NewReader(""), stdout: &said, stderr: io.Discard})
	require.NoError(t, filepath.WalkDir("out", func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			var text []byte
			text, err = os.ReadFile(path)
			said.Write(text)
		}
		return err
	}))
	return said.String(), code
}

// smallDemo writes two beds of the demo, of one species each, into the folder small, and rules by which intervals are resampled.
func smallDemo(t *testing.T) {
	t.Helper()
	require.NoError(t, os.Mkdir("small", 0o755))
	names, err := fs.Glob(data.FS, "demo/*.csv")
	require.NoError(t, err)
	for _, name := range append(names, "demo/rules.toml") {
		text, err := fs.ReadFile(data.FS, name)
		require.NoError(t, err)
		if strings.HasSuffix(name, ".csv") {
			text = fewer(t, text)
		}
		require.NoError(t, os.WriteFile(filepath.Join("small", filepath.Base(name)), text, 0o644))
	}
	require.NoError(t, os.WriteFile("bootstrap.toml", []byte("as_of = 2026-09-01\ninterval = \"bootstrap\"\n"), 0o644))
}

// fewer keeps the rows of two beds, of one species each, in the last two years.
func fewer(t *testing.T, text []byte) []byte {
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	bed, species := slices.Index(rows[0], "bed"), slices.Index(rows[0], "species")
	day := slices.Index(rows[0], "date")
	rows = append(rows[:1:1], slices.DeleteFunc(rows[1:], func(row []string) bool {
		if day >= 0 && row[day] < "2025" {
			return true
		}
		for at, name := range map[string]string{"tarrowick": "Ascophyllum nodosum", "candlemoss": "Fucus serratus"} {
			if (bed < 0 || slices.Contains([]string{"", "*", at}, row[bed])) && (species < 0 || slices.Contains([]string{"", name}, row[species])) {
				return false
			}
		}
		return true
	})...)
	var b bytes.Buffer
	require.NoError(t, csv.NewWriter(&b).WriteAll(rows))
	return b.Bytes()
}
