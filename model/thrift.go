package model

import (
	"sync"

	"bedstock/model/growth"
	"bedstock/model/internal/spill"
	"bedstock/survey"
)

// Thrift is how an assessment keeps memory small: draws and the rows of quadrats in the folder stand in a file that nobody sees, one
// reach and species follows the other where no beds are cut in turn, and of each unit the draws of growth are let go of when its
// advice is made and its growth is checked. All that comes out is the same but those draws, which the figure of a stand and its
// explanation need.
type Thrift struct {
	Folder string      // where the file is, with room for some gigabytes
	Memory int         // bytes in memory, of the whole program, from which on the file is let go of as far as it is not in use
	Fault  func(error) // told why there is no file, if none can be made; may be nil

	once sync.Once
	file *spill.File
}

// spill is the file; nil where there is none, or where it cannot be made: then all stays in memory.
func (t *Thrift) spill() *spill.File {
	if t == nil {
		return nil
	}
	t.once.Do(func() {
		file, err := spill.Open(t.Folder, t.Memory)
		if err != nil && t.Fault != nil {
			t.Fault(err)
		}
		t.file = file
	})
	return t.file
}

// Each calls do for 0 to n-1, on all cores or, to be thrifty, for one after the other.
func (t *Thrift) Each(n int, do func(i int)) {
	if t == nil {
		eachOf(n, do)
		return
	}
	for i := range n {
		do(i)
	}
}

// Join is a copy of parts, one behind the other, in the file where there is one; it is only to be read.
func (t *Thrift) Join(parts ...[]byte) []byte { return t.spill().Join(parts...) }

// Keep takes bytes to the file, where there is one; they are only to be read.
func (t *Thrift) Keep(b []byte) []byte {
	if t == nil {
		return b
	}
	return t.Join(b)
}

// shelve lets go of the draws of a unit whose advice is made. The stands of its advice stay, in the file.
func (a *assessor) shelve(u *Unit) {
	a.forget(u)
	if a.out.Thrift == nil {
		return
	}
	check := a.out.checkGrowth(u)
	u.check = &check
	if r := a.runs[u.run(survey.NoDay)]; r != nil {
		r.forget(u, a.out.Thrift.spill())
	}
	u.Growth.Draws = growth.Draws{}
	if b, rules := u.Basis, a.out.Rules.Offtake; b != nil { // asked for again and again, which would bring all draws back each time
		b.below = [2]below{{rules.TriggerOfK, b.PBelow(rules.TriggerOfK)}, {rules.LimitOfK, b.PBelow(rules.LimitOfK)}}
	}
	moved := map[*float64][]float64{}
	u.Basis.move(a.out.Thrift.spill(), moved)
	for i := range u.Seasons {
		u.Seasons[i].Basis.move(a.out.Thrift.spill(), moved)
	}
}

// move takes the draws of the stand, and those of the other basis, to a file, if there is one; moved are those that are there.
func (b *Basis) move(to *spill.File, moved map[*float64][]float64) {
	if to == nil {
		return
	}
	for ; b != nil; b = b.Other {
		s := &b.Stand
		for _, x := range []*[]float64{&s.R, &s.K, &s.B, &s.Sigma} {
			if len(*x) == 0 {
				continue
			}
			first := &(*x)[0]
			there, ok := moved[first]
			if !ok {
				there = to.Floats(len(*x))
				copy(there, *x)
				moved[first], moved[&there[0]] = there, there
			}
			*x = there
		}
		b.Futures.Move(*s)
	}
}
