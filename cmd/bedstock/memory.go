package main

import (
	"io/fs"
	"runtime/debug"
)

// largeFolder is how many bytes the files of a folder hold at which memory counts for more than time: about three million
// rows of quadrats.
const largeFolder = 256 << 20

// spareMemory has garbage collected more often where a folder is large. By default as much garbage as what is in use may
// gather, which for a folder of a gigabyte is gigabytes; most of what is in use are columns of numbers, which the
// collector need not look through, so that it costs little to come more often.
func spareMemory(fsys fs.FS) {
	if folderBytes(fsys) >= largeFolder {
		debug.SetGCPercent(20)
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
