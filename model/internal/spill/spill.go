// Package spill keeps large slices of numbers in a file instead of in memory, where the machine has a way to do so. They are slices
// like any other: what is not looked at for a while waits in the file, and comes back when it is looked at.
package spill

import (
	"reflect"
	"slices"
	"sync"
	"unsafe"
)

// File holds slices outside of memory. A nil File is one that holds none: it makes all in memory. Its methods may be called from
// any goroutine.
type File struct {
	mu   sync.Mutex
	mem  []byte        // all that the file may come to hold, of which the machine keeps in memory what it likes
	used int           // bytes of it handed out
	free map[int][]int // where slices of so many bytes begin that were given back
	ease func()        // lets go of what stands in it, where the program holds more than the limit
	back func(bytes int) bool
	end  func()
}

// align is the boundary that slices begin on, so that each has pages of its own.
const align = 1 << 12

// Floats is a slice of n numbers, which mean nothing. It is made in memory where the file can hold no more, as when the disk is full.
func (s *File) Floats(n int) []float64 {
	if s == nil || n*8 < align {
		return make([]float64, n)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	at, ok := s.place(aligned(n))
	if !ok {
		return make([]float64, n)
	}
	return unsafe.Slice((*float64)(unsafe.Pointer(&s.mem[at])), n)
}

// Bytes is a slice of n bytes, as Floats has it.
func (s *File) Bytes(n int) []byte {
	if s == nil || n == 0 {
		return make([]byte, n)
	}
	x := s.Floats((n + 7) / 8)
	return unsafe.Slice((*byte)(unsafe.Pointer(&x[0])), n)
}

// piece is how much is copied before the use of memory is looked at: a copy of a gigabyte at once would keep the one who watches from it.
const piece = 16 << 20

// Join is a copy of parts, one behind the other, as Bytes has it.
func (s *File) Join(parts ...[]byte) []byte {
	n, at := 0, 0
	for _, part := range parts {
		n += len(part)
	}
	out := s.Bytes(n)
	for _, part := range parts {
		for p := range slices.Chunk(part, piece) {
			at += copy(out[at:], p)
			if s != nil {
				s.ease()
			}
		}
	}
	return out
}

// aligned is how many bytes n numbers take.
func aligned(n int) int { return (n*8 + align - 1) &^ (align - 1) }

// place is where so many bytes are free; false where there is no room for them.
func (s *File) place(bytes int) (at int, ok bool) {
	if k := len(s.free[bytes]) - 1; k >= 0 {
		at = s.free[bytes][k]
		s.free[bytes] = s.free[bytes][:k]
		return at, true
	}
	if s.used+bytes > len(s.mem) || !s.back(s.used+bytes) {
		return 0, false
	}
	at = s.used
	s.used += bytes
	return at, true
}

// Free gives a whole slice of [File.Floats] back, which must not be used again; one in memory is left to the garbage collector.
func (s *File) Free(x []float64) {
	if s == nil || cap(x) == 0 {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	from, to := uintptr(unsafe.Pointer(unsafe.SliceData(s.mem))), uintptr(unsafe.Pointer(unsafe.SliceData(x)))
	if to < from || to >= from+uintptr(s.used) {
		return
	}
	bytes := aligned(cap(x))
	s.free[bytes] = append(s.free[bytes], int(to-from))
}

// Close lets go of the file. No slice of it may be used any more.
func (s *File) Close() {
	if s != nil {
		s.end()
	}
}

// Columns takes the slices of numbers that a struct holds to the file, where they must only be read; other fields stay as they are.
func Columns[T any](s *File, of *T) {
	if s == nil {
		return
	}
	v := reflect.ValueOf(of).Elem()
	for _, f := range v.Fields() {
		if f.Kind() != reflect.Slice || f.Len() == 0 || f.Type().Elem().Kind() > reflect.Complex128 {
			continue
		}
		room := s.Bytes(f.Len() * int(f.Type().Elem().Size()))
		to := reflect.SliceAt(f.Type().Elem(), unsafe.Pointer(&room[0]), f.Len())
		reflect.Copy(to, f)
		f.Set(to)
	}
}
