package spill

import (
	"fmt"
	"math"
	"os"
	"sync"
	"time"

	"golang.org/x/sys/unix"
)

const (
	// most is how much a file may come to hold, of which no more is taken than is used.
	most = min(1<<40, math.MaxInt)

	// step is how much of the disk is taken at once.
	step = 256 << 20

	// slack is how much more must be in memory than when the file was let go of last, before it is again.
	slack = 64 << 20

	// watched is how long it takes until the use of memory is looked at again. Whoever reads little of each slice has gigabytes a second
	// come into memory, as pages come sixteen at a time.
	watched = 5 * time.Millisecond
)

// Open makes a file in a folder, which nobody else sees and of which nothing stays behind however the program ends. From so many
// bytes in memory on, of the whole program, what stands in the file is let go of.
func Open(dir string, limit int) (*File, error) {
	f, err := os.CreateTemp(dir, ".bedstock-spill-")
	if err != nil {
		return nil, err
	}
	if err := os.Remove(f.Name()); err != nil {
		f.Close()
		return nil, err
	}
	mem, err := unix.Mmap(int(f.Fd()), 0, most, unix.PROT_READ|unix.PROT_WRITE, unix.MAP_SHARED|unix.MAP_NORESERVE)
	if err != nil {
		f.Close()
		return nil, err
	}
	backed, stop := 0, make(chan struct{})
	s := &File{mem: mem, free: map[int][]int{}}
	s.back = func(bytes int) bool { // a page with nothing of the disk behind it would end the program
		if bytes <= backed {
			return true
		}
		more := max(step, bytes-backed)
		if unix.Fallocate(int(f.Fd()), 0, int64(backed), int64(more)) != nil {
			return false
		}
		backed += more
		return true
	}
	var watching sync.WaitGroup
	s.end = sync.OnceFunc(func() {
		close(stop)
		watching.Wait()
		_ = unix.Munmap(mem)
		f.Close()
	})
	s.ease = func() {
		if resident() >= limit {
			s.letGo()
		}
	}
	watching.Go(func() { s.watch(limit, stop) })
	return s, nil
}

// watch lets go of what stands in the file whenever the program holds more memory than the limit, and more than
// when it last did so.
func (s *File) watch(limit int, stop chan struct{}) {
	tick := time.NewTicker(watched)
	defer tick.Stop()
	least := 0
	for {
		select {
		case <-stop:
			return
		case <-tick.C:
		}
		if resident() < max(limit, least) {
			continue
		}
		if s.letGo() && limit > 0 { // none: always
			least = resident() + slack
		}
	}
}

// letGo lets go of what stands in the file; false: nothing does.
func (s *File) letGo() bool {
	s.mu.Lock()
	used := s.used
	s.mu.Unlock()
	if used > 0 {
		_ = unix.Madvise(s.mem[:used], unix.MADV_DONTNEED) // of a shared file this loses nothing
	}
	return used > 0
}

// resident is how many bytes of memory the program holds.
func resident() int {
	text, err := os.ReadFile("/proc/self/statm")
	if err != nil {
		return 0
	}
	var all, held int // pages
	if _, err := fmt.Sscan(string(text), &all, &held); err != nil {
		return 0
	}
	return held * os.Getpagesize()
}
