// Command bedstock decides, once a year, how much seaweed may be cut from each bed of a shore without running it down.
//
// It reads a folder of survey tables and writes the standing stock of each bed with its uncertainty, the regrowth of
// each species, the sustainable offtake per bed, species and season, and one report with figures that sets what was cut
// against what grew back. See the README for the folder and the commands.
package main

import "os"

func main() {
	os.Exit(run(os.Args[1:], &env{stdin: os.Stdin, stdout: os.Stdout, stderr: os.Stderr, progress: newProgress(os.Stderr)}))
}
