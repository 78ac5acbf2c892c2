package table

import (
	"bytes"
	"encoding/json"
)

// JSON writes a header and rows as an array of objects, a line each, with the keys in the order of the columns.
// Numbers are numbers, a missing cell is null. JSON panics where [CSV] does.
func JSON(header []string, rows [][]Cell) []byte {
	mustFit(header, rows)
	keys := make([][]byte, len(header))
	for i, name := range header {
		keys[i] = jsonText(name)
	}
	var b bytes.Buffer
	b.WriteString("[")
	for i, row := range rows {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString("\n  {")
		for j, c := range row {
			if j > 0 {
				b.WriteString(", ")
			}
			b.Write(keys[j])
			b.WriteString(": ")
			b.Write(c.json())
		}
		b.WriteByte('}')
	}
	if len(rows) > 0 {
		b.WriteByte('\n')
	}
	b.WriteString("]\n")
	return b.Bytes()
}

func (c Cell) json() []byte {
	switch c.kind {
	case text:
		return jsonText(c.text)
	case number:
		return []byte(c.literal())
	}
	return []byte("null")
}

// jsonText is a JSON string. Unlike json.Marshal it leaves < > & as they are.
func jsonText(s string) []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(s); err != nil {
		panic("table: " + err.Error()) // no string fails
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}
