// Package survey reads a survey folder of a seaweed shore, checks it, and estimates what stands on each bed.
//
// [Read] reads every file of a folder in one pass and returns either a [Folder] or all mistakes in it, each with file,
// line and column. [Stocks] turns the quadrats of a folder into cover and standing stock per bed, species and survey,
// with the standard error, the degrees of freedom and every doubt attached.
//
// Units inside: kg wet, m2, cm, years (a day is 1/365.25), fractions 0-1; percent cover stays in percent. Wet means
// drained, blotted, without holdfast. A blank cell is never 0.
package survey
