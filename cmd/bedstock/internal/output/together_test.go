package output

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gofrs/flock"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBusy(t *testing.T) {
	above := t.TempDir()
	dir := filepath.Join(above, "out")
	mustWrite(t, dir, "one", Options{})
	lock := flock.New(filepath.Join(above, ".out.lock"))
	ok, err := lock.TryLock()
	require.NoError(t, err)
	require.True(t, ok)
	err = Write(dir, results("two"), manifest("two"), Options{Force: true})
	assert.ErrorIs(t, err, ErrBusy)
	assert.ErrorContains(t, err, dir)
	assert.Equal(t, written(t, "one"), tree(t, dir))
	require.NoError(t, lock.Close())
	mustWrite(t, dir, "two", Options{})
}

// Writers at the same time either write or are told that another does; each result is whole.
func TestWritersTogether(t *testing.T) {
	above := t.TempDir()
	dir := filepath.Join(above, "out")
	var done, busy atomic.Int64
	var wg sync.WaitGroup
	for i := range 4 {
		wg.Go(func() {
			mark := fmt.Sprint("w", i)
			for range 15 {
				switch err := write(nosync{}, dir, results(mark), manifest(mark), Options{}); {
				case err == nil:
					done.Add(1)
				case errors.Is(err, ErrBusy):
					busy.Add(1)
				default:
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	t.Logf("%d written, %d busy", done.Load(), busy.Load())
	assert.Positive(t, done.Load())
	problems, err := Verify(dir)
	require.NoError(t, err)
	assert.Empty(t, problems)
	assert.Equal(t, []string{"out"}, names(t, above))
}

// However often the lock file is removed and made again, one holds the lock at a time.
func TestLockExcludes(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	var holders, taken atomic.Int64
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for range 1000 {
				unlock, err := osDisk{}.Lock(path)
				if errors.Is(err, ErrBusy) {
					continue
				}
				if err != nil {
					t.Error(err)
					return
				}
				if holders.Add(1) > 1 {
					t.Error("two hold the lock")
				}
				runtime.Gosched()
				taken.Add(1)
				holders.Add(-1)
				unlock()
			}
		})
	}
	wg.Wait()
	assert.Positive(t, taken.Load())
}

// Where folders can be exchanged, one that reads while another writes always finds a folder.
func TestFolderNeverAbsent(t *testing.T) {
	needExchange(t)
	dir := filepath.Join(t.TempDir(), "out")
	mustWrite(t, dir, "old", Options{})
	var stop atomic.Bool
	var looks int
	var wg sync.WaitGroup
	wg.Go(func() {
		for !stop.Load() {
			if _, err := os.Stat(filepath.Join(dir, ManifestName)); err != nil {
				t.Error(err)
				return
			}
			looks++
		}
	})
	for range 30 {
		if err := write(nosync{}, dir, results("new"), manifest("new"), Options{}); err != nil {
			t.Error(err)
		}
	}
	stop.Store(true)
	wg.Wait()
	assert.Positive(t, looks)
}

// childEnv makes the test binary a process that writes to the folder in it, again and again, until it is killed.
const childEnv = "BEDSTOCK_TEST_WRITE_TO"

func TestMain(m *testing.M) {
	if dir := os.Getenv(childEnv); dir != "" {
		for i := 0; ; i++ {
			mark := fmt.Sprint("c", i%2)
			if err := write(nosync{}, dir, results(mark), manifest(mark), Options{}); err != nil {
				fmt.Fprintln(os.Stderr, err)
				os.Exit(1)
			}
		}
	}
	os.Exit(m.Run())
}

// A real process killed at some moment leaves a whole folder, and no lock that lasts.
func TestKilledProcess(t *testing.T) {
	needExchange(t)
	self, err := os.Executable()
	require.NoError(t, err)
	above := t.TempDir()
	dir := filepath.Join(above, "out")
	for i := range 8 {
		mustWrite(t, dir, "start", Options{})
		child := exec.Command(self)
		child.Env = append(os.Environ(), childEnv+"="+dir)
		require.NoError(t, child.Start())
		require.Eventually(t, func() bool { // until it has written once
			m, err := os.ReadFile(filepath.Join(dir, "report.html"))
			return err == nil && string(m) != "<p>start</p>"
		}, 10*time.Second, time.Millisecond)
		time.Sleep(time.Duration(i) * 1700 * time.Microsecond)
		require.NoError(t, child.Process.Kill())
		require.Error(t, child.Wait())
		assert.False(t, child.ProcessState.Exited(), "it ended by itself")
		got := tree(t, dir)
		assert.True(t, same(got, written(t, "c0")) || same(got, written(t, "c1")), "%v", got)
	}
	mustWrite(t, dir, "end", Options{})
	assert.Equal(t, []string{"out"}, names(t, above))
}
