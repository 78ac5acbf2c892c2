package survey

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data/makedemo"
)

// alarmFolders is how many simulated folders are checked; .ci/long/falsealarms takes 200.
var alarmFolders = flag.Int("alarmfolders", 3, "simulated folders to check for false alarms")

// slipKinds are slips planted one at a time in a simulated folder, with the words that are to tell of them.
var slipKinds = []struct {
	name, file, column string
	change             func(cell string) string
	tells              string
}{
	{"length, a digit too many", "quadrats.csv", "frond_cm", func(s string) string { return s + "0" }, "digit"},
	{"length, a digit too few", "quadrats.csv", "frond_cm", func(s string) string { return s + "e-1" }, "too few"},
	{"weight, a digit too many", "quadrats.csv", "biomass_g", func(s string) string { return s + "0" }, "usual for its cover"},
	{"weight in kg", "quadrats.csv", "biomass_g", func(s string) string { return s + "e-3" }, "usual for its cover"},
	{"weight of a frond, a digit too many", "fronds.csv", "wet_g", func(s string) string { return s + "e1" }, "digit"},
	{"cut, a digit too many", "harvest.csv", "wet_kg", func(s string) string { return s + "0" }, "digit"},
	{"cut, a decade early", "harvest.csv", "date", func(s string) string { return strings.Replace(s, "202", "201", 1) }, "mistyped year"},
}

// Simulated clean folders raise hardly an alarm, and single planted slips are found as often as is logged.
func TestFalseAlarms(t *testing.T) {
	table := embeddedTable(t)
	doubts := func(texts map[string][]byte) (all []string, refused bool) {
		fsys := fstest.MapFS{}
		for name, text := range texts {
			fsys[name] = &fstest.MapFile{Data: text, Mode: 0o644}
		}
		f, err := Read(fsys, table, DefaultOptions())
		if err != nil {
			return nil, true
		}
		for _, d := range f.Doubts {
			all = append(all, d.String())
		}
		return all, false
	}
	alarms, rows := 0, 0
	found := make([]int, len(slipKinds))
	for seed := 1; seed <= *alarmFolders; seed++ {
		texts, _ := makedemo.Generate(uint64(seed))
		clean, refused := doubts(texts)
		require.False(t, refused)
		require.GreaterOrEqual(t, len(clean), 2) // the two that it is made to show
		alarms += len(clean) - 2
		rows += strings.Count(string(texts["quadrats.csv"]), "\n") - 1
		rng := rand.New(rand.NewPCG(uint64(seed), 3))
		for k, slip := range slipKinds {
			was := texts[slip.file]
			line := 0
			texts[slip.file], line = planted(rng, string(was), slip.column, slip.change)
			said, refused := doubts(texts)
			texts[slip.file] = was
			where := fmt.Sprintf("%s:%d:", slip.file, line)
			for _, s := range said {
				if refused || strings.HasPrefix(s, where) && strings.Contains(s, slip.tells) ||
					strings.Contains(s, slip.tells) && strings.Contains(s, fmt.Sprint(" ", line)) {
					found[k]++
					break
				}
			}
		}
	}
	t.Logf("%d clean folders, %d quadrat rows: %d false alarms", *alarmFolders, rows, alarms)
	for k, slip := range slipKinds {
		t.Logf("%s: %d of %d found", slip.name, found[k], *alarmFolders)
	}
	assert.LessOrEqual(t, alarms, 1+*alarmFolders/20)
	assert.Positive(t, found[0]+found[2]+found[3])
}

// planted changes one filled cell of a column, at random, and says in which line.
func planted(rng *rand.Rand, text, column string, change func(string) string) ([]byte, int) {
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	at := 0
	for i, name := range strings.Split(lines[0], ",") {
		if name == column {
			at = i
		}
	}
	for {
		i := 1 + rng.IntN(len(lines)-1)
		cells := strings.Split(lines[i], ",")
		if strings.Contains(lines[i], `"`) || at >= len(cells) || cells[at] == "" || cells[at] == "0" {
			continue
		}
		cells[at] = change(cells[at])
		lines[i] = strings.Join(cells, ",")
		return []byte(strings.Join(lines, "\n") + "\n"), i + 1
	}
}
