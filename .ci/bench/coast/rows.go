package main

import (
	"bufio"
	"fmt"
	"math"
	"strings"
	"time"
)

// write appends the rows of the bed to the tables.
func (b *bed) write(to func(string) *bufio.Writer) {
	fmt.Fprintf(to("beds.csv"), "%s,Bed %d,Shore %d,mid,%g,%.4f,%.4f\n", b.id, b.i+1, b.i/8+1, b.areas[0]+b.areas[1],
		50+0.01*float64(b.i%100), -30+0.01*float64(b.i/100))
	for h, name := range strata {
		fmt.Fprintf(to("strata.csv"), "%s,%s,%g\n", b.id, name, b.areas[h])
	}
	if b.storm {
		fmt.Fprintf(to("events.csv"), "%s,2024-01-14,storm,0.6,invented\n", b.id)
	}
	var names []string
	for _, kd := range kinds[:most] {
		names = append(names, kd.name)
	}
	for y := range years {
		fmt.Fprintf(to("surveys.csv"), "%s,%d,%s,%s,%s\n", b.id, firstYear+y, date(b.surveyed(y)), date(b.surveyed(y)), strings.Join(names, ";"))
		b.quadrats(to("quadrats.csv"), y)
	}
	for s, kd := range kinds[:most] {
		if kd.cut > 0 {
			b.use(to, s)
		}
	}
	if n := b.i % 12; n < most {
		b.plot(to("regrowth.csv"), kinds[n])
	}
}

var strata = [2]string{"upper", "lower"}

// quadrats writes one survey: the stock stands on the share of quadrats that holds the species, thicker on some transects.
func (b *bed) quadrats(w *bufio.Writer, y int) {
	day := date(b.surveyed(y))
	for h, stratum := range strata {
		for t := range transects {
			var thick [5]float64
			for s, kd := range kinds[:most] {
				thick[s] = b.beta(b.lives[s].stock[y]/(kd.full*b.holds(kd)), 20)
			}
			for q := range quadrats {
				place := b.rng.Float64() // which wrack stands here, if any
				for s, kd := range kinds[:most] {
					cover, grams := 0.0, ""
					here := b.rng.Float64() < kd.occ[h]
					if kd.wrack {
						here = place >= 0 && place < kd.occ[h]
						place -= kd.occ[h]
					}
					if here {
						c := b.beta(math.Min(math.Max(thick[s], 0.01), 0.99), 5)
						cover = math.Max(math.Round(100*c), 1)
						if q == t%quadrats {
							grams = fmt.Sprint(math.Max(math.Round(c*kd.full*quadratM2*100*b.spread(0.15)), 1) * 10)
						}
					} else if q == t%quadrats {
						grams = "0"
					}
					fmt.Fprintf(w, "%s,%s,%s,T%d,Q%d,%g,done,%s,%g,%s\n", b.id, day, stratum, t+1, q+1, quadratM2, kd.name, cover, grams)
				}
			}
		}
	}
}

// use writes what was decided, granted and cut of a stand, half in the autumn of the survey and half in the next spring.
func (b *bed) use(to func(string) *bufio.Writer, s int) {
	kd, l := kinds[s], &b.lives[s]
	for p := range permits {
		fmt.Fprintf(to("permits.csv"), "P%05d-%d,%s,%s,%g\n", b.i+1, p+1, b.id, kd.name, 1./permits)
	}
	for y := range years {
		kg := l.cut[y] / 2
		for _, season := range []struct {
			name     string
			from, to time.Time
		}{
			{"autumn", time.Date(firstYear+y, 8, 15, 0, 0, 0, 0, time.UTC), time.Date(firstYear+y, 10, 15, 0, 0, 0, 0, time.UTC)},
			{"spring", time.Date(firstYear+y+1, 3, 15, 0, 0, 0, 0, time.UTC), time.Date(firstYear+y+1, 6, 30, 0, 0, 0, 0, time.UTC)},
		} {
			if season.from.After(time.Date(2026, 9, 1, 0, 0, 0, 0, time.UTC)) {
				continue
			}
			fmt.Fprintf(to("decisions.csv"), "%s,%s,%s,%s,%s,,%g,invented committee,%s\n", b.id, kd.name, season.name, date(season.from),
				date(season.to), math.Max(kg, 1), date(season.from.AddDate(0, 0, -9)))
			for p := range permits {
				fmt.Fprintf(to("harvest.csv"), "%s,%s,%s,%g,cut,P%05d-%d\n", b.id, date(season.from.AddDate(0, 0, 3+p)), kd.name, kg/permits, b.i+1, p+1)
			}
		}
	}
}

// plot writes a regrowth plot: cut down to a tenth, then measured every four months for three years.
func (b *bed) plot(w *bufio.Writer, kd kind) {
	start := time.Date(2022, 8, 1, 0, 0, 0, 0, time.UTC)
	grams := func(of float64) float64 { return math.Round(of * kd.k * 1000) }
	fmt.Fprintf(w, "D%05d,%s,%s,%s,cut,%g,1\n", b.i+1, kd.name, b.id, date(start), grams(0.7))
	for n := range 10 {
		t := float64(n) * 4 / 12
		share := 1 / (1 + 9*math.Exp(-kd.r*t))
		on := start.AddDate(0, 0, 1+int(t*365.25))
		fmt.Fprintf(w, "D%05d,%s,%s,%s,measure,%g,1\n", b.i+1, kd.name, b.id, date(on), grams(share*b.spread(0.05)))
	}
}
