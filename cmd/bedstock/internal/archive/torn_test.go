package archive

import (
	"bytes"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

// Whatever was torn, swapped or lost in the tables of an archive, it is read or refused, and what is made of it is a survey
// folder that can be checked: with mistakes perhaps, but never a crash.
func TestTornArchives(t *testing.T) {
	table := speciesTable(t)
	_, packed := pack(t, folderOf(small()), plainOptions())
	own, err := unzip(bytes.NewReader(packed), int64(len(packed)), limits{maxEntries, maxUnzip})
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(1, 2))
	read := 0
	for range 400 {
		for _, whole := range []files{shoreArchive(), own} {
			all := files{}
			for _, name := range sorted(whole) {
				all[name] = torn(r, bytes.Clone(whole[name]))
			}
			back, err := understand(all, table)
			if err != nil {
				continue
			}
			read++
			f, err := survey.Read(asFS(back), table, survey.DefaultOptions())
			assert.True(t, f != nil || err != nil)
		}
	}
	assert.Greater(t, read, 20, "some are whole enough to be read")
}

// torn changes, cuts or swaps up to two places of a text.
func torn(r *rand.Rand, text []byte) []byte {
	for range r.IntN(3) {
		if len(text) == 0 {
			break
		}
		i, j := r.IntN(len(text)), r.IntN(len(text))
		switch r.IntN(3) {
		case 0:
			text[i] = byte(r.IntN(256))
		case 1:
			text = append(text[:i:i], text[min(len(text), i+1+r.IntN(20)):]...)
		case 2:
			text[i], text[j] = text[j], text[i]
		}
	}
	return text
}
