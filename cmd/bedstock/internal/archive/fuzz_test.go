package archive

import (
	"archive/zip"
	"bytes"
	"math"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

// thrifty fails where reading so many bytes takes more memory than 64 times as much and 8 MiB. What is taken is
// counted for the whole program, so a first look that is too high is taken again.
func thrifty(t *testing.T, size int, read func()) {
	t.Helper()
	took := uint64(math.MaxUint64)
	most := 8<<20 + 64*uint64(size)
	for range 3 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		read()
		runtime.ReadMemStats(&after)
		if took = min(took, after.TotalAlloc-before.TotalAlloc); took <= most {
			return
		}
	}
	t.Errorf("%d bytes took %d bytes of memory", size, took)
}

// Any bytes as a zip: it is unpacked within its limits or refused, and what is unpacked has names that stay in a folder.
func FuzzUnzip(f *testing.F) {
	_, packed := pack(f, folderOf(small()), plainOptions())
	f.Add(packed)
	f.Add(packed[:len(packed)/2])
	f.Add([]byte("PK\x05\x06" + string(make([]byte, 18))))
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range []string{"meta.xml", "../x", "d/"} {
		w, err := z.Create(name)
		require.NoError(f, err)
		_, _ = w.Write([]byte("0000000000000000000000"))
	}
	require.NoError(f, z.Close())
	f.Add(b.Bytes())
	table := speciesTable(f)
	f.Fuzz(func(t *testing.T, text []byte) {
		all, err := unzip(bytes.NewReader(text), int64(len(text)), limits{maxEntries, maxUnzip})
		if (all == nil) != (err != nil) {
			t.Fatal(all, err)
		}
		size := len(text)
		for _, text := range all {
			size += len(text)
		}
		thrifty(t, size, func() { _, _ = Open(bytes.NewReader(text), int64(len(text)), table) })
	})
}

// Any meta.xml and tables beside it: they make a survey folder that can be checked, or are refused, twice alike.
func FuzzUnderstand(f *testing.F) {
	_, packed := pack(f, folderOf(small()), plainOptions())
	own, err := unzip(bytes.NewReader(packed), int64(len(packed)), limits{maxEntries, maxUnzip})
	require.NoError(f, err)
	f.Add(own["meta.xml"], own["event.txt"], own["occurrence.txt"], own["extendedmeasurementorfact.txt"])
	shore := shoreArchive()
	f.Add(shore["meta.xml"], shore["event.csv"], shore["occ.csv"], shore["emof.csv"])
	f.Add([]byte("<archive><core><files><location>event.csv</location></files><id index='0'/></core></archive>"), []byte("a\nb\n"), []byte{}, []byte{})
	table := speciesTable(f)
	f.Fuzz(func(t *testing.T, meta, event, occurrence, fact []byte) {
		archive := func() files {
			return files{"meta.xml": meta, "event.txt": event, "occurrence.txt": occurrence, "extendedmeasurementorfact.txt": fact,
				"event.csv": event, "occ.csv": occurrence, "emof.csv": fact}
		}
		var r *Read
		var err error
		thrifty(t, len(meta)+2*(len(event)+len(occurrence)+len(fact)), func() { r, err = understand(archive(), table) })
		if (r == nil) != (err != nil) {
			t.Fatal(r, err)
		}
		if err != nil {
			return
		}
		again, err := understand(archive(), table)
		require.NoError(t, err)
		require.Equal(t, r.Files, again.Files)
		folder, err := survey.Read(asFS(r), table, survey.DefaultOptions())
		if folder == nil && err == nil {
			t.Fatal("neither a folder nor what is wrong with it")
		}
	})
}
