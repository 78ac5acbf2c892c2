package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Everything but the cells set stays as it was, byte for byte.
func TestSetCells(t *testing.T) {
	set := []cell{{column: "r_per_year", text: "0.4"}, {column: "source", text: "a, \"b\""}}
	for _, c := range []struct{ name, text, want string }{
		{"a row", "species,r_per_year,source\nFucus serratus,0.7,old\nAlaria esculenta,1,x\n",
			"species,r_per_year,source\nFucus serratus,0.4,\"a, \"\"b\"\"\"\nAlaria esculenta,1,x\n"},
		{"case, blanks, quotes, carriage returns", "\ufeffsource , Species,r_per_year\r\n\"old, older\",  fucus   SERRATUS , 0.7 \r\n\r\nx,Alaria,\"1\"\r\n",
			"\ufeffsource , Species,r_per_year\r\n\"a, \"\"b\"\"\",  fucus   SERRATUS ,0.4\r\n\r\nx,Alaria,\"1\"\r\n"},
		{"a column that is not there", "species,life\nFucus serratus,perennial\nAlaria esculenta,perennial",
			"species,life,r_per_year,source\nFucus serratus,perennial,0.4,\"a, \"\"b\"\"\"\nAlaria esculenta,perennial,,"},
		{"a row that is not there", "species,r_per_year,k_cv\nAlaria esculenta,1,0.3",
			"species,r_per_year,k_cv,source\nAlaria esculenta,1,0.3,\nFucus serratus,0.4,,\"a, \"\"b\"\"\"\n"},
		{"no table", "", "species,r_per_year,source\nFucus serratus,0.4,\"a, \"\"b\"\"\"\n"},
		{"a quoted cell over two lines", "species,source,r_per_year\n\"Fucus serratus\",\"two\nlines\",0.7\n",
			"species,source,r_per_year\n\"Fucus serratus\",\"a, \"\"b\"\"\",0.4\n"},
		{"a short row", "species,life,r_per_year,source\nFucus serratus\n", "species,life,r_per_year,source\nFucus serratus,,0.4,\"a, \"\"b\"\"\"\n"},
	} {
		got, err := setCells([]byte(c.text), "Fucus serratus", set)
		require.NoError(t, err, c.name)
		assert.Equal(t, c.want, string(got), c.name)
	}
	_, err := setCells([]byte("name,r\nx,1\n"), "Fucus serratus", set)
	require.ErrorContains(t, err, "no column species")
}

func TestQuoted(t *testing.T) {
	assert.Equal(t, "plain", quoted("plain"))
	assert.Equal(t, "'=1+1", quoted("=1+1"))
	assert.Equal(t, "\"a,b\"", quoted("a,b"))
}
