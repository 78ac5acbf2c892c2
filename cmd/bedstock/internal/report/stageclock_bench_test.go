//go:build bench && linux

package report

import (
	"fmt"
	"os"
	"strings"
	"syscall"
	"time"
)

// stageClock prints what each stage took since the one before.
type stageClock struct {
	wall time.Time
	cpu  time.Duration
}

func newStageClock() *stageClock { return &stageClock{time.Now(), cpuTime()} }

func (c *stageClock) lap(stage string) {
	wall, cpu := time.Now(), cpuTime()
	fmt.Printf("stage %s %.4f %.4f %s\n", stage, wall.Sub(c.wall).Seconds(), (cpu - c.cpu).Seconds(), mostMemory())
	c.wall, c.cpu = wall, cpu
}

// cpuTime is what all threads of the process have run so far.
func cpuTime() time.Duration {
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		panic(err)
	}
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}

// mostMemory is the largest resident set of the process so far, kB.
func mostMemory() string {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		panic(err)
	}
	_, rest, _ := strings.Cut(string(status), "VmHWM:")
	return strings.Fields(rest)[0]
}
