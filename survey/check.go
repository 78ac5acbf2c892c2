package survey

// check looks for what no single file can tell: beds and strata that are not listed, areas that do not add up, dates
// out of order between files. It runs after every file was read and before the findings get their places.
//
// Cells that were refused are blank in f: NaN, [NoDay], a [Num] that is not OK, or empty text; a file that could not
// be read at all leaves its list empty. Rows named in setaside.csv are already left out and counted in [SetAside].Rows.
func check(f *Folder, fs *findings, opt Options) {
}
