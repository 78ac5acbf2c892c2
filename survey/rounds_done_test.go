package survey

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Surveys come as the stocks take them: declared ones with their species, others recognised by their dates.
func TestVisits(t *testing.T) {
	file := func(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text), Mode: 0o644} }
	f, err := Read(fstest.MapFS{
		"beds.csv":    file("bed,area_m2\na,10\nb,10\n"),
		"surveys.csv": file("bed,survey,from,to,species_sought,protocol\na,first,2024-05-01,2024-05-09,Zeta;Alpha,permanent\na,none,2024-07-01,2024-07-02,,\n"),
		"quadrats.csv": file("bed,date,quadrat,quadrat_m2,visit,species,cover_pct\na,2024-05-02,2,1,done,Alpha,5\na,2024-05-01,1,1,done,Beta,5\n" +
			"b,2024-12-20,1,1,,Beta,5\nb,2025-01-10,1,1,,Beta,5\nb,2025-01-11,2,1,planned,,\n"),
	}, nil, DefaultOptions())
	require.NoError(t, err)
	all := []string{"Alpha", "Beta", "Zeta"}
	day := func(s string) Day {
		d, err := ParseDay(s)
		require.NoError(t, err)
		return d
	}
	assert.Equal(t, []Visited{
		{Bed: "a", Survey: "first", Declared: true, From: day("2024-05-01"), To: day("2024-05-09"), Date: day("2024-05-02"), Protocol: "permanent",
			Sought: []string{"Alpha", "Zeta"}, Rows: []int{1, 0}},
		{Bed: "a", Survey: "none", Declared: true, From: day("2024-07-01"), To: day("2024-07-02"), Date: day("2024-07-01"), Sought: all, AllSought: true},
		{Bed: "b", Survey: "2024", From: day("2024-12-20"), To: day("2025-01-10"), Date: day("2024-12-31"), Sought: all, AllSought: true, Rows: []int{2, 3}},
	}, Visits(f, DefaultOptions()))
}
