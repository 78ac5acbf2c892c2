package survey

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Rows set aside are left out before anything is said of them, and counted.
func TestReadSetsRowsAside(t *testing.T) {
	texts := smallFolder()
	texts["quadrats.csv"] = "bed,date,quadrat,quadrat_m2,species,cover_pct\n" +
		"Skarn,2030-06-01,1,0.25,Fucus serratus,50\n" +
		"Skarn,2030-06-01,2,0.25,fucus  serratus,500\n" + // by quadrat
		"Skarn,2030-06-02,3,0.25,Ulva,5\n" +
		"Skarn,2030-06-02,3,0.25,Fucus serratus,5\n" + // by date and species
		"Skarn,soon,4,0.25,Fucus serratus,5\n" // by quadrat
	texts["harvest.csv"] += "Nowhere,2030-05-01,,Fucus serratus,-4,,,,\n"
	texts["setaside.csv"] = "file,bed,date,quadrat,species,reason\n" +
		"quadrats.csv,,,2,,typing\n" +
		"quadrats.csv,Skarn,2030-06-02,,FUCUS serratus,doubtful\n" +
		"quadrats.csv,Skarn,,4,,no date\n" +
		"harvest.csv,Nowhere,,,,another shore\n" +
		"quadrats.csv,,,77,,lost\n"
	f, err := readThen(unchecked, files(texts), smallTable(), DefaultOptions())
	require.NoError(t, err)
	assert.Equal(t, []int32{2, 4}, f.Quadrats.Line)
	assert.Len(t, f.Cuts, 2)
	var rows []int
	for _, s := range f.SetAside {
		rows = append(rows, s.Rows)
	}
	assert.Equal(t, []int{1, 1, 1, 1, 0}, rows)
	assert.Contains(t, f.Doubts.Error(), "setaside.csv:6: warning: no row of quadrats.csv was left out by this")
}
