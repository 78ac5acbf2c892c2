// Package data holds what comes with the tool: the embedded species table, the invented demo survey and the description
// of every column of a survey folder. README.md says where each file comes from.
package data

import "embed"

//go:generate go run ./makedemo/cmd

// FS holds species.csv, the demo survey folder demo/ and the Table Schema descriptors schema/*.json.
//
//go:embed species.csv demo/*.csv demo/rules.toml schema/*.json
var FS embed.FS
