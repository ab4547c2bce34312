package check

import (
	"math"
	"os"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
)

// The limit under a test load is the tightest of those that bind the total movement there.
func TestLimitUnderATestLoad(t *testing.T) {
	data, err := os.ReadFile("../../testdata/gallery.toml")
	if err != nil {
		t.Fatal(err)
	}
	const schedule, deflection = `schedule = "EN ISO 14122-3"`, `deflection = "25 mm"`
	const class = `schedule = "EN 13374 A"`
	for _, c := range []struct {
		what, load, limits, test string
		want                     float64 // mm; 0: none
		source                   string
	}{
		{"the user's", schedule, deflection, "post = 2", 25, "the file"},
		{"the schedule's", schedule, "", "post = 2", 30, "EN ISO 14122-3 8.2.3 (public)"},
		{"the user's, of a span", schedule, `span = "8 mm"`, "bay = 2", 30, "from the chord: no limit of the whole movement"},
		{"the user's, of posts, at a post", schedule, `post = "21 mm"`, "post = 2", 21, "the file"},
		{"the user's, of posts, at mid-span", schedule, `post = "21 mm"`, "bay = 2", 30, "EN ISO 14122-3 8.2.3"},
		{"by rule", schedule, `rule = "h/120 + L/240"`, "post = 2", 1100.0/120 + 1500.0/240, "the rule by hand"},
		{"none", schedule, "deflection = \"none\"\noverride = true", "post = 2", 0, "the file"},
		{"for one action, under it", class, "", "bay = 2\n" + class, 55, "EN 13374 6.3 (memory)"},
		{"for one action, under a force", class, "", "bay = 2\nforce = \"0.3 kN\"", 0, "EN 13374 6.3: under the guardrail load only"},
		{"of a schedule that the file has not", schedule, `deflection = "80 mm"` + "\noverride = true", "bay = 2\n" + class, 55, "EN 13374 6.3 (memory)"},
	} {
		text := strings.NewReplacer(schedule, c.load, deflection, c.limits).Replace(string(data)) + "\n[prooftest]\n" + c.test
		d, err := barrier.Parse("gallery.toml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		got := 0.0
		if l := LimitUnder(d, d.Proof); l != nil {
			got = l.Value * 1e3
		}
		if math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %v mm, want %v (%s)", c.what, got, c.want, c.source)
		}
	}
}
