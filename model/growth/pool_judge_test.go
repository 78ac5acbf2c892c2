package growth

import "testing"

// BenchmarkJudgeBed is the diagnosis of r, K and the stocks of a bed of five surveys, 4000 points.
func BenchmarkJudgeBed(b *testing.B) {
	p := testRun(b)
	p.clear(500)
	p.walk(500)
	room := newDiagnosis(p.passed())
	for b.Loop() {
		p.judgeBed(0, room)
	}
}
