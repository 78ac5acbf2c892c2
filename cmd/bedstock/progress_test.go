package main

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// The line comes after half a second, not too often, says how long it will take by the pace so far, and is wiped.
func TestProgress(t *testing.T) {
	var b bytes.Buffer
	at := time.Unix(0, 0)
	p := &progress{w: &b, now: func() time.Time { return at }}
	p.step("growth", 0, 40)
	at = at.Add(400 * time.Millisecond)
	p.step("growth", 2, 40)
	assert.Empty(t, b.String(), "a short run needs no line")
	at = at.Add(1600 * time.Millisecond)
	p.step("growth", 8, 40)
	assert.Equal(t, "\r\x1b[Kgrowth: 8 of 40 beds and species, about 8 s left", b.String())
	at = at.Add(50 * time.Millisecond)
	p.step("growth", 9, 40)
	assert.NotContains(t, b.String(), "9 of 40", "too soon")
	at = at.Add(400 * time.Second)
	p.step("growth", 20, 40)
	assert.Contains(t, b.String(), "20 of 40 beds and species, about 7 min left")
	p.step("growth", 0, 60) // again, of other beds
	at = at.Add(10 * time.Second)
	p.step("growth", 30, 60)
	assert.Contains(t, b.String(), "30 of 60 beds and species, about 10 s left")
	b.Reset()
	p.clear()
	p.clear()
	assert.Equal(t, "\r\x1b[K", b.String(), "wiped once")
	assert.Nil(t, newProgress(&b), "no line but on a terminal")
	var none *progress
	none.step("growth", 1, 2)
	none.clear()
}

func TestWhatIsSaidBesideTheLineWipesIt(t *testing.T) {
	var b bytes.Buffer
	at := time.Unix(0, 0)
	p := &progress{w: &b, now: func() time.Time { return at }}
	p.step("evidence", 0, 40)
	at = at.Add(time.Second)
	p.step("evidence", 40, 40)
	fmt.Fprint(beside{&b, p}, "a table\n")
	assert.Equal(t, "\r\x1b[Kevidence: 40 of 40 beds and species\r\x1b[Ka table\n", b.String())
	b.Reset()
	fmt.Fprint(beside{&b, nil}, "a table\n")
	assert.Equal(t, "a table\n", b.String())
}
