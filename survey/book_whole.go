package survey

import "slices"

// whole says whether the cells of a sheet's last record can be read, and notes those that cannot. Cells of columns that
// are not read are passed over, and text has no such cells.
func (r *rowReader) whole(record []string) bool {
	s, ok := r.records.(*sheetRecords)
	if !ok || s.t.sheet.rows[s.at].plain {
		return true
	}
	whole := !s.t.sheet.rows[s.at].torn // it was said
	for i, kind := range s.kinds() {
		if kind <= sureCell {
			continue
		}
		k := slices.Index(r.columns, i)
		if k < 0 {
			continue
		}
		if kind == midnightCell {
			if r.spec.columns[k].timed {
				record[i] += " 00:00"
			}
			continue
		}
		bad := r.spec.cellFlaw(k, kind, record[i])
		if bad == nil {
			continue
		}
		whole = false
		f := finding{file: r.spec.file, line: r.line, at: i + 1, column: r.spec.columns[k].name, hint: bad.hint, lost: true, cell: cellName(i+1, r.line)}
		r.found.note(f, bad.format, bad.args...)
	}
	return whole
}

// headerWhole notes names of columns that a sheet's header holds as a formula without its result, an error or the like.
// What is left of them names no column.
func (r *rowReader) headerWhole(header []string) {
	s, ok := r.records.(*sheetRecords)
	if !ok {
		return
	}
	text := textColumn("", "")
	for i, kind := range s.kinds() {
		if kind <= midnightCell {
			continue
		}
		bad := (&tableSpec{columns: []column{text}}).cellFlaw(0, kind, header[i])
		f := finding{file: r.spec.file, line: s.line(), at: i + 1, hint: "type the name of the column", lost: true}
		r.found.note(f, "the header "+bad.format, bad.args...)
		header[i], r.flawed = "", append(r.flawed, i)
	}
}

// cellFlaw is what is wrong with a cell that holds neither text nor a number. TRUE and FALSE may answer yes or no, and be
// words that a mapping translates.
func (t *tableSpec) cellFlaw(column int, kind cellKind, text string) *flaw {
	switch kind {
	case truthCell:
		if k := t.columns[column].kind; k == truthKind || t.foreign && k == textKind {
			return nil
		}
		return newFlaw("write what the column asks for; where a word is meant, format the cell as text first", "holds %s, which is no text, number or date", text)
	case errorCell:
		return newFlaw("mend the formula, or leave the cell blank where there is no value", "holds the error %s", text)
	case noneCell:
		return newFlaw("open the workbook in the spreadsheet program, let it calculate and save it; or write the value in place of the formula",
			"holds a formula without its result")
	case longCell:
		return newFlaw("keep remarks short", "a cell of %s characters: the longest that is read has %d", text, maxCell)
	case unseenCell:
		return newFlaw("type the cell again", "holds the character %s, which cannot be seen", text)
	}
	return nil
}
