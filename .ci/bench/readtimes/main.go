// Command readtimes writes a survey folder of many quadrats and times one reading of it, each in a process of its own.
//
//	readtimes write DIR          the folder, a million rows of quadrats
//	readtimes bedstock DIR       seconds of reading it with all checks
//	readtimes csv FILE           seconds of reading all cells of a table with encoding/csv alone
//	readtimes cost COMMAND...    its seconds, those of all cores, and its peak memory in kB
//	readtimes peak COMMAND...    peak memory of a command in MB, and the seconds it took; what it prints is left out
package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"syscall"
	"time"

	"bedstock/data"
	"bedstock/survey"
)

func main() {
	if len(os.Args) < 3 {
		fmt.Fprintln(os.Stderr, "usage: readtimes write|bedstock|csv|cost|peak ...")
		os.Exit(2)
	}
	what, at := os.Args[1], os.Args[2]
	do := map[string]func() error{
		"write":    func() error { return writeFolder(at) },
		"bedstock": func() error { return timed(func() error { return readFolder(at) }) },
		"csv":      func() error { return timed(func() error { return readCells(at) }) },
		"cost":     func() error { return peak(os.Args[2:], costs) },
		"peak":     func() error { return peak(os.Args[2:], peakWords) },
	}[what]
	err := fmt.Errorf("%s: no such task", what)
	if do != nil {
		err = do()
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "readtimes:", err)
		os.Exit(1)
	}
}

func timed(do func() error) error {
	start := time.Now()
	err := do()
	fmt.Printf("%.4f\n", time.Since(start).Seconds())
	return err
}

func readFolder(dir string) error {
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	if len(problems) > 0 {
		return problems
	}
	f, err := survey.Read(os.DirFS(dir), table, survey.DefaultOptions())
	if err == nil && f.Quadrats.Len() != rows {
		err = fmt.Errorf("%d rows were read", f.Quadrats.Len())
	}
	return err
}

func readCells(file string) error {
	f, err := os.Open(file)
	if err != nil {
		return err
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.ReuseRecord = true
	for n := -1; ; n++ { // without the header
		_, err := r.Read()
		switch {
		case errors.Is(err, io.EOF) && n == rows:
			return nil
		case err != nil:
			return fmt.Errorf("after %d rows: %w", n, err)
		}
	}
}

// peak runs a command and prints what it used.
func peak(command []string, words func(wall time.Duration, used *syscall.Rusage) string) error {
	cmd := exec.Command(command[0], command[1:]...)
	cmd.Stderr = os.Stderr
	start := time.Now()
	if err := cmd.Run(); err != nil {
		return err
	}
	fmt.Println(words(time.Since(start), cmd.ProcessState.SysUsage().(*syscall.Rusage)))
	return nil
}

func peakWords(wall time.Duration, used *syscall.Rusage) string {
	return fmt.Sprintf("%d MB, %.1f s", used.Maxrss>>10, wall.Seconds())
}

func costs(wall time.Duration, used *syscall.Rusage) string {
	cores := time.Duration(used.Utime.Nano() + used.Stime.Nano())
	return fmt.Sprintf("%.4f %.4f %d", wall.Seconds(), cores.Seconds(), used.Maxrss)
}
