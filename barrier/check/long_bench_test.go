package check

import (
	"flag"
	"fmt"
	"os"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"example.com/stanchion/barrier"
)

// longest is the number of posts up to which whole checks are measured: ten thousand take a
// minute, a hundred thousand many.
var longest = flag.Int("longest", 101, "posts of the longest run that BenchmarkLong checks")

// BenchmarkLong measures how a whole check grows with the length of its run: processor time of one
// post, the heap that the result leaves standing, and the most that the process has had.
func BenchmarkLong(b *testing.B) {
	for _, load := range []string{"schedule = \"EN ISO 14122-3\"", ownLoad("point"), ownLoad("line")} {
		for _, how := range []struct {
			word  string
			check func(*barrier.Definition) (any, error)
		}{
			{"check", func(d *barrier.Definition) (any, error) { return Run(d, Options{}) }},
			{"judge", func(d *barrier.Definition) (any, error) { return Judge(d) }},
		} {
			for _, posts := range []int{101, 1001, 10001, 100001} {
				if posts > *longest {
					break
				}
				b.Run(fmt.Sprintf("posts=%d/how=%s/load=%s", posts, how.word, loadWord(load)), func(b *testing.B) {
					benchmarkLong(b, long(posts, load), how.check)
				})
			}
		}
	}
}

func ownLoad(kind string) string {
	value := map[string]string{"point": "0.3 kN", "line": "0.3 kN/m"}[kind]
	return fmt.Sprintf("name = %[1]q\nkind = %[1]q\nvalue = %[2]q\nrail = \"top\"\ndirection = \"outward\"\ncategory = \"A\"", kind, value)
}

func loadWord(load string) string {
	for _, kind := range []string{"point", "line"} {
		if strings.Contains(load, kind) {
			return kind
		}
	}
	return "ISO"
}

func benchmarkLong(b *testing.B, text string, check func(*barrier.Definition) (any, error)) {
	d, err := barrier.Parse("run.toml", []byte(strings.ReplaceAll(text, `stock = "9000 m"`, `stock = "200000 m"`)))
	if err != nil {
		b.Fatal(err)
	}
	posts := float64(len(d.Run.Posts))
	began, held := processorSeconds(b), uint64(0)
	for b.Loop() {
		out, err := check(d)
		if err != nil {
			b.Fatal(err)
		}
		b.StopTimer()
		used := processorSeconds(b)
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		held = m.HeapAlloc
		runtime.KeepAlive(out)
		began += processorSeconds(b) - used
		b.StartTimer()
	}
	b.ReportMetric((processorSeconds(b)-began)*1e3/posts/float64(b.N), "processor-ms/post")
	b.ReportMetric(float64(held)/1e6, "held-MB")
	b.ReportMetric(mostResident(b), "most-MB")
}

// processorSeconds returns what the process has used so far, s.
func processorSeconds(b *testing.B) float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Skip(err)
	}
	return float64(u.Utime.Sec+u.Stime.Sec) + 1e-6*float64(u.Utime.Usec+u.Stime.Usec)
}

// mostResident returns the most memory that the process has had so far, MB, by its own account.
func mostResident(b *testing.B) float64 {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		b.Skip(err)
	}
	_, after, _ := strings.Cut(string(status), "VmHWM:")
	kB, err := strconv.ParseFloat(strings.Fields(after + " x")[0], 64)
	if err != nil {
		b.Skip(err)
	}
	return kB / 1e3
}
