package survey

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A cell of the longest length is read, in any script, and one a character longer is refused at its place.
func TestCellsAreShort(t *testing.T) {
	texts := bareFolder()
	row := "Skarn,2030-07-01,Fucus serratus,0,"
	for _, letter := range []string{"a", "ж"} {
		texts["harvest.csv"] = "bed,date,species,wet_kg,notes\n" + row + strings.Repeat(letter, maxCell) + "\n"
		assert.Equal(t, "nothing\n", whatIsFound(files(texts), smallTable(), DefaultOptions()))
		texts["harvest.csv"] = "bed,date,species,wet_kg,notes\n" + row + strings.Repeat(letter, maxCell+1) + "\n"
		assert.Contains(t, whatIsFound(files(texts), smallTable(), DefaultOptions()),
			"harvest.csv:2:35: a cell of 2001 characters: the longest that is read has 2000\n    hint: did a quote")
	}
}
