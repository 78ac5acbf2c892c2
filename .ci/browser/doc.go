// Package browsercheck opens a report of bedstock in Chromium and checks what only a browser can tell: that the page
// asks for nothing and runs nothing, stays within narrow and wide windows, can be read with a keyboard, a screen reader
// and in the dark, and prints whole. It has a module of its own, so that bedstock needs none of what it needs.
//
// Run it with "bash .ci/browser/run", which builds the tool and makes the reports. The tests of one report are driven
// by the environment:
//
//   - REPORT: path of a report.html; without it only the checks are tested, on pages that are wrong in one way each
//   - SHOWN: lines of text that the page must show as they stand, markup and all
//   - AXE: path of axe.min.js; without it the rules of axe-core are left out
//   - SHOTS: a folder to write screenshots and the printed page to, for looking at
package browsercheck
