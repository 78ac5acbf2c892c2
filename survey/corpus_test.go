package survey

import (
	"bytes"
	"encoding/binary"
	"errors"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf16"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
)

var update = flag.Bool("update", false, "write what is found into the corpus")

// Every folder of the corpus is refused, or taken with warnings, in the words of its want.txt. After -update each of
// them is to be read: is the place right, is it clear what to do?
//
// Lines above the files of a case change them: as_of DATE sets the day of the assessment; directory, pipe and unreadable
// FILE make a file of that kind, and link FILE a link to it; latin1, utf16, utf16be, bare16 (without its mark), cr, crlf
// and mark FILE save it so; nul FILE writes NUL bytes for ␀, long FILE N so many letters for …. input FILE KEY VALUE...
// says how it is written, FILE * of all. season NAME is one of rules.toml.
func TestCorpus(t *testing.T) {
	names, err := filepath.Glob("testdata/corpus/*.txtar")
	require.NoError(t, err)
	require.Greater(t, len(names), 40)
	table := embeddedTable(t)
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(name)
			require.NoError(t, err)
			fsys, opt := corpusFolder(t, a)
			got := whatIsFound(fsys, table, opt)
			k := slices.IndexFunc(a.Files, func(f txtar.File) bool { return f.Name == "want.txt" })
			require.GreaterOrEqual(t, k, 0, "no want.txt")
			if *update {
				a.Files[k].Data = []byte(got)
				require.NoError(t, os.WriteFile(name, txtar.Format(a), 0o644))
				return
			}
			assert.Equal(t, string(a.Files[k].Data), got)
		})
	}
}

func embeddedTable(t testing.TB) []Species {
	table, problems := ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems)
	return table
}

// corpusFolder makes the folder of a case.
func corpusFolder(t *testing.T, a *txtar.Archive) (fs.FS, Options) {
	t.Helper()
	fsys, opt := fstest.MapFS{}, DefaultOptions()
	for _, f := range a.Files {
		if f.Name != "want.txt" {
			fsys[f.Name] = &fstest.MapFile{Data: f.Data, Mode: 0o644}
		}
	}
	var closed []string
	for line := range strings.Lines(string(a.Comment)) {
		word, name, _ := strings.Cut(strings.TrimSpace(line), " ")
		switch word {
		case "as_of":
			opt.AsOf = day(name)
		case "input":
			opt.Input = withInput(t, opt.Input, strings.Fields(name))
		case "long":
			file, n, _ := strings.Cut(name, " ")
			fsys[file].Data = bytes.ReplaceAll(fsys[file].Data, []byte("…"), bytes.Repeat([]byte("x,"), int(numberOrNaN(n)/2)))
		case "link":
			fsys[name].Mode = fs.ModeSymlink | 0o777
		case "season":
			opt.SeasonNames = append(opt.SeasonNames, SeasonName{Name: name})
		case "directory":
			fsys[name] = &fstest.MapFile{Mode: fs.ModeDir}
		case "pipe":
			fsys[name] = &fstest.MapFile{Mode: fs.ModeNamedPipe}
		case "unreadable":
			closed = append(closed, name)
		case "latin1", "utf16", "utf16be", "bare16", "cr", "crlf", "mark", "nul":
			require.Contains(t, fsys, name)
			fsys[name].Data = saved(word, string(fsys[name].Data))
		}
	}
	if closed != nil {
		return failing{fsys, closed[0]}, opt
	}
	return fsys, opt
}

// withInput lays FILE KEY VALUE... over what is said of how tables are written.
func withInput(t *testing.T, all map[string]InputRules, words []string) map[string]InputRules {
	t.Helper()
	if all == nil {
		all = map[string]InputRules{}
	}
	file := strings.TrimPrefix(words[0], "*")
	in := all[file]
	switch value := words[2]; words[1] {
	case "separator":
		in.Separator = value
	case "decimal":
		in.Decimal = value
	case "encoding":
		in.Encoding = value
	case "dates":
		in.Dates = value
	case "fill_down":
		in.FillDown = words[2:]
	case "skip_lines":
		in.SkipLines = Some(numberOrNaN(value))
	default:
		t.Fatalf("input %s", words[1])
	}
	all[file] = in
	return all
}

// saved is a text as some programs save it.
func saved(how, text string) []byte {
	switch how {
	case "cr":
		return []byte(strings.ReplaceAll(text, "\n", "\r"))
	case "crlf":
		return []byte(strings.ReplaceAll(text, "\n", "\r\n"))
	case "mark":
		return []byte(byteMark + text)
	case "nul":
		return []byte(strings.ReplaceAll(text, "␀", "\x00"))
	case "bare16":
		return saved("utf16", text)[2:]
	case "utf16", "utf16be":
		var order binary.AppendByteOrder = binary.LittleEndian
		if how == "utf16be" {
			order = binary.BigEndian
		}
		out := order.AppendUint16(nil, 0xfeff)
		for _, u := range utf16.Encode([]rune(text)) {
			out = order.AppendUint16(out, u)
		}
		return out
	}
	var out []byte
	for _, r := range text {
		out = append(out, byte(r)) // latin1
	}
	return out
}

// whatIsFound is every problem of a folder with its hint, as an officer reads it.
func whatIsFound(fsys fs.FS, table []Species, opt Options) string {
	f, err := Read(fsys, table, opt)
	ps, ok := errors.AsType[Problems](err)
	switch {
	case ok:
	case err != nil:
		return "error: " + err.Error() + "\n"
	default:
		ps = f.Doubts
	}
	var b strings.Builder
	if f != nil {
		for _, d := range f.Dialects {
			if !d.Plain() {
				b.WriteString(d.String() + "\n")
			}
		}
	}
	if len(ps) == 0 && b.Len() == 0 {
		return "nothing\n"
	}
	for _, p := range ps {
		b.WriteString(p.String() + "\n")
		if p.Hint != "" {
			b.WriteString("    hint: " + p.Hint + "\n")
		}
	}
	return b.String()
}
