package survey

import (
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A workbook as a spreadsheet program saves it (testdata/office/make.py) is the folder that it shows: dates in whatever
// format, formulas by their results, all digits of a number shown without them; comments, a frozen header and an empty sheet
// are no matter.
func TestBookOfASpreadsheetProgram(t *testing.T) {
	raw, err := os.ReadFile("testdata/office/calc.xlsx")
	require.NoError(t, err)
	harvest := &fstest.MapFile{Data: []byte("bed,date,species,wet_kg\nSkarn,2024-07-01,Fucus serratus,0\n")}
	f, err := Read(fstest.MapFS{"survey.xlsx": {Data: raw}, "harvest.csv": harvest}, embeddedTable(t), DefaultOptions())
	require.NoError(t, err)
	assert.Empty(t, f.Doubts)
	rows := []string{"bed,date,quadrat,quadrat_m2,species,cover_pct,biomass_g",
		"Skarn,2024-06-11,1,0.25,Fucus serratus,43.5,743.9", "Skarn,2024-06-11,2,0.25,Fucus serratus,46.5,795.2",
		"Skarn,2024-06-11,3,0.25,Fucus serratus,49.5,846.5", "Skarn,2024-06-11,4,0.25,Fucus serratus,52.5,897.8",
		"Skarn,2024-06-11,5,0.25,Fucus serratus,55.5,949.1", "Skarn,2024-06-11,6,0.25,Fucus serratus,58.5,1000.4"}
	plain, err := Read(fstest.MapFS{"beds.csv": {Data: []byte("bed,area_m2\nSkarn,1200\n")}, "harvest.csv": harvest,
		"quadrats.csv": {Data: []byte(strings.Join(rows, "\n") + "\n")}}, embeddedTable(t), DefaultOptions())
	require.NoError(t, err)
	assert.Equal(t, bareBook(plain), bareBook(f))
}
