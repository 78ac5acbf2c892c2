package survey

import (
	"fmt"
	"slices"
)

// letGoBytes is how long a text is that is let go after it was read.
const letGoBytes = 256 << 20

// letGo lets go of the text of large tables, all of which has been read: the checks between files need the room. To give
// a finding its column the file is read once more.
func (r *reading) letGo() {
	for _, rows := range r.tables {
		file := rows.spec.file
		t, name := r.texts[file], r.opt.Mapping.file(file)
		if t == nil || t.sheet != nil || rows.mapped != nil || len(t.text) < r.letGoBytes {
			continue
		}
		rows.records = nil // it holds the text too
		t.text, t.again = "", func() (string, error) { return r.textAgain(name, file) }
	}
}

// textAgain is the text of a file as it was read.
func (r *reading) textAgain(name, file string) (string, error) {
	unsaid := &findings{}
	raw, from, err := readText(r.fsys, name, unsaid)
	if err == nil && !slices.Contains(r.f.Inputs, from.input()) {
		err = fmt.Errorf("%s was changed while it was read: try again", name)
	}
	if err != nil {
		return "", err
	}
	text, _, _ := decode(file, raw, r.opt.inputRules(file), unsaid)
	return text, nil
}

// recall reads the texts once more in which findings have a place.
func (r *reading) recall() error {
	for _, f := range r.found.list {
		t := r.texts[f.file]
		if f.line == 0 || t == nil || t.again == nil {
			continue
		}
		text, err := t.again()
		if err != nil {
			return err
		}
		t.text, t.again = text, nil
	}
	return nil
}
