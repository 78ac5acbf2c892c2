package main

import (
	"bufio"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
)

// The folder: beds surveyed once a year, two strata with ten transects of ten quadrats each, a row for each species.
const (
	beds, years, transects, quadrats = 250, 5, 10, 10

	rows = beds * years * 2 * transects * quadrats * len(species)
)

var species = [...]string{"Fucus serratus", "Palmaria palmata", "Himanthalia elongata", "Chondrus crispus"}

var observers = [...]string{"Ane", "Birk", "Coll", "Dagny", "Eskil", "Frid", "Gro", "Hauk"}

// writeFolder writes the folder, the same bytes every time.
func writeFolder(dir string) error {
	files := map[string]func(w *bufio.Writer){
		"beds.csv": func(w *bufio.Writer) {
			w.WriteString("bed,area_m2\n")
			for bed := range beds {
				fmt.Fprintf(w, "Bed %03d,%d\n", bed, 8000+13*bed)
			}
		},
		"strata.csv": func(w *bufio.Writer) {
			w.WriteString("bed,stratum,area_m2\n")
			for bed := range beds {
				fmt.Fprintf(w, "Bed %03d,low,%d\nBed %03d,mid,%d\n", bed, 5000, bed, 3000+13*bed)
			}
		},
		"quadrats.csv": writeQuadrats,
	}
	for name, write := range files {
		f, err := os.Create(filepath.Join(dir, name))
		if err != nil {
			return err
		}
		w := bufio.NewWriterSize(f, 1<<20)
		write(w)
		if err := w.Flush(); err != nil {
			return err
		}
		if err := f.Close(); err != nil {
			return err
		}
	}
	return nil
}

func writeQuadrats(w *bufio.Writer) {
	rng := rand.New(rand.NewPCG(20260101, 1))
	w.WriteString("bed,date,stratum,transect,quadrat,quadrat_m2,visit,species,cover_pct,frond_cm,biomass_g,weighed_m2,observer,notes\n")
	for year := range years {
		for bed := range beds {
			usual := math.Exp(0.3 * rng.NormFloat64()) // more or less than on other beds
			observer := observers[(bed+year)%len(observers)]
			for k := range 2 * transects * quadrats {
				transect, quadrat := k/quadrats, k%quadrats
				place := fmt.Sprintf("Bed %03d,%d-06-%02d,%s,T%02d,%d,0.25,done", bed, 2021+year, 1+bed%14+transect/transects,
					[]string{"low", "mid"}[transect/transects], 1+transect, 1+quadrat)
				for i, name := range species {
					cover := min(100, math.Round(20*usual*math.Exp(0.6*rng.NormFloat64())))
					frond, biomass, weighed, notes := "", "", "", ""
					if cover > 0 {
						frond = fmt.Sprintf("%.1f", float64(12+11*i)*math.Exp(0.25*rng.NormFloat64()))
					}
					if k%5 == 0 {
						biomass = fmt.Sprintf("%.0f", 6*cover*float64(1+i)*math.Exp(0.2*rng.NormFloat64()))
						weighed = "0.25"
					}
					if k == 0 && i == 0 {
						notes = "calm and clear"
					}
					fmt.Fprintf(w, "%s,%s,%.0f,%s,%s,%s,%s,%s\n", place, name, cover, frond, biomass, weighed, observer, notes)
				}
			}
		}
	}
}
