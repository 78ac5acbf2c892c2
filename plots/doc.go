// Package plots draws the figures of bedstock. Each figure answers one question, has units, carries direct labels
// rather than a legend where it can, reads in greyscale, and brings its caption and a text alternative that holds the
// numbers.
//
// A figure takes a small input struct of numbers and words and returns a [Figure], which draws itself on any canvas of
// gonum/plot. [Figure.SVG] gives a document that can stand inline, many times, in one page; [Figure.PNG] gives pixels.
// The same input gives the same bytes.
//
// No figure fails on bad numbers: NaN and infinities are left out, an empty input draws a figure that says why it is
// empty, and all text is cleaned and escaped. Slices of unequal length are a mistake of the caller and panic.
package plots
