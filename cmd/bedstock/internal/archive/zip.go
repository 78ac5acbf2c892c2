package archive

import (
	"archive/zip"
	"bytes"
	"io"
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
	files := map[string]content{"meta.xml": bytesOf(metaXML(sheets)), "eml.xml": bytesOf(a.emlXML())}
	var counts []Count
	for _, s := range sheets {
		files[s.file] = s.write
		counts = append(counts, Count{s.file, s.n})
	}
	for _, c := range a.Carried {
		files[carriedFolder+c.File()] = bytesOf(c.Bytes())
		if c.Text == nil {
			counts = append(counts, Count{carriedFolder + c.File(), len(c.Rows)})
		}
	}
	zipped, err := zipOf(files)
	return zipped, counts, err
}

// theTime of every file in a zip: the earliest that a zip can say, so that the bytes tell nothing of the clock.
var theTime = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// content writes a file.
type content func(io.Writer) error

// bytesOf is the content of a file that is made already.
func bytesOf(text []byte) content {
	return func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	}
}

// zipOf packs files, sorted by name.
func zipOf(files map[string]content) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range slices.Sorted(maps.Keys(files)) {
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: theTime})
		if err != nil {
			return nil, err
		}
		if err := files[name](w); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
