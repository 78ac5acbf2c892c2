package model

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A table read by a mapping may be written in any way and have blanks for the cell above: the filling knows its columns
// by the file's own headers where a mapping makes them, long or wide.
func TestMappedTablesFilledDown(t *testing.T) {
	long := "Site;Day;Plot;m2;Kind;C;Wet\nlantry;14.06.2026;1;0,25;Fucus serratus;62,5;1,25\n;;2;0,25;Fucus serratus;7,5;0,5\n\"\"\"\";do.;3;0,25;Fucus serratus;0;0\n"
	columns := "[columns.quadrats]\nbed = \"Site\"\ndate = {from = \"Day\", form = \"DD.MM.YYYY\"}\nquadrat = \"Plot\"\nquadrat_m2 = \"m2\"\nspecies = \"Kind\"\ncover_pct = \"C\"\n" +
		"biomass_g = {from = \"Wet\", unit = \"kg\"}\n"
	plain := "Site;Day;Plot;m2;Kind;C;Wet\nlantry;14.06.2026;1;0,25;Fucus serratus;62,5;1,25\nlantry;14.06.2026;2;0,25;Fucus serratus;7,5;0,5\nlantry;14.06.2026;3;0,25;Fucus serratus;0;0\n"
	want := wideRows(t, plain, columns)
	require.Len(t, want, 3)
	assert.Equal(t, want, wideRows(t, long, columns+"[input.\"quadrats.csv\"]\nfill_down = [\"bed\", \"date\"]\n"))

	wide := "bed;date;quadrat;quadrat_m2;Fucus serratus;Laminaria digitata\nlantry;14.06.2026;1;0,25;1,25;0\n;;2;0,25;;0,75\n"
	rules := "[read.quadrats]\nlayout = \"wide\"\nblank = \"absent\"\n[columns.quadrats]\nbiomass_g = {cells = true, unit = \"kg\"}\n"
	full := strings.Replace(wide, ";;2", "lantry;14.06.2026;2", 1)
	want = wideRows(t, full, rules)
	require.Len(t, want, 4)
	assert.Contains(t, strings.Join(want, "\n"), "1250")
	assert.Equal(t, want, wideRows(t, wide, rules+"[input.\"quadrats.csv\"]\nfill_down = [\"bed\", \"date\"]\n"))
}
