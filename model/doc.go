// Package model joins the survey and the growth model into one assessment: it reads the rules, builds the series of
// each bed and species, lets package growth say how fast it comes back and package offtake how much may be taken, and
// sets what was cut against what grew.
//
// [Load] reads a folder and its rules, [Assess] makes the [Assessment] that is written out. The package prints nothing
// and opens files only through the fs.FS given to it.
package model
