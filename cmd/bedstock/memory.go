package main

import (
	"fmt"
	"io/fs"
	"math"
	"path/filepath"
	"runtime/debug"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/model"
)

const (
	// largeFolder is how many bytes the files of a folder hold at which memory counts for more than time: about three
	// million rows of quadrats.
	largeFolder = 256 << 20

	// Of a smaller folder memory is held to roomyMemory bytes, or so many times what its files hold, where there is garbage
	// to collect for it: a gigabyte for a million rows.
	roomyMemory, perByte = 850 << 20, 12

	// The same of a larger one.
	largeMemory, perLargeByte = 3000 << 20, 3
)

// spareMemory has garbage collected more often where memory would grow large. By default as much garbage as what is in use
// may gather, which for a folder of a gigabyte is gigabytes; most of what is in use are columns of numbers, which the
// collector need not look through, so that it costs little to come more often.
//
// It tells whether the folder is large.
func spareMemory(fsys fs.FS) (large bool) {
	bytes := folderBytes(fsys)
	limit := max(roomyMemory, perByte*bytes)
	if large = bytes >= largeFolder; large {
		debug.SetGCPercent(20)
		limit = max(largeMemory, perLargeByte*bytes)
	}
	if debug.SetMemoryLimit(-1) == math.MaxInt64 { // nobody has set another
		debug.SetMemoryLimit(limit)
	}
	return large
}

// thriftyMemory is how many bytes in memory the report of a large folder may take before it lets go of draws that stand in a file.
const thriftyMemory = 2500 << 20

// thrift is for the report of a large folder to be written to a folder; a report in which figures show the draws of each stand needs
// them all.
func (o *opened) thrift(e *env, out string, figures report.Drawn) *model.Thrift {
	if !o.large || figures == report.DrawAll {
		return nil
	}
	return &model.Thrift{Folder: filepath.Dir(filepath.Clean(out)), Memory: thriftyMemory,
		Fault: func(err error) { e.note(fmt.Sprintf("all stays in memory, as no file for draws can be made: %v", err)) }}
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
