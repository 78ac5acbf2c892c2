//go:build unix

// Package fence puts the numbers of a test where the program ends if what lies behind them is read or written: that loops in
// assembly keep to their slices is seen by no other check.
package fence

import (
	"os"
	"syscall"
	"testing"
	"unsafe"
)

// Before is a copy of x that ends where memory that may not be touched begins. It is given back after the test; the numbers may
// hold no pointers.
func Before[T any](t testing.TB, x []T) []T {
	t.Helper()
	page, size := os.Getpagesize(), len(x)*int(unsafe.Sizeof(*new(T)))
	fence := (size + page) / page * page // holds a byte at least
	m, err := syscall.Mmap(-1, 0, fence+page, syscall.PROT_READ|syscall.PROT_WRITE, syscall.MAP_ANON|syscall.MAP_PRIVATE)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = syscall.Munmap(m) })
	if err := syscall.Mprotect(m[fence:], syscall.PROT_NONE); err != nil {
		t.Fatal(err)
	}
	y := unsafe.Slice((*T)(unsafe.Pointer(&m[fence-size])), len(x))
	copy(y, x)
	return y
}
