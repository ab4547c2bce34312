package barrier_test

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
)

// pulled reads the gallery of the contract with a site test.
func pulled(t *testing.T, test string, changes ...string) *barrier.Definition {
	t.Helper()
	data, err := os.ReadFile("testdata/gallery.toml")
	if err != nil {
		t.Fatal(err)
	}
	text := strings.NewReplacer(changes...).Replace(string(data)) + "\n[prooftest]\n" + test
	d, err := barrier.Parse("gallery.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// What is written is read in SI, and nothing is taken beside it.
func TestProofLoadAsWritten(t *testing.T) {
	p := pulled(t, `post = 3
rail = "knee"
force = "0.3 kN"
direction = "inward"
preload = 0.5
hold = "90 s"
measured = "12.5 mm"
accuracy = "0.02 in"
residual = "0 mm"`).Proof
	const source = "the text above, converted to SI by hand"
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"force, N", p.Force, 300}, {"post", float64(p.Post), 2}, {"bay", float64(p.Bay), -1}, {"rail", float64(p.Rail), 1},
		{"preload", *p.Preload, 0.5}, {"hold, s", *p.Hold, 90}, {"measured, m", *p.Measured, 0.0125}, {"accuracy, m", *p.Accuracy, 0.000508}, {"residual, m", *p.Residual, 0},
		{"outward", p.Outward(), -1},
	} {
		if math.Abs(c.got-c.want) > 1e-12 {
			t.Errorf("%s: %v, want %v (%s)", c.what, c.got, c.want, source)
		}
	}
	if p.Schedule != nil || p.Direction != "inward" {
		t.Errorf("schedule %v, direction %q", p.Schedule, p.Direction)
	}
}

// EN ISO 14122-3 8.2.2 (public summary): 300 N/m times L, L the larger bay at the post, or the bay that
// is loaded. Bays here are of 1.4 m and 1.8 m.
func TestProofLoadOfASchedule(t *testing.T) {
	uneven := []string{`length  = "9 m"`, `posts = ["0 m", "1.4 m", "3.2 m", "4.6 m", "6 m"]`, "spacing = \"1.5 m\"\n", "", `["5.8 m"]`, `"none"`, `["4.6 m"]`, `"none"`, `stock   = "6 m"`, ""}
	for place, want := range map[string]float64{"post = 1": 420, "post = 2": 540, "post = 3": 540, "post = 4": 420, "post = 5": 420, "bay = 1": 420, "bay = 2": 540} {
		for _, test := range []string{place, place + "\nschedule = \"EN ISO 14122-3\""} {
			p := pulled(t, test, uneven...).Proof
			if math.Abs(p.Force-want) > 1e-9 || p.Schedule.Name != "EN ISO 14122-3" || p.Action.Name != "handrail load" {
				t.Errorf("%s: %v N of %s, want %v", test, p.Force, p.Schedule.Name, want)
			}
		}
	}
}

// EN 13374 class A (memory): 0.3 kN on any part, the knee rail and the top rail alike.
func TestProofLoadOnAnyPart(t *testing.T) {
	for _, rail := range []string{"top", "knee"} {
		p := pulled(t, fmt.Sprintf("bay = 2\nrail = %q\nschedule = \"EN 13374 A\"", rail)).Proof
		if p.Force != 300 {
			t.Errorf("on rail %s %v N, want 300", rail, p.Force)
		}
	}
}

// Which feet a movement tells of: that of the loaded post, and those of the posts beside a loaded bay,
// of which a wall is none.
func TestFeetOfATest(t *testing.T) {
	d := pulled(t, "post = 3")
	if got := fmt.Sprint(d.Proof.Feet(&d.Run)); got != "[2]" || d.Proof.X(&d.Run) != 3 {
		t.Errorf("at post 3: feet %s at x = %v", got, d.Proof.X(&d.Run))
	}
	for _, c := range []struct {
		start, bay, feet string
		x                float64
	}{
		{`"free"`, "1", "[0 1]", 0.75}, {`"free"`, "6", "[5 6]", 8.25},
		{`"wall"`, "1", "[0]", 0.75}, {`"wall"`, "2", "[0 1]", 2.25},
	} {
		d := pulled(t, "bay = "+c.bay, `start   = "free"`, "start = "+c.start)
		if got := fmt.Sprint(d.Proof.Feet(&d.Run)); got != c.feet || math.Abs(d.Proof.X(&d.Run)-c.x) > 1e-12 {
			t.Errorf("bay %s, start %s: feet %s at x = %v, want %s at %v", c.bay, c.start, got, d.Proof.X(&d.Run), c.feet, c.x)
		}
	}
}

// What is taken in silence is said, and what is odd is cautioned of.
func TestProofLoadSaysWhatItTakes(t *testing.T) {
	d := pulled(t, "post = 2")
	var said strings.Builder
	for _, s := range d.Proof.Said {
		said.WriteString(s.In(quantity.Metric) + "\n")
	}
	for _, want := range []string{"prooftest.rail is not given", "prooftest.direction is not given", "neither prooftest.force nor prooftest.schedule is given"} {
		if !strings.Contains(said.String(), want) {
			t.Errorf("%q does not say %q", said.String(), want)
		}
	}
	for _, a := range d.Assumptions {
		if strings.Contains(a.In(quantity.Metric), "prooftest") {
			t.Errorf("a check would say of a test that it does not ask for: %s", a.In(quantity.Metric))
		}
	}
	for test, want := range map[string]string{
		"force = \"0.9 kN\"":      "above the service load of the file at that place, 0.450 kN, by a factor of 2.00",
		"direction = \"inward\"":  "EN ISO 14122-3 has its load outward, and this test pulls inward",
		"force = \"0.45 kN\"":     "",
		"direction = \"outward\"": "",
	} {
		cautions := pulled(t, "post = 2\n"+test).Proof.Cautions
		switch {
		case want == "" && len(cautions) > 0, want != "" && (len(cautions) != 1 || !strings.Contains(cautions[0].In(quantity.Metric), want)):
			t.Errorf("%s: cautions %v, want %q", test, cautions, want)
		}
	}
}
