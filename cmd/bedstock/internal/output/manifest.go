package output

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"slices"
)

// ManifestName is the name of the manifest in the folder.
const ManifestName = "manifest.json"

// toolName in a manifest says that the folder is ours.
const toolName = "bedstock"

// Manifest says from what a folder of results was made and what belongs to it. It holds no clock time: the same input
// gives the same bytes.
type Manifest struct {
	Tool     string          `json:"tool"` // always "bedstock", set by [Write]
	Version  string          `json:"version"`
	Command  string          `json:"command,omitempty"` // the subcommand, without paths
	AsOf     string          `json:"as_of"`             // ISO date
	Seed     uint64          `json:"seed"`
	Invented bool            `json:"invented"`          // made from the demo survey
	Public   bool            `json:"public,omitempty"`  // the edition for handing out
	Against  string          `json:"against,omitempty"` // SHA-256 of the manifest of the report that it is compared with
	Rules    json.RawMessage `json:"rules"`             // effective rules; written with sorted keys
	Inputs   []FileSum       `json:"inputs"`            // paths relative to the survey folder
	Outputs  []FileSum       `json:"outputs"`           // all files but the manifest, set by [Write]
	Warnings []string        `json:"warnings"`
}

// FileSum is a file and the SHA-256 of its bytes in hexadecimal.
type FileSum struct {
	Path   string `json:"path"` // slash path
	SHA256 string `json:"sha256"`
}

// encode fills in what Write sets, sorts what is a set, and writes the manifest as JSON.
func (m Manifest) encode(files map[string][]byte) ([]byte, error) {
	m.Tool = toolName
	m.Inputs = sorted(m.Inputs)
	m.Outputs = []FileSum{}
	for name, data := range files {
		m.Outputs = append(m.Outputs, FileSum{name, sum(data)})
	}
	m.Outputs = sorted(m.Outputs)
	if m.Warnings == nil {
		m.Warnings = []string{}
	}
	var err error
	if m.Rules, err = sortKeys(m.Rules); err != nil {
		return nil, fmt.Errorf("rules for the manifest: %w", err)
	}
	data, err := marshal(m, "  ")
	if err != nil {
		return nil, fmt.Errorf("manifest: %w", err)
	}
	return data, nil
}

// sortKeys writes JSON with the keys of its objects in order and its numbers as they were.
func sortKeys(raw json.RawMessage) (json.RawMessage, error) {
	if len(raw) == 0 {
		return json.RawMessage("null"), nil
	}
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		return nil, err
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, fmt.Errorf("text after the JSON value")
	}
	return marshal(v, "")
}

// marshal writes JSON ended by a line feed, with < > & as they are.
func marshal(v any, indent string) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", indent)
	err := e.Encode(v)
	return b.Bytes(), err
}

func sorted(sums []FileSum) []FileSum {
	s := append([]FileSum{}, sums...)
	slices.SortFunc(s, func(a, b FileSum) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.SHA256, b.SHA256))
	})
	return s
}

func sum(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}

// sumFile is the sum of a regular file, read piece by piece.
func sumFile(fsys fs.FS, name string) (string, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
