package check

import (
	"fmt"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
)

func long(n int, load string) string {
	return fmt.Sprintf(`basis = "EN"
[run]
length = "%g m"
spacing = "1.5 m"
toe_plate = "none"
[post]
tube = "EN 10255 DN40 medium"
grade = "S195T"
[post.base]
stiffness = "150 kNm/rad"
[[rail]]
name = "top"
height = "1100 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
stock = "9000 m"
splices = "none"
[[rail]]
name = "knee"
height = "600 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
stock = "9000 m"
splices = "none"
[fitting]
moment = "free"
[[load]]
%s
[limits]
deflection = "25 mm"
[scope]
leave_out = ["fitting", "base", "geometry"]
`, 1.5*float64(n-1), load)
}

// BenchmarkCheck measures a whole check, from parsed definition to result, of runs
// with two rails.
func BenchmarkCheck(b *testing.B) {
	benchmarkRuns(b, func(d *barrier.Definition) error {
		_, err := Run(d, Options{})
		return err
	})
}

// BenchmarkJudge measures what the same checks come to, without the rows of a report.
func BenchmarkJudge(b *testing.B) {
	benchmarkRuns(b, func(d *barrier.Definition) error {
		_, err := Judge(d)
		return err
	})
}

// BenchmarkFails measures whether one of the same checks fails.
func BenchmarkFails(b *testing.B) {
	benchmarkRuns(b, func(d *barrier.Definition) error {
		_, _, err := Fails(d)
		return err
	})
}

func benchmarkRuns(b *testing.B, check func(*barrier.Definition) error) {
	for _, load := range []string{"EN ISO 14122-3", "EN 1991-1-1 UK v", "IBC 2021 general"} {
		for _, n := range []int{5, 9, 101, 1001} {
			b.Run(fmt.Sprintf("load=%s/posts=%d", load[:7], n), func(b *testing.B) {
				text := long(n, "schedule = \""+load+"\"")
				if strings.HasPrefix(load, "IBC") {
					text = strings.Replace(text, "basis = \"EN\"", "basis = \"AISC-LRFD\"", 1)
				}
				d, err := barrier.Parse("run.toml", []byte(text))
				if err != nil {
					b.Fatal(err)
				}
				b.ReportAllocs()
				for b.Loop() {
					if err := check(d); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
