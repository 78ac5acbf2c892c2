package main

import (
	"bytes"
	"crypto/sha256"
	"flag"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// kills is how many times the program is killed; .ci/long/kills runs 200.
var kills = flag.Int("kills", 2, "how many times report is killed")

// killedShore writes a small survey folder and gives a command that makes the report of it in dir from a seed.
func killedShore(t *testing.T) (report func(dir string, seed int) *exec.Cmd) {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("a program is ended in another way there")
	}
	shore := filepath.Join(t.TempDir(), "shore")
	require.NoError(t, os.Mkdir(shore, 0o777))
	for name, text := range map[string]string{
		"beds.csv": "bed,area_m2\nSkarn,1200\n",
		"quadrats.csv": "bed,date,quadrat,quadrat_m2,species,cover_pct,biomass_g\nSkarn,2030-06-01,1,0.25,Fucus serratus,60,812\n" +
			"Skarn,2030-06-01,2,0.25,Fucus serratus,35,470\nSkarn,2030-06-01,3,0.25,Fucus serratus,45,570\n",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(shore, name), []byte(text), 0o666))
	}
	program, err := exec.LookPath("bedstock")
	require.NoError(t, err)
	return func(dir string, seed int) *exec.Cmd {
		return exec.Command(program, "report", shore, "-q", "-o", dir, "--draws", "400", "--on", "2030-06-02", "--seed", fmt.Sprint(seed))
	}
}

// treeSum is one sum of the names and bytes of all files of a folder; empty where there is none.
func treeSum(t *testing.T, dir string) string {
	t.Helper()
	if _, err := os.Stat(dir); err != nil {
		return ""
	}
	sum := sha256.New()
	require.NoError(t, fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(filepath.Join(dir, name))
		fmt.Fprintf(sum, "%s %d\n%s", name, len(data), data)
		return err
	}))
	return fmt.Sprintf("%x", sum.Sum(nil))
}

// legal makes the report of two seeds and gives their sums.
func legal(t *testing.T, report func(string, int) *exec.Cmd) (sums map[string]int, took time.Duration) {
	t.Helper()
	sums = map[string]int{}
	for seed := 1; seed <= 2; seed++ {
		dir := filepath.Join(t.TempDir(), "out")
		start := time.Now()
		out, err := report(dir, seed).CombinedOutput()
		require.NoError(t, err, "%s", out)
		took = time.Since(start)
		sums[treeSum(t, dir)] = seed
	}
	require.Len(t, sums, 2)
	return sums, took
}

// The program is killed at random moments, half of them while it writes: what stands is the old report or the new one,
// whole, and a run after it succeeds and leaves nothing lying about.
func TestKilledReport(t *testing.T) {
	report := killedShore(t)
	sums, took := legal(t, report)
	above := t.TempDir()
	dir := filepath.Join(above, "out")
	out, err := report(dir, 1).CombinedOutput()
	require.NoError(t, err, "%s", out)
	rng := rand.New(rand.NewPCG(1, 2))
	stood, ended := map[string]int{}, 0
	for i := range *kills {
		before := sums[treeSum(t, dir)]
		cmd := report(dir, 3-before)
		require.NoError(t, cmd.Start())
		if i%2 == 0 {
			time.Sleep(time.Duration(rng.Float64() * float64(took)))
		} else {
			for deadline := time.Now().Add(10 * time.Second); time.Now().Before(deadline); { // until it writes
				if _, err := os.Lstat(filepath.Join(above, ".out.new")); err == nil {
					break
				}
				time.Sleep(100 * time.Microsecond)
			}
			time.Sleep(time.Duration(rng.Float64() * float64(80*time.Millisecond)))
		}
		if cmd.Process.Kill() != nil {
			ended++
		}
		if cmd.Wait() == nil {
			ended++
		}
		switch seed := sums[treeSum(t, dir)]; seed {
		case 0:
			t.Fatalf("kill %d: neither the old nor the new report stands", i)
		case before:
			stood["old"]++
		default:
			stood["new"]++
		}
	}
	t.Logf("%d kills: the old report stood %d times, the new one %d times; %d runs had ended before", *kills, stood["old"], stood["new"], ended)
	if *kills >= 20 { // of a few, all may come late
		assert.Positive(t, stood["old"])
	}
	out, err = report(dir, 1).CombinedOutput()
	require.NoError(t, err, "%s", out)
	assert.Equal(t, 1, sums[treeSum(t, dir)])
	assertOnly(t, above, "out")
}

func assertOnly(t *testing.T, dir string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	assert.Equal(t, names, got)
}

// Of two runs at once into one folder each writes whole or says that the other writes.
func TestTwoReportsAtOnce(t *testing.T) {
	report := killedShore(t)
	sums, _ := legal(t, report)
	above := t.TempDir()
	dir := filepath.Join(above, "out")
	a, b := report(dir, 1), report(dir, 2)
	var said [2]bytes.Buffer
	a.Stderr, b.Stderr = &said[0], &said[1]
	require.NoError(t, a.Start())
	require.NoError(t, b.Start())
	wrote := 0
	for i, cmd := range []*exec.Cmd{a, b} {
		if cmd.Wait() == nil {
			wrote++
		} else {
			assert.Contains(t, said[i].String(), "another run is writing to this folder")
		}
	}
	assert.Positive(t, wrote)
	assert.NotZero(t, sums[treeSum(t, dir)])
	assertOnly(t, above, "out")
}

// tmpfs mounts a file system of so many KiB; the test is skipped where that is not allowed.
func tmpfs(t *testing.T, kib int) string {
	t.Helper()
	dir := t.TempDir()
	if runtime.GOOS != "linux" || os.Getuid() != 0 {
		t.Skip("only root can mount a small file system")
	}
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", fmt.Sprintf("size=%dk", kib), "none", dir).CombinedOutput(); err != nil {
		t.Skipf("a small file system cannot be mounted here: %s", strings.TrimSpace(string(out)))
	}
	t.Cleanup(func() { assert.NoError(t, exec.Command("umount", dir).Run()) })
	return dir
}

// A full disk, wherever it fills up, and one that cannot be written leave the old report, and a message.
func TestFullDisk(t *testing.T) {
	report := killedShore(t)
	sums, _ := legal(t, report)
	disk := tmpfs(t, 64<<10)
	dir := filepath.Join(disk, "out")
	out, err := report(dir, 1).CombinedOutput()
	require.NoError(t, err, "%s", out)
	used, err := exec.Command("du", "-sk", disk).Output()
	require.NoError(t, err)
	var kib int
	_, err = fmt.Sscan(string(used), &kib)
	require.NoError(t, err)
	for _, room := range []int{0, kib / 3, kib * 9 / 10} {
		resize(t, disk, fmt.Sprintf("remount,size=%dk", kib+room))
		out, err := report(dir, 2).CombinedOutput()
		assert.Error(t, err)
		assert.Contains(t, string(out), "no space left on device")
		assert.Equal(t, 1, sums[treeSum(t, dir)], "room for %d of %d KiB", room, kib)
		assertOnly(t, disk, "out")
	}
	resize(t, disk, "remount,ro,size=65536k")
	out, err = report(dir, 2).CombinedOutput()
	assert.Error(t, err)
	assert.Contains(t, string(out), "read-only file system")
	assert.Equal(t, 1, sums[treeSum(t, dir)])
	resize(t, disk, "remount,rw,size=65536k")
	out, err = report(dir, 2).CombinedOutput()
	require.NoError(t, err, "%s", out)
	assert.Equal(t, 2, sums[treeSum(t, dir)])
}

func resize(t *testing.T, disk, options string) {
	t.Helper()
	out, err := exec.Command("mount", "-o", options, disk).CombinedOutput()
	require.NoError(t, err, "%s", out)
}
