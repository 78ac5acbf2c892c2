package survey

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// jsonNode is a value of a JSON text and where it begins. Numbers of an array are kept as they are, so that a position
// takes little room.
type jsonNode struct {
	at    int32 // byte offset
	kind  jsonKind
	value any // string of a text or a number as it is written; []float64, []jsonNode or jsonMixed; []jsonField; nil: nothing in it
}

// jsonMixed is an array of numbers and other values.
type jsonMixed struct {
	nums  []float64
	items []jsonNode
}

// text is a text, or a number as it is written.
func (n *jsonNode) text() string {
	s, _ := n.value.(string)
	return s
}

// nums is the numbers of an array; one that is too large is infinite.
func (n *jsonNode) nums() []float64 {
	switch v := n.value.(type) {
	case []float64:
		return v
	case jsonMixed:
		return v.nums
	}
	return nil
}

// items is what else an array holds.
func (n *jsonNode) items() []jsonNode {
	switch v := n.value.(type) {
	case []jsonNode:
		return v
	case jsonMixed:
		return v.items
	}
	return nil
}

// fields is the members of an object.
func (n *jsonNode) fields() []jsonField {
	f, _ := n.value.([]jsonField)
	return f
}

type jsonKind uint8

const (
	jsonNull jsonKind = iota
	jsonBool
	jsonNumber
	jsonString
	jsonArray
	jsonObject
)

// String names the kind in a sentence.
func (k jsonKind) String() string {
	return [...]string{"null", "true or false", "a number", "a text", "a list", "an object"}[k]
}

// jsonField is a member of an object.
type jsonField struct {
	name  string
	value jsonNode
}

// find is the first member of that name, nil where there is none or n is no object.
func (n *jsonNode) find(name string) *jsonNode {
	if n == nil {
		return nil
	}
	for i, f := range n.fields() {
		if f.name == name {
			return &n.fields()[i].value
		}
	}
	return nil
}

// is says whether the node is a string with that text.
func (n *jsonNode) is(text string) bool { return n != nil && n.kind == jsonString && n.text() == text }

// maxNesting is how deep lists and objects may stand in one another; outlines need 9.
const maxNesting = 64

// jsonError is a JSON text that cannot be read, and where.
type jsonError struct {
	at   int32
	text string
}

func (e *jsonError) Error() string { return e.text }

// parseJSON reads a JSON text whole. The error is a *jsonError.
//
// The text is checked by encoding/json first: what follows walks over text that is known to be right, and knows where
// each value begins.
func parseJSON(text string) (jsonNode, error) {
	if b := []byte(text); !json.Valid(b) {
		return jsonNode{}, faultOfJSON(text, json.Unmarshal(b, new(any)))
	}
	p := jsonParser{text: text}
	return p.value(0)
}

// faultOfJSON says where a text is not JSON.
func faultOfJSON(text string, err error) *jsonError {
	se, ok := errors.AsType[*json.SyntaxError](err)
	switch {
	case !ok:
		return &jsonError{0, "is not JSON text: " + err.Error()}
	case int(se.Offset) >= len(strings.TrimRight(text, " \t\r\n")) && strings.Contains(se.Error(), "unexpected end"):
		return &jsonError{int32(len(text)), "ends before its brackets close"}
	}
	return &jsonError{int32(max(0, se.Offset-1)), "is not JSON text here: " + se.Error()} // Offset counts the byte that is wrong
}

// jsonParser walks over a JSON text without mistakes.
type jsonParser struct {
	text string
	at   int // of the next byte
}

// skip passes over blanks, commas and colons and returns the byte that follows.
func (p *jsonParser) skip() byte {
	for strings.IndexByte(" \t\r\n,:", p.text[p.at]) >= 0 {
		p.at++
	}
	return p.text[p.at]
}

// value reads a value.
func (p *jsonParser) value(depth int) (jsonNode, error) {
	b := p.skip()
	n := jsonNode{at: int32(p.at)}
	switch b {
	case '[', '{':
		if depth == maxNesting {
			return n, &jsonError{int32(p.at), fmt.Sprintf("has more than %d lists or objects in one another", maxNesting)}
		}
		p.at++
		if b == '[' {
			n.kind = jsonArray
			return n, p.array(&n, depth+1)
		}
		n.kind = jsonObject
		return n, p.object(&n, depth+1)
	case '"':
		n.kind, n.value = jsonString, p.string()
	case 't', 'f':
		n.kind = jsonBool
		p.word()
	case 'n':
		p.word()
	default:
		n.kind, n.value = jsonNumber, p.word()
	}
	return n, nil
}

// array reads the values of an array up to its end. Numbers among other values are kept apart from them: whoever wants
// numbers looks whether there are items too, and the other way round.
func (p *jsonParser) array(n *jsonNode, depth int) error {
	var nums []float64
	var items []jsonNode
	for {
		switch b := p.skip(); {
		case b == ']':
			p.at++
			switch {
			case items == nil && nums != nil:
				n.value = nums
			case nums == nil && items != nil:
				n.value = items
			case items != nil:
				n.value = jsonMixed{nums, items}
			}
			return nil
		case b == '-' || '0' <= b && b <= '9':
			v, _ := strconv.ParseFloat(p.word(), 64) // infinite where it is too large
			nums = append(roomier(nums), v)
		default:
			item, err := p.value(depth)
			if err != nil {
				return err
			}
			items = append(roomier(items), item)
		}
	}
}

// object reads the members of an object up to its end.
func (p *jsonParser) object(n *jsonNode, depth int) error {
	var fields []jsonField
	for p.skip() != '}' {
		name := p.string()
		value, err := p.value(depth)
		if err != nil {
			return err
		}
		fields = append(roomier(fields), jsonField{name, value})
	}
	p.at++
	if fields != nil {
		n.value = fields
	}
	return nil
}

// roomier doubles the room of a full list: a long one is copied less often than append alone would.
func roomier[T any](s []T) []T {
	if len(s) == cap(s) && len(s) > 0 {
		return slices.Grow(s, len(s))
	}
	return s
}

// word reads a number, true, false or null.
func (p *jsonParser) word() string {
	from := p.at
	for p.at < len(p.text) && strings.IndexByte(" \t\r\n,:]}", p.text[p.at]) < 0 {
		p.at++
	}
	return p.text[from:p.at]
}

// string reads a string with its escapes.
func (p *jsonParser) string() string {
	from := p.at
	for p.at++; p.text[p.at] != '"'; p.at++ {
		if p.text[p.at] == '\\' {
			p.at++
		}
	}
	p.at++
	if plain := p.text[from+1 : p.at-1]; strings.IndexByte(plain, '\\') < 0 {
		return plain
	}
	var s string
	if err := json.Unmarshal([]byte(p.text[from:p.at]), &s); err != nil {
		panic("survey: text that was valid JSON: " + err.Error())
	}
	return s
}
