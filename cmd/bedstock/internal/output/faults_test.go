package output

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// scene is what stands at the place of the folder "out" before a run.
type scene struct {
	name       string
	noExchange bool
	force      bool
	thorough   bool     // every single operation
	changed    bool     // the old folder is no longer as its manifest says
	mayBe      []string // where the old folder may stand whole instead, beside "out"
	prepare    func(t *testing.T, dir string)
}

func scenes() []scene {
	ours := func(t *testing.T, dir string) { mustWrite(t, dir, "old", Options{}) }
	leftNew := func(t *testing.T, dir string) {
		ours(t, dir)
		put(t, filepath.Join(dir, "..", ".out.new", "stock.csv"), "half a li")
		put(t, filepath.Join(dir, "..", ".out.lock"), "")
	}
	leftOld := func(t *testing.T, dir string) {
		ours(t, dir)
		require.NoError(t, os.Rename(dir, filepath.Join(dir, "..", ".out.old")))
		put(t, filepath.Join(dir, "..", ".out.new", "stock.csv"), "half a li")
	}
	both := func(t *testing.T, dir string) {
		ours(t, dir)
		put(t, filepath.Join(dir, "..", ".out.old", "figures/01-older.svg"), "half removed")
	}
	changed := func(t *testing.T, dir string) {
		ours(t, dir)
		put(t, filepath.Join(dir, "mine.txt"), "somebody's work")
	}
	empty := func(t *testing.T, dir string) { require.NoError(t, os.Mkdir(dir, 0o777)) }
	old, kept := []string{".out.old"}, []string{"out.kept-1"}
	return []scene{
		{name: "absent", prepare: func(*testing.T, string) {}},
		{name: "empty", prepare: empty},
		{name: "empty, two renames", noExchange: true, mayBe: old, prepare: empty},
		{name: "ours", thorough: true, prepare: ours},
		{name: "ours, two renames", noExchange: true, mayBe: old, prepare: ours},
		{name: "unfinished run before", prepare: leftNew},
		{name: "run ended between renames before", mayBe: old, prepare: leftOld},
		{name: "the same, two renames", noExchange: true, mayBe: old, prepare: leftOld},
		{name: "removal cut short before", prepare: both},
		{name: "the same removal, two renames", noExchange: true, mayBe: old, prepare: both},
		{name: "changed, by force", force: true, changed: true, mayBe: kept, prepare: changed},
		{name: "changed, by force, two renames", noExchange: true, force: true, changed: true, mayBe: kept, prepare: changed},
	}
}

// Every operation of a run fails in turn, in every way: the old folder or the new one stands whole, and the next run
// succeeds, keeps what must be kept and leaves nothing lying about.
func TestFaults(t *testing.T) {
	for _, s := range scenes() {
		for _, m := range []mode{fail, lie, kill, tear} {
			t.Run(s.name+"/"+string(m), func(t *testing.T) {
				if !s.noExchange {
					needExchange(t)
				}
				whole := &faultDisk{noExchange: s.noExchange}
				stood := map[string]int{s.run(t, whole): 1}
				for i, operation := range whole.log {
					if s.worthwhile(m, operation) {
						d := &faultDisk{at: i + 1, mode: m, noExchange: s.noExchange}
						stood[s.run(t, d)]++
						require.Equal(t, whole.log[:i+1], d.log[:i+1])
					}
				}
				assert.Positive(t, stood["old"], "the old folder never stood")
				assert.Positive(t, stood["new"], "the new folder never stood")
			})
		}
	}
}

// worthwhile leaves out what cannot differ: only writes and removals can be half done, and files are written in the same
// way in every scene, so that beyond the thorough ones the manifest stands for all of them.
func (s scene) worthwhile(m mode, operation string) bool {
	verb, name, _ := strings.Cut(operation, " ")
	switch {
	case m == tear:
		return verb == "remove" || verb == "write" && (s.thorough || name == ManifestName)
	case verb == "lock", verb == "rename", verb == "exchange", verb == "remove":
		return true
	case m == lie && verb == "sync", m == lie && verb == "syncdir":
		return false // a fault there is the same whether done or not
	case s.thorough, name == ManifestName:
		return true
	}
	return verb == "syncdir" && name != "figures" && name != ".out.new"
}

// needExchange skips a test where folders cannot be exchanged in one step.
func needExchange(t *testing.T) {
	t.Helper()
	base := t.TempDir()
	a, b := filepath.Join(base, "a"), filepath.Join(base, "b")
	require.NoError(t, os.Mkdir(a, 0o777))
	require.NoError(t, os.Mkdir(b, 0o777))
	if err := exchange(a, b); errors.Is(err, errors.ErrUnsupported) {
		t.Skip("folders cannot be exchanged in one step here")
	}
}

// run lets one run go wrong, then the next one go right, and tells which folder stood between them.
func (s scene) run(t *testing.T, d *faultDisk) string {
	base := filepath.Join(scratch(t), "shore")
	require.NoError(t, os.Mkdir(base, 0o777))
	dir := filepath.Join(base, "out")
	s.prepare(t, dir)
	before := tree(t, dir)
	if before == nil && len(s.mayBe) > 0 {
		before = tree(t, filepath.Join(base, s.mayBe[0]))
	}
	opt := Options{Force: s.force}

	err := write(d, dir, results("new"), manifest("new"), opt)
	where := fmt.Sprintf("%s at %d: %s", d.mode, d.at, strings.Join(d.log, ", "))
	if d.at > 0 && d.n >= d.at && err == nil {
		last := d.log[d.at-1]
		assert.Contains(t, []string{"remove .out.new", "remove .out.old"}, last, "a fault unseen: %s", where)
	}
	stood := s.standing(t, base, before)
	if stood == "" {
		t.Fatalf("neither folder stands whole: %s\n%v", where, tree(t, base))
	}
	if err == nil && stood != "new" {
		t.Fatalf("no error, but the old folder stands: %s", where)
	}

	next := &faultDisk{noExchange: s.noExchange}
	if err := write(next, dir, results("next"), manifest("next"), opt); err != nil {
		t.Fatalf("the next run fails: %v: %s", err, where)
	}
	require.Equal(t, written(t, "next"), tree(t, dir), where)
	kept := false
	for _, name := range names(t, base) {
		if strings.HasPrefix(name, "out.kept-") {
			kept = kept || maps.Equal(before, tree(t, filepath.Join(base, name)))
		} else if name != "out" {
			t.Fatalf("%s is left lying about: %s", name, where)
		}
	}
	require.Equal(t, s.changed, kept, where)
	return stood
}

// standing tells whether the old or the new folder stands whole.
func (s scene) standing(t *testing.T, base string, before map[string]string) string {
	at := tree(t, filepath.Join(base, "out"))
	switch {
	case same(at, written(t, "new")):
		return "new"
	case at == nil && before == nil, same(at, before):
		return "old"
	case at != nil:
		return ""
	}
	for _, name := range s.mayBe {
		if same(tree(t, filepath.Join(base, name)), before) {
			return "old"
		}
	}
	return ""
}

// A failure tells its cause, so that the command can explain it.
func TestFaultIsReported(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	err := write(&faultDisk{at: 3, mode: fail}, dir, results("new"), manifest("new"), Options{})
	assert.ErrorIs(t, err, os.ErrPermission)
	assert.ErrorContains(t, err, dir+": nothing was changed")
	assert.Empty(t, names(t, filepath.Dir(dir)), "the unfinished folder is cleared away at once")
}

// A change that somebody makes while the new folder is being written is noticed before the old one goes.
func TestChangeMeanwhile(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	mustWrite(t, dir, "old", Options{})
	d := &slowDisk{during: func() { put(t, filepath.Join(dir, "stock.csv"), "somebody's work") }}
	r := refusal(t, write(d, dir, results("new"), manifest("new"), Options{}))
	assert.Equal(t, []string{"stock.csv: changed since it was written"}, r.Files)
	assert.Equal(t, "somebody's work", tree(t, dir)["stock.csv"])
	assert.Equal(t, []string{"out"}, names(t, filepath.Dir(dir)))
}

// slowDisk lets something happen while the manifest is written.
type slowDisk struct {
	nosync
	during func()
}

func (d *slowDisk) Create(path string) (file, error) {
	if filepath.Base(path) == ManifestName {
		d.during()
	}
	return d.nosync.Create(path)
}

// Where both renames and the undoing fail, the error says where the earlier folder is.
func TestUndoFails(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	mustWrite(t, dir, "old", Options{})
	d := &deafDisk{faultDisk{noExchange: true}}
	err := write(d, dir, results("new"), manifest("new"), Options{})
	assert.ErrorContains(t, err, "the earlier folder is now "+filepath.Join(dir, "..", ".out.old"))
	_, err = Verify(dir)
	assert.ErrorContains(t, err, "the earlier results are in "+filepath.Join(dir, "..", ".out.old"))
	mustWrite(t, dir, "next", Options{})
}

// deafDisk refuses every rename to "out".
type deafDisk struct{ faultDisk }

func (d *deafDisk) Rename(a, b string) error {
	if filepath.Base(b) == "out" {
		return errFault
	}
	return d.faultDisk.Rename(a, b)
}

// A removal that fails at the end is told, but no failure: the new folder stands.
func TestRemovalFails(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	mustWrite(t, dir, "old", Options{})
	probe := &faultDisk{}
	require.NoError(t, write(probe, dir, results("old"), manifest("old"), Options{}))
	require.Equal(t, "remove .out.new", probe.log[probe.n-1])
	var notes []string
	opt := Options{Note: func(s string) { notes = append(notes, s) }}
	require.NoError(t, write(&faultDisk{at: probe.n, mode: fail}, dir, results("new"), manifest("new"), opt))
	require.Len(t, notes, 1)
	assert.Contains(t, notes[0], "could not be removed")
	assert.Equal(t, written(t, "new"), tree(t, dir))
}

// All files and folders are on the disk before the names are changed, the manifest is the last file, and the change is
// on the disk before the old folder is removed.
func TestOrderOnDisk(t *testing.T) {
	for _, noExchange := range []bool{true, false} {
		if !noExchange {
			needExchange(t)
		}
		dir := filepath.Join(t.TempDir(), "out")
		mustWrite(t, dir, "a", Options{})
		d := &faultDisk{noExchange: noExchange}
		require.NoError(t, write(d, dir, results("b"), manifest("b"), Options{}))
		want := []string{"lock .out.lock", "mkdir .out.new", "mkdir figures"}
		for _, name := range []string{"01-b.svg", "report.html", "stock.csv", "manifest.json"} {
			want = append(want, "create "+name, "write "+name, "sync "+name, "close "+name)
		}
		want = append(want, "syncdir .out.new", "syncdir figures")
		base := filepath.Base(filepath.Dir(dir))
		if noExchange {
			want = append(want, "rename out", "rename .out.new", "syncdir "+base, "remove .out.old")
		} else {
			want = append(want, "exchange .out.new", "syncdir "+base, "remove .out.new")
		}
		assert.Equal(t, want, d.log)
	}
}
