package archive

import (
	"archive/zip"
	"bytes"
	"maps"
	"slices"
	"time"
)

// Count is a table of what was written, and how many rows it has.
type Count struct {
	File string
	Rows int
}

// carriedFolder holds, within an archive, the tables of the survey folder that its terms have no words for.
const carriedFolder = "bedstock/"

// Zip is the archive as a file, and the rows of its tables. The same archive gives the same bytes.
func (a *Archive) Zip() ([]byte, []Count, error) {
	sheets := a.sheets()
	files := map[string][]byte{"meta.xml": metaXML(sheets), "eml.xml": a.emlXML()}
	var counts []Count
	for _, s := range sheets {
		files[s.file] = s.text()
		counts = append(counts, Count{s.file, len(s.rows)})
	}
	for _, c := range a.Carried {
		files[carriedFolder+c.File()] = c.Bytes()
		if c.Text == nil {
			counts = append(counts, Count{carriedFolder + c.File(), len(c.Rows)})
		}
	}
	zipped, err := zipOf(files)
	return zipped, counts, err
}

// theTime of every file in a zip: the earliest that a zip can say, so that the bytes tell nothing of the clock.
var theTime = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// zipOf packs files, sorted by name.
func zipOf(files map[string][]byte) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range slices.Sorted(maps.Keys(files)) {
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: theTime})
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(files[name]); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
