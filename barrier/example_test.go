package barrier

import (
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/sections"
)

// TestUSExamples reads each pair of examples: they are of one dimension, and neither
// is more than twice the other.
func TestUSExamples(t *testing.T) {
	pairs := usExamples()
	for i := 0; i < len(pairs); i += 2 {
		metric, us := strings.Trim(pairs[i], `"`), strings.Trim(pairs[i+1], `"`)
		if _, isRule := strings.CutPrefix(metric, "h/"); isRule || !strings.ContainsAny(metric[:1], "0123456789") {
			continue
		}
		if a, b, ok := bothRead(metric, us); !ok || a != 0 && (b < a/2 || b > 2*a) || a == 0 && b != 0 {
			t.Errorf("%q and %q: read %v, %v and %v", metric, us, ok, a, b)
		}
	}
	tube, err := sections.FindTube("ASTM A53 NPS 1-1/2 STD")
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := sections.FindGrade("ASTM A53 Grade B", tube, tube.Wall); err != nil {
		t.Error(err)
	}
}

// bothRead reads two texts in the first dimension that takes both.
func bothRead(metric, us string) (a, b float64, ok bool) {
	for d := quantity.Length; d <= quantity.CoatingMass; d++ {
		a, errA := quantity.Parse(metric, d)
		b, errB := quantity.Parse(us, d)
		if errA == nil && errB == nil {
			return a, b, true
		}
	}
	return 0, 0, false
}

// TestFixesInUSUnits reads each broken file as one in US units: no fix offers an example in
// metric units, but as a second one beside its own, or to put right what was typed.
func TestFixesInUSUnits(t *testing.T) {
	files, err := filepath.Glob("testdata/bad/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no broken definitions: %v", err)
	}
	offered := regexp.MustCompile(`(.{0,4})("[^"]*\d (?:mm|m|kN|kN/m|kN/m2|kg/m2|kg/m3|m/s|K|MPa|GPa|kNm|kNm/rad|kg)")`)
	swapped := 0
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		source := strings.Replace(string(data), `units = "metric"`, `units = "US"`, 1)
		if source != string(data) {
			swapped++
		}
		_, err = Parse(filepath.Base(file), []byte(source))
		problems, ok := errors.AsType[Problems](err)
		if !ok || !strings.Contains(source, `units = "US"`) {
			continue
		}
		for _, p := range problems {
			for _, found := range offered.FindAllStringSubmatch(p.Fix, -1) {
				second := strings.HasSuffix(found[1], " or ")
				if !second && !repeats(p) {
					t.Errorf("%s: %s: the fix offers %s: %s", file, p.Path, found[2], p.Fix)
				}
			}
		}
	}
	if swapped == 0 {
		t.Error("no file could be read in US units")
	}
}

// repeats says whether a fix repeats a quantity that was typed, put right. Where the syntax
// is broken, and no path known, the units of the file are not known either.
func repeats(p *Problem) bool {
	return p.Path == "" && strings.Contains(p.Fix, "height =") ||
		strings.HasPrefix(p.What, "unknown unit") || strings.Contains(p.What, "comma") ||
		strings.Contains(p.Fix, "if that is meant") || strings.HasPrefix(p.What, "the rails end in a wall")
}
