package archive

import (
	"archive/zip"
	"bytes"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// entry is a file of a zip that is made to be refused.
type entry struct {
	name string
	mode fs.FileMode
	text string
	flag uint16
}

func zipped(t *testing.T, entries ...entry) *bytes.Reader {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, e := range entries {
		h := &zip.FileHeader{Name: e.name, Method: zip.Deflate, Flags: e.flag}
		h.SetMode(e.mode | 0o644)
		w, err := z.CreateHeader(h)
		require.NoError(t, err)
		_, err = w.Write([]byte(e.text))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return bytes.NewReader(b.Bytes())
}

// What leads out of a folder, is no plain file, or grows out of all measure is refused.
func TestUnzipRefuses(t *testing.T) {
	few := limits{entries: 3, bytes: 1000}
	for _, c := range []struct {
		want    string
		entries []entry
	}{
		{`holds a file named "../meta.xml", which leads out of its folder`, []entry{{name: "../meta.xml"}}},
		{`holds a file named "a/../../b", which leads out of its folder`, []entry{{name: "a/../../b"}}},
		{`holds a file named "/etc/x", which leads out of its folder`, []entry{{name: "/etc/x"}}},
		{`holds a file named "a\\..\\..\\b", which leads out of its folder`, []entry{{name: `a\..\..\b`}}},
		{`holds a file named "C:x", which leads out of its folder`, []entry{{name: "C:x"}}},
		{"holds link, which is no plain file", []entry{{name: "link", mode: fs.ModeSymlink, text: "/etc/passwd"}}},
		{"holds a twice", []entry{{name: "a"}, {name: "a"}}},
		{"holds 4 files: more than 3 are refused", []entry{{name: "a"}, {name: "b"}, {name: "c"}, {name: "d"}}},
		{"b: with this the archive is larger than is read: unpacked, at most 2 GiB", []entry{{name: "a", text: strings.Repeat("0", 600)}, {name: "b", text: strings.Repeat("0", 401)}}},
		{"holds a under a password", []entry{{name: "a", flag: 1}}},
	} {
		r := zipped(t, c.entries...)
		_, err := unzip(r, r.Size(), few)
		assert.EqualError(t, err, c.want)
	}
	_, err := unzip(strings.NewReader("PK no zip"), 9, few)
	assert.ErrorContains(t, err, "is not a zip file that can be read")

	r := zipped(t, entry{name: "d/", mode: fs.ModeDir}, entry{name: "d/a", text: strings.Repeat("0", 1000)})
	all, err := unzip(r, r.Size(), few)
	require.NoError(t, err)
	assert.Len(t, all, 1, "a folder is no file, and the limit itself is allowed")
}

// A header that lies about the size changes nothing: what is read is counted. A torn file is an error.
func TestUnzipCountsWhatItReads(t *testing.T) {
	r := zipped(t, entry{name: "a", text: strings.Repeat("0", 5000)})
	text := make([]byte, r.Size())
	_, err := r.ReadAt(text, 0)
	require.NoError(t, err)
	at := bytes.LastIndex(text, []byte("PK\x01\x02"))
	copy(text[at+24:], []byte{10, 0, 0, 0}) // uncompressed size, in the directory at the end
	_, err = unzip(bytes.NewReader(text), int64(len(text)), limits{entries: 3, bytes: 1000})
	assert.Error(t, err)
	_, err = unzip(bytes.NewReader(text[:len(text)/2]), int64(len(text)/2), limits{entries: 3, bytes: 1000})
	assert.Error(t, err)
}

// An archive whose files lie in one folder is read like one without.
func TestFolderWithinTheZip(t *testing.T) {
	_, packed := pack(t, folderOf(small()), plainOptions())
	all, err := unzip(bytes.NewReader(packed), int64(len(packed)), limits{maxEntries, maxUnzip})
	require.NoError(t, err)
	moved := files{}
	for name, text := range all {
		moved["an archive/"+name] = text
	}
	r, err := understand(moved, speciesTable(t))
	require.NoError(t, err)
	assert.Equal(t, open(t, packed).Files, r.Files)
	assert.Empty(t, r.Unused)
}

// What bedstock carries beside its archive does not take the place of the events, and strange files are named.
func TestCarriedFilesAreKnown(t *testing.T) {
	_, packed := pack(t, folderOf(small()), plainOptions())
	all, err := unzip(bytes.NewReader(packed), int64(len(packed)), limits{maxEntries, maxUnzip})
	require.NoError(t, err)
	all["bedstock/quadrats.csv"] = []byte("bed\n")
	all["bedstock/run.sh"] = []byte("x")
	r, err := understand(all, speciesTable(t))
	require.NoError(t, err)
	assert.Equal(t, open(t, packed).Files, r.Files)
	assert.Equal(t, []string{"file bedstock/quadrats.csv: not one that is taken from there", "file bedstock/run.sh: not one that is taken from there"}, r.Unused)
}
