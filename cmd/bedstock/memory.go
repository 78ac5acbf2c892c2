package main

import (
	"io/fs"
	"math"
	"runtime/debug"
)

const (
	// largeFolder is how many bytes the files of a folder hold at which memory counts for more than time: about three
	// million rows of quadrats.
	largeFolder = 256 << 20

	// Of a smaller folder memory is held to roomyMemory bytes, or so many times what its files hold, where there is garbage
	// to collect for it: a gigabyte for a million rows.
	roomyMemory, perByte = 850 << 20, 12
)

// spareMemory has garbage collected more often where memory would grow large. By default as much garbage as what is in use
// may gather, which for a folder of a gigabyte is gigabytes; most of what is in use are columns of numbers, which the
// collector need not look through, so that it costs little to come more often.
func spareMemory(fsys fs.FS) {
	switch bytes := folderBytes(fsys); {
	case bytes >= largeFolder:
		debug.SetGCPercent(20)
	case debug.SetMemoryLimit(-1) == math.MaxInt64: // nobody has set another
		debug.SetMemoryLimit(max(roomyMemory, perByte*bytes))
	}
}

// folderBytes is what the files of a folder hold; what cannot be read is told when it is read.
func folderBytes(fsys fs.FS) (sum int64) {
	files, _ := fs.ReadDir(fsys, ".")
	for _, f := range files {
		if info, err := f.Info(); err == nil && info.Mode().IsRegular() {
			sum += info.Size()
		}
	}
	return sum
}
